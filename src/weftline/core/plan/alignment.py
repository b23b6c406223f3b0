"""Two runs of lines laid side by side with the fewest differences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

Pair = tuple[int | None, int | None]
"""Places in both, from 0; None where one has no such line."""

WINDOW = 1500
"""So many lines are laid side by side at once; of longer runs, one such stretch after another."""


GAP, OTHER = 2, 3
"""What a line extra or left out counts, and one woven instead of another: less than both, so that one wrong line is told as
one; but two gaps count less than two wrong lines, so that a line that was left out does not make those after it wrong."""


def align(planned: Sequence[Hashable], woven: Sequence[Hashable]) -> list[Pair]:
    """Return both runs side by side: equal lines, lines instead of others, lines left out and lines extra.

    Notes
    -----
    Fewest differences by dynamic programming (Wagner and Fischer, "The string-to-string correction problem", Journal
    of the ACM 21 (1974)); of runs that differ over more than ``WINDOW`` lines the fewest within each stretch.

    Examples
    --------
    >>> align("abcd", "axbcc")
    [(0, 0), (None, 1), (1, 2), (2, 3), (3, 4)]
    """
    numbers: dict[Hashable, int] = {}
    first, second = (
        np.array([numbers.setdefault(one, len(numbers)) for one in run], dtype=np.int64) for run in (planned, woven)
    )
    foot = _alike(first, second)
    head = _alike(first[foot:][::-1], second[foot:][::-1])
    found: list[Pair] = [(place, place) for place in range(foot)]
    ends = len(first) - head, len(second) - head
    at = foot, foot
    while at[0] < ends[0] or at[1] < ends[1]:
        part, other = first[at[0] : min(ends[0], at[0] + WINDOW)], second[at[1] : min(ends[1], at[1] + WINDOW)]
        is_last = not (len(part) and len(other)) or (at[0] + len(part), at[1] + len(other)) == ends
        for one, two in _path(part, other, is_last):
            found.append((_moved(one, at[0]), _moved(two, at[1])))
        at = _after(found, at)
    found.extend((len(first) - left, len(second) - left) for left in range(head, 0, -1))
    return found


def _moved(place: int | None, by: int) -> int | None:
    return None if place is None else place + by


def _after(pairs: list[Pair], at: tuple[int, int]) -> tuple[int, int]:
    """Return the places after the last of each run."""
    one = next((pair[0] + 1 for pair in reversed(pairs) if pair[0] is not None), at[0])
    two = next((pair[1] + 1 for pair in reversed(pairs) if pair[1] is not None), at[1])
    return max(one, at[0]), max(two, at[1])


def _alike(first: Ints, second: Ints) -> int:
    """Return how many lines are the same from the beginning."""
    size = min(len(first), len(second))
    other = np.flatnonzero(first[:size] != second[:size])
    return int(other[0]) if len(other) else size


def _path(first: Ints, second: Ints, is_last: bool) -> list[Pair]:
    """Return the pairs of two short runs; where more follows, only the first half of them."""
    costs = _costs(first, second)
    one, two = len(first), len(second)
    if not is_last:
        one, two = _best_end(costs)
    found: list[Pair] = []
    while one or two:
        here = costs[one, two]
        if one and two and here == costs[one - 1, two - 1] + OTHER * (first[one - 1] != second[two - 1]):
            one, two = one - 1, two - 1
            found.append((one, two))
        elif two and here == costs[one, two - 1] + GAP:
            two -= 1
            found.append((None, two))
        else:
            one -= 1
            found.append((one, None))
    found.reverse()
    return found if is_last else found[: max(1, len(found) // 2)]


def _costs(first: Ints, second: Ints) -> NDArray[np.int32]:
    """Return the fewest differences of all beginnings, (first + 1, second + 1)."""
    places = GAP * np.arange(len(second) + 1, dtype=np.int32)
    costs = np.empty((len(first) + 1, len(second) + 1), dtype=np.int32)
    costs[0] = places
    for row, one in enumerate(first, start=1):
        above = costs[row - 1]
        here = above + GAP
        np.minimum(here[1:], above[:-1] + OTHER * (second != one), out=here[1:])
        costs[row] = np.minimum.accumulate(here - places) + places
    return costs


def _best_end(costs: NDArray[np.int32]) -> tuple[int, int]:
    """Return the place on the far sides where the fewest differences end, the one nearest the far corner of equals."""
    rows, columns = costs.shape[0] - 1, costs.shape[1] - 1
    ends = [(rows, column) for column in range(columns + 1)] + [(row, columns) for row in range(rows)]
    _, _, row, column = min((int(costs[end]) - sum(end), -min(end), *end) for end in ends)
    return row, column
