"""Where strips and sections lie on the loom, in millimetres: x from the left, y from the foot.

Sections stand one above another in weaving order; strips lie side by side with their gaps. Widths
and heights are those on the loom, in true proportion.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.geometry.sizes import section_size

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth, StripCloth
    from weftline.core.piece.settings import Settings

BETWEEN_SECTIONS_MM = 20.0


@dataclass(frozen=True, eq=False)
class PlacedStrip:
    """One strip with its rectangle on the loom, mm, and the number of its section, from 0."""

    strip: StripCloth
    left_mm: float
    foot_mm: float
    width_mm: float
    height_mm: float
    section: int = 0


@dataclass(frozen=True, eq=False)
class Layout:
    """Every strip of a piece in its place, and the size of the whole, mm."""

    strips: tuple[PlacedStrip, ...]
    width_mm: float
    height_mm: float


def layout(cloth: Cloth, settings: Settings, *, ends_mm: float = 0.0) -> Layout:
    """Return the layout of a piece, each section woven once; between sections ``ends_mm`` more for the ends of both."""
    between = BETWEEN_SECTIONS_MM + 2 * ends_mm
    placed: list[PlacedStrip] = []
    foot = width = 0.0
    for number, section in enumerate(cloth.sections):
        size = section_size(section, settings)
        left, height = 0.0, section.picks.height_mm
        for strip, widths in zip(section.strips, size.strips, strict=True):
            own_height = strip.weaving.picks.height_mm
            placed.append(PlacedStrip(strip, left, foot, widths.on_loom_mm.value, own_height, number))
            height = max(height, own_height)
            left += widths.on_loom_mm.value
            width = max(width, left)
            left += strip.written.gap_after_cm * 10.0
        foot += height + between
    return Layout(tuple(placed), width, foot - between)
