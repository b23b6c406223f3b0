"""Bands that a stretch might be written in: everything that repeats or mirrors, and what it would cost."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weaving.found import Chain, Found, half_of, linked
from weftline.core.weaving.mirrors import MIDDLES, PICKS_SINGLE, SLIP_WORDS, Likeness, Middle, arms
from weftline.core.weaving.periods import Region, regions
from weftline.core.weaving.resumed import resumed_bands, whole_heads
from weftline.core.weaving.shapes import BAND_WORDS, Shape
from weftline.core.weaving.writing import Writing

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weaving.stretch import Stretch


class Survey:
    """Everything in a stretch that repeats or mirrors.

    Parameters
    ----------
    stretch : Stretch
    allowed : int
        In how many picks two lines may differ and still be meant as equals.
    """

    def __init__(self, stretch: Stretch, allowed: int = 0) -> None:
        self.stretch = stretch
        self.allowed = allowed
        self.band_words = BAND_WORDS + stretch.kind_words
        self.likeness = Likeness(stretch, allowed)
        self.writing = Writing(stretch)
        self.arms = {middle: arms(self.likeness, middle) for middle in MIDDLES}
        self.regions = regions(self.likeness)
        self.chains: list[Chain] = []
        self.singles: list[Found] = []
        for region in self.regions:
            self._add_chains(region)
            self.singles.extend(whole_heads(self, region))
        if not allowed:
            for founds, period in resumed_bands(self):
                if period:
                    self.chains.extend(linked(founds, period, len(self.chains)))
                else:
                    self.singles.extend(founds)

    def mirrors(self, starts: NDArray[np.int64], length: int, middle: Middle, half: int) -> NDArray[np.bool_]:
        """Return for each start whether ``length`` lines from there mirror about this kind of middle."""
        pairs = half if middle.meeting == "double" else half - 1
        return self.arms[middle][starts + half - 1] >= pairs

    def headed(self, head: int, start: int, stop: int) -> int:
        """Return the words of a line that is written before ``lines[start:stop]``."""
        alone = self.stretch.alphabet.words(head)
        if stop <= start:
            return alone
        rest = self.writing.one(start, stop)
        if int(self.stretch.ids[start]) != head:
            return alone + rest
        return rest + (min(int(self.writing.run_stop[start]), stop) - start < 2)

    def _add_chains(self, region: Region) -> None:
        starts = np.arange(region.start, region.stop - 2 * region.period + 1)
        if len(starts):
            words = self.writing.of(starts, starts + region.period)
            self._link(region, Shape(times=2), region.period, 0, starts, words)
            for middle in MIDDLES:
                for extra in (0, 1):
                    self._mirrored_chains(region, middle, extra)

    def _mirrored_chains(self, region: Region, middle: Middle, extra: int) -> None:
        """Add the chains whose unit of ``period + extra`` lines mirrors; the last line is shared where extra is 1."""
        length = region.period + extra
        half = half_of(middle, length)
        if half is None:
            return
        starts = np.arange(region.start, region.stop - 2 * region.period - extra + 1)
        starts = starts[self.mirrors(starts, length, middle, half)]
        if extra and middle.mirror == "picks":
            starts = starts[self.stretch.picks[starts] == 1]
        if len(starts):
            shape = Shape(middle.mirror, middle.meeting, "single" if extra else "double", 2)
            words = self.writing.of(starts, starts + half)
            if self.allowed:
                words = words + np.array([self.slips(int(start), length, middle) for start in starts])
            self._link(region, shape, half, extra, starts, words)

    def slips(self, start: int, length: int, middle: Middle) -> int:
        """Return the words for the picks in which the way back differs from the way forth."""
        half = half_of(middle, length) or 0
        pairs = half if middle.meeting == "double" else half - 1
        left = np.arange(start + pairs - 1, start - 1, -1)
        right = np.arange(start + length - pairs, start + length)
        lost = int(self.likeness.between(left, right, middle.mirror).sum())
        if middle is PICKS_SINGLE:
            lost += int(self.likeness.point[start + half - 1])
        return SLIP_WORDS * lost

    def _link(
        self, region: Region, shape: Shape, lines: int, extra: int, starts: NDArray[np.int64], words: NDArray[np.int64]
    ) -> None:
        period = region.period
        fixed = self.band_words + shape.words()
        slips = np.zeros(len(starts), dtype=np.int64)
        if region.differing is not None:
            slips = SLIP_WORDS // 2 * region.differing[starts - region.start]
        twice = [
            Found(start, start + 2 * period + extra, shape, lines, None, fixed + told)
            for start, told in zip(starts.tolist(), words.tolist(), strict=True)
        ]
        self.chains.extend(linked(twice, period, len(self.chains), slips.tolist()))
