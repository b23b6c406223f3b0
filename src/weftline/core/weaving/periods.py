"""Where the cloth repeats: regions in which every line comes again a fixed number of lines later."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weaving.mirrors import SLIP_WORDS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weaving.mirrors import Likeness

MAX_PERIOD = 2000
"""Repeats of more lines are not looked for."""


@dataclass(frozen=True, eq=False, slots=True)
class Region:
    """Lines ``start`` up to ``stop`` that repeat every ``period`` lines.

    Parameters
    ----------
    start, stop, period : int
        ``stop - start`` is at least ``2 * period - 1``.
    differing : (stop - start - 2 * period + 1,) int64 or None
        Picks in which the lines ``[i, i + period)`` differ from the next period, for each i from
        ``start``; None where nothing differs.
    """

    start: int
    stop: int
    period: int
    differing: NDArray[np.int64] | None = None


def regions(likeness: Likeness) -> list[Region]:
    """Return the regions, shortest periods first; a region that a shorter period explains is left out."""
    count = len(likeness.stretch)
    shorter = _Near(likeness) if likeness.allowed else _Whole(count)
    found: list[Region] = []
    for period in range(1, min(count // 2 + 1, MAX_PERIOD, count - 1) + 1):
        every = _near(likeness, period) if likeness.allowed else _exact(likeness, period)
        fresh = [region for region in every if not shorter.explains(region)]
        for region in fresh:
            shorter.add(region)
        found.extend(fresh)
    return [region for region in found if region.period > 1]


class _Whole:
    """Regions where nothing differs: one that lies within a region of a shorter period is no news.

    Notes
    -----
    By N. J. Fine and H. S. Wilf, Uniqueness theorems for periodic functions (1965), the shorter
    period then divides the longer.
    """

    def __init__(self, count: int) -> None:
        self.reach = np.zeros(count, dtype=np.int64)

    def add(self, region: Region) -> None:
        """Remember a region."""
        lines = slice(region.start, region.stop)
        self.reach[lines] = np.maximum(self.reach[lines], region.stop)

    def explains(self, region: Region) -> bool:
        """Return whether the region lies within one of a shorter period."""
        return bool(self.reach[region.start] >= region.stop)


class _Near:
    """Regions with slips: one is no news where lines answer those of a divisor later nearly as often."""

    def __init__(self, likeness: Likeness) -> None:
        self.ids = likeness.stretch.ids
        self.unlike: dict[int, NDArray[np.int64]] = {}

    def _unlike(self, period: int) -> NDArray[np.int64]:
        """Return (lines - period + 1,) int64: lines below each place that are not the same a period later."""
        return np.concatenate([[0], np.cumsum(self.ids[:-period] != self.ids[period:])])

    def add(self, region: Region) -> None:
        """Remember a region."""
        if region.period not in self.unlike:
            self.unlike[region.period] = self._unlike(region.period)

    def explains(self, region: Region) -> bool:
        """Return whether a period that divides this one holds about as well."""
        divisors = [period for period in self.unlike if region.period % period == 0 and period < region.period]
        if not divisors:
            return False
        first, last = region.start, region.stop - region.period
        own = self._unlike(region.period)
        most = 1.1 * int(own[last] - own[first]) + 0.01 * (last - first)
        return any(int(self.unlike[period][last] - self.unlike[period][first]) <= most for period in divisors)


def _exact(likeness: Likeness, period: int) -> list[Region]:
    ids = likeness.stretch.ids
    same = ids[:-period] == ids[period:]
    if int(np.count_nonzero(same)) < period - 1:
        return []
    return [Region(start, stop + period, period) for start, stop in _runs(same) if stop - start >= max(1, period - 1)]


def _near(likeness: Likeness, period: int) -> list[Region]:
    """Return regions in which each period differs from the next by no more picks than it is worth."""
    count, sheds = likeness.stretch.tokens.shape
    if count < 2 * period - 1:
        return []
    ids = likeness.stretch.ids
    if 4 * int(np.count_nonzero(ids[:-period] == ids[period:])) < period:
        return []
    differing = likeness.between(slice(None, -period), slice(period, None))
    below = np.concatenate([[0], np.cumsum(differing)])
    tested = max(1, period - 1)
    good = SLIP_WORDS * (below[tested:] - below[:-tested]) < sheds * tested
    block = below[period:] - below[:-period]
    return [
        Region(first, last - 1 + tested + period, period, block[first : last + tested - period])
        for first, last in _runs(good)
    ]


def _runs(good: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return the runs of True as (first, after the last)."""
    padded = np.concatenate([[False], good, [False]])
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))
