"""Widths and lengths of strips and sections in every state.

Strip width in the reed = ends / sett; on the loom = reed x (1 - draw-in); off the loom = on the
loom x (1 - relax); finished = off the loom x (1 - shrink). Gaps between strips never draw in, and
a gap that will be sewn up is gone in the finished cloth. Common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import NOTHING, Basis, Quantity

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.piece.settings import Settings


@dataclass(frozen=True, slots=True)
class Widths:
    """A width in each state, mm."""

    in_reed_mm: Quantity
    on_loom_mm: Quantity
    off_loom_mm: Quantity
    finished_mm: Quantity


@dataclass(frozen=True, slots=True)
class Lengths:
    """A length in each state, mm; scrap headings and fringes are not counted."""

    woven_mm: Quantity
    off_loom_mm: Quantity
    finished_mm: Quantity


@dataclass(frozen=True, slots=True)
class SectionSize:
    """Sizes of one section: each strip alone, all side by side with their gaps, and the length."""

    strips: tuple[Widths, ...]
    across: Widths
    lengths: Lengths


def strip_widths(ends: int, settings: Settings) -> Widths:
    """Return the widths of a strip of so many ends."""
    in_reed = Quantity(float(ends), Basis.COMPUTED) / settings.sett_per_mm
    on_loom = in_reed * (1 - settings.draw_in)
    off_loom = on_loom * (1 - settings.relax_width)
    return Widths(in_reed, on_loom, off_loom, off_loom * (1 - settings.shrink_width))


def lengths(woven_mm: Quantity, settings: Settings) -> Lengths:
    """Return the lengths of a cloth that is this long on the loom."""
    off_loom = woven_mm * (1 - settings.relax_length)
    return Lengths(woven_mm, off_loom, off_loom * (1 - settings.shrink_length))


def total(quantities: Iterable[Quantity]) -> Quantity:
    """Return the sum; an empty sum is nothing."""
    return sum(quantities, NOTHING)


def section_size(section: SectionCloth, settings: Settings) -> SectionSize:
    """Return the sizes of a section, woven once."""
    strips = tuple(strip_widths(strip.written.ends, settings) for strip in section.strips)
    between = section.strips[:-1]
    gap = sum(strip.written.gap_after_cm for strip in between) * 10.0
    open_gap = sum(strip.written.gap_after_cm for strip in between if not strip.written.seam_after) * 10.0
    across = Widths(
        total(strip.in_reed_mm for strip in strips) + gap,
        total(strip.on_loom_mm for strip in strips) + gap,
        total(strip.off_loom_mm for strip in strips) + gap,
        total(strip.finished_mm for strip in strips) + open_gap,
    )
    woven = Quantity(section.picks.height_mm, section.height_basis)
    return SectionSize(strips, across, lengths(woven, settings))


def end_pitch_mm(settings: Settings) -> Quantity:
    """Return the distance from end to end in the cloth on the loom."""
    return strip_widths(1, settings).on_loom_mm
