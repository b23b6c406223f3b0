"""Threadings: which shaft each end of a strip stands on, and whether both edges are alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Shafts = NDArray[np.uint8]


MAX_SEARCH = 256


def thread(repeat: tuple[int, ...], count: int, start: int = 1) -> Shafts:
    """Return the shafts of ``count`` ends.

    Parameters
    ----------
    repeat : tuple of int
        Shafts of one repeat.
    count : int
        Number of ends.
    start : int
        Place in the repeat of the first end, counted from 1.

    Returns
    -------
    (ends,) uint8
        Left to right as the weaver sits.

    Examples
    --------
    >>> thread((1, 2, 3, 2), 5).tolist()
    [1, 2, 3, 2, 1]
    """
    places = (np.arange(count) + start - 1) % len(repeat)
    return np.asarray(repeat, dtype=np.uint8)[places]


def is_balanced(ends: Shafts) -> bool:
    """Return whether the ends read the same from both sides."""
    return bool(np.array_equal(ends, ends[::-1]))


def balanced_counts(repeat: tuple[int, ...], count: int, start: int = 1) -> tuple[int, ...]:
    """Return the nearest balanced numbers of ends: the next above and the next below, nearest first.

    A balanced run may be as short as one end, so one end is never offered as a remedy; a threading
    without a point (1 2 3 4) has no other, and the answer is empty. Looked for within one repeat, or
    within 256 ends where the repeat is longer.

    Examples
    --------
    >>> balanced_counts((1, 2, 3, 2), 120)
    (121, 117)
    """
    span = min(len(repeat), MAX_SEARCH)
    ends = thread(repeat, count + span, start)
    counts = np.arange(max(2, count - span), count + span + 1)
    place = 0
    while place < len(ends) // 2 and len(counts):
        counts = counts[(counts <= 2 * place) | (ends[place] == ends[np.maximum(counts - 1 - place, 0)])]
        place += 1
    nearest = [*counts[counts >= count][:1].tolist(), *counts[counts < count][-1:].tolist()]
    return tuple(sorted(nearest, key=lambda n: (abs(n - count), -n)))
