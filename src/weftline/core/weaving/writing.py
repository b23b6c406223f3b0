"""How many words any run of lines takes when equal neighbours are written once with ``*n``."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weaving.stretch import Stretch


class Writing:
    """Words of ``lines[start:stop]`` for any start and stop, at once for many.

    Attributes
    ----------
    words : (lines,) int64
        Words of each line alone.
    run_start, run_stop : (lines,) int64
        First line, and line after the last, of the run of equal lines around each line.
    upto : (lines + 1,) int64
        Words of everything below a place.
    start_words : (lines,) int64
        To be added to ``upto[stop]`` for lines from here to a ``stop`` beyond the own run.
    """

    def __init__(self, stretch: Stretch) -> None:
        ids = stretch.ids
        count = len(ids)
        words = {number: stretch.alphabet.words(number) for number in set(ids.tolist())}
        self.words = np.array([words[number] for number in ids.tolist()], dtype=np.int64)
        first = np.concatenate([[True], ids[1:] != ids[:-1]])
        heads = np.flatnonzero(first)
        run = np.cumsum(first) - 1
        self.run_start = heads[run]
        self.run_stop = np.append(heads[1:], count)[run]
        second = np.zeros(count, dtype=bool)
        second[1:] = first[:-1] & ~first[1:]
        self.upto = np.concatenate([[0], np.cumsum(np.where(first, self.words, 0) + second)])
        left = self.run_stop - np.arange(count)
        self.start_words = self.words + (left >= 2) - self.upto[self.run_stop]

    def of(self, start: NDArray[np.int64], stop: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return the words of each run of lines.

        Parameters
        ----------
        start, stop : (runs,) int64
            At least one line each.

        Returns
        -------
        (runs,) int64
        """
        within = stop <= self.run_stop[start]
        alone = self.words[start] + (stop - start >= 2)
        return np.where(within, alone, self.start_words[start] + self.upto[stop])

    def one(self, start: int, stop: int) -> int:
        """Return the words of one run of lines, 0 for none."""
        if stop <= start:
            return 0
        if stop <= self.run_stop[start]:
            return int(self.words[start]) + (stop - start >= 2)
        return int(self.start_words[start] + self.upto[stop])
