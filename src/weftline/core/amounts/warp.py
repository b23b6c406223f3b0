"""How long a warp and how much of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.edges.edge_ends import edge_ends
from weftline.core.geometry.sizes import total

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.findings import Quantity
    from weftline.core.geometry.sizes import SectionSize
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings


@dataclass(frozen=True, slots=True)
class WarpPart:
    """A stretch of the warp: what it is for and how long, mm."""

    what: str
    length_mm: Quantity


@dataclass(frozen=True, slots=True)
class WarpAmount:
    """The warp of a piece.

    Parameters
    ----------
    parts : tuple of WarpPart
        Sections in weaving order, then between pieces, sample and waste.
    length_mm : Quantity
        One end, all parts together.
    threaded_ends, edge_ends : int
        Ends on shafts, and floating or doubled ends beside them.
    total_mm : Quantity
        All ends together.
    """

    parts: tuple[WarpPart, ...]
    length_mm: Quantity
    threaded_ends: int
    edge_ends: int
    total_mm: Quantity


def warp_amount(cloth: Cloth, sizes: Sequence[SectionSize], settings: Settings) -> WarpAmount:
    """Return the warp of a piece.

    Sum over sections of pieces x ((woven + 2 heading)(1 + take-up) + 2 fringe), plus the stretches
    between pieces, the sample and the loom's waste once. Common practice.
    """
    parts = []
    for section, size in zip(cloth.sections, sizes, strict=True):
        taken_up = (size.lengths.woven_mm + settings.heading_mm * 2) * (settings.warp_take_up + 1)
        one = taken_up + settings.fringe_each_end_mm * 2
        parts.append(WarpPart(section.name, one * section.written.pieces))
    pieces = sum(section.written.pieces for section in cloth.sections)
    parts += [
        WarpPart("between pieces", settings.between_pieces_mm * (pieces - 1)),
        WarpPart("sample", settings.sample_mm),
        WarpPart("loom waste", settings.waste_mm),
    ]
    length = total(part.length_mm for part in parts)
    beside = edge_ends(cloth.project)
    return WarpAmount(tuple(parts), length, cloth.warp_ends, beside, length * (cloth.warp_ends + beside))
