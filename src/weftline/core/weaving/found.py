"""Bands that lines might be written as, before it is known which of them are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.weaving.mirrors import LINES_SINGLE, PICKS_POINT

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from weftline.core.weaving.mirrors import Middle
    from weftline.core.weaving.shapes import Shape


@dataclass(frozen=True, slots=True)
class Found:
    """A band that lines ``start`` up to ``stop`` might be written as.

    Parameters
    ----------
    start, stop : int
    shape : Shape
    lines : int
        Written lines, ``*n`` multiplied out.
    head : int or None
        Number of the first written line, where it is not the line at ``start``.
    words : int
        Words of the band as such, its lines and settings, where they are known before the search.
    gone : bool
        Whether nothing of the first written line was woven at the foot.
    slips : tuple of int
        Lines that differ a little within a run of equal lines.
    """

    start: int
    stop: int
    shape: Shape
    lines: int
    head: int | None
    words: int
    gone: bool = False
    slips: tuple[int, ...] = ()

    def written(self, ids: NDArray[np.int64]) -> list[int]:
        """Return the numbers of the written lines, ``*n`` multiplied out, from those of the woven lines."""
        if self.head is None:
            return [int(number) for number in ids[self.start : self.start + self.lines]]
        rest = self.start + (not self.gone)
        return [self.head, *(int(number) for number in ids[rest : rest + self.lines - 1])]


@dataclass(frozen=True, slots=True)
class Chain:
    """Lines from ``start`` on that come at least twice, and once more for every link.

    Parameters
    ----------
    twice : Found
        The band as it would be with two times.
    period : int
        Lines that each further time adds.
    before : int
        Index of the chain that begins one period earlier, -1 for none.
    slips : int
        Words for the picks in which the first time differs from the second.
    """

    twice: Found
    period: int
    before: int
    slips: int


def linked(twice: Sequence[Found], period: int, offset: int, slips: Sequence[int] | None = None) -> list[Chain]:
    """Return chains of bands that differ only in where they begin.

    Parameters
    ----------
    twice : sequence of Found
        From the foot up, each with two times.
    period : int
        Lines that each further time adds.
    offset : int
        Index that the first chain will have.
    slips : sequence of int or None
        Words for slips between the first time and the second; None for none.
    """
    places = {band.start: offset + place for place, band in enumerate(twice)}
    lost = slips or [0] * len(twice)
    return [
        Chain(band, period, places.get(band.start - period, -1), words) for band, words in zip(twice, lost, strict=True)
    ]


def half_of(middle: Middle, length: int) -> int | None:
    """Return how many lines go forth where ``length`` lines mirror about this kind of middle, None if they cannot."""
    even = length % 2 == 0
    if middle in (LINES_SINGLE, PICKS_POINT):
        return None if even else (length + 1) // 2
    return length // 2 if even else None
