"""How a band mirrors and repeats its lines, told line by line, and how many words it takes to write."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.values import Meeting, Mirror

BAND_WORDS = 2
"""Words for a band as such: its name and that it begins."""


@dataclass(frozen=True, slots=True)
class Shape:
    """The settings of a band, as in the project file; ``joint`` is always spelt out."""

    mirror: Mirror = "none"
    middle: Meeting = "single"
    joint: Meeting = "single"
    times: int = 1
    resume: bool = False

    def words(self) -> int:
        """Return how many settings a weaver has to write, one word each."""
        mirrored = self.mirror != "none"
        double = mirrored and self.middle == "double"
        other_joint = mirrored and self.times > 1 and self.joint != self.middle
        return mirrored + double + other_joint + (self.times > 1) + self.resume


PLAIN = Shape()


@dataclass(frozen=True, slots=True)
class Laid:
    """One line of an expanded band: which written line, whether turned, whether its first pick is dropped."""

    line: int
    turned: bool = False
    clipped: bool = False


def unfolded(picks: Sequence[int], shape: Shape) -> list[Laid]:
    """Return the lines of a band as it is woven, each told by the written line that it comes from.

    Parameters
    ----------
    picks : sequence of int
        Picks thrown in each written line, ``*n`` multiplied out.
    shape : Shape
        ``resume`` drops the first pick; whether the shed before allows it is for the caller to know.

    Examples
    --------
    >>> [(laid.line, laid.turned, laid.clipped) for laid in unfolded([3, 3], Shape("picks"))]
    [(0, False, False), (1, False, False), (1, True, True), (0, True, False)]
    """
    unit = [Laid(line) for line in range(len(picks))]
    later = unit
    if shape.mirror != "none":
        turned = shape.mirror == "picks"
        returning = [Laid(laid.line, turned) for laid in reversed(unit)]
        if shape.middle == "single":
            returning = _without_first(returning, picks, shape.mirror)
        unit = unit + returning
        later = _without_first(unit, picks, shape.mirror) if shape.joint == "single" else unit
    woven = unit + later * (shape.times - 1)
    return _without_first(woven, picks, "picks") if shape.resume else woven


def _without_first(lines: list[Laid], picks: Sequence[int], mirror: Mirror) -> list[Laid]:
    first = lines[0]
    if mirror == "lines" or picks[first.line] - first.clipped == 1:
        return lines[1:]
    if first.clipped:
        raise ValueError("a line loses its first pick only once")
    return [replace(first, clipped=True), *lines[1:]]
