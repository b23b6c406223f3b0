"""What sections, strips and bands are called when their weaver gave no name: ``Strip 2``."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.core.piece.values import Band, Section, Strip, Yarn


def section_name(section: Section, place: int) -> str:
    """Return a section's name; ``place`` counts from 0."""
    return section.name or f"Section {place + 1}"


def strip_name(strip: Strip, place: int) -> str:
    """Return a strip's name; ``place`` counts from 0."""
    return strip.name or f"Strip {place + 1}"


def band_name(band: Band, place: int) -> str:
    """Return a band's name; ``place`` counts from 0."""
    return band.name or f"Band {place + 1}"


def yarn_name(yarn: Yarn, key: str) -> str:
    """Return a yarn's name, or its key."""
    return yarn.name or key
