"""How much weft of each yarn: pick by pick, with strands counted, and the tails of every run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.edges.runs import yarn_uses

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.edges.runs import StrandsByYarn
    from weftline.core.findings import Quantity
    from weftline.core.geometry.sizes import SectionSize
    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.piece.settings import Settings
    from weftline.core.piece.values import Project


@dataclass(frozen=True, slots=True)
class WeftAmount:
    """One yarn as weft, for as many strips and pieces as were added up.

    Parameters
    ----------
    passes : int
        Strands laid from edge to edge.
    runs : int
        How often it is started.
    laid_mm : Quantity
        Yarn in the picks.
    tails_mm : Quantity
        Yarn in the tails: two a run, strip and strand.
    """

    passes: int
    runs: int
    laid_mm: Quantity
    tails_mm: Quantity

    @property
    def length_mm(self) -> Quantity:
        """All of it."""
        return self.laid_mm + self.tails_mm

    def __add__(self, other: WeftAmount) -> WeftAmount:
        return WeftAmount(
            self.passes + other.passes,
            self.runs + other.runs,
            self.laid_mm + other.laid_mm,
            self.tails_mm + other.tails_mm,
        )

    def __mul__(self, pieces: int) -> WeftAmount:
        return WeftAmount(self.passes * pieces, self.runs * pieces, self.laid_mm * pieces, self.tails_mm * pieces)


def section_weft(
    section: SectionCloth, size: SectionSize, settings: Settings, strands: StrandsByYarn
) -> dict[str, WeftAmount]:
    """Return the weft of every yarn in a section woven once."""
    found: dict[str, WeftAmount] = {}
    for strip, widths in zip(section.strips, size.strips, strict=True):
        one_pass = widths.in_reed_mm * (settings.weft_take_up + 1)
        for key, use in yarn_uses(strip.weaving, strands).items():
            tails = settings.tail_mm * (2 * use.run_strands)
            amount = WeftAmount(use.passes, use.runs, one_pass * use.passes, tails)
            found[key] = found[key] + amount if key in found else amount
    return found


def whole_weft(project: Project, sections: Sequence[dict[str, WeftAmount]]) -> dict[str, WeftAmount]:
    """Return the weft of all pieces together, in the order of the file's yarns."""
    found: dict[str, WeftAmount] = {}
    for section, weft in zip(project.sections, sections, strict=True):
        for key, once in weft.items():
            amount = once * section.pieces
            found[key] = found[key] + amount if key in found else amount
    return {key: found[key] for key in project.yarns if key in found}
