"""The back: how far each pick runs behind the ends that it does not cover, and which runs show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weave.face import Beads, stack
from weftline.core.weave.picks import covered

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weave.picks import Weaving
    from weftline.core.weave.threading import Shafts


def float_lengths(shed: int, ends: Shafts) -> NDArray[np.int32]:
    """Return, for each end, the length of the float of this shed behind it.

    A float is counted in ends, from covered end to covered end; at an edge it is counted to the
    edge. An end that the shed covers has no float behind it: 0.

    Returns
    -------
    (ends,) int32

    Examples
    --------
    >>> float_lengths(0b001, np.array([1, 2, 3, 2, 1], dtype=np.uint8)).tolist()
    [0, 3, 3, 3, 0]
    """
    over = covered(np.array([shed], dtype=np.uint16), ends)[0]
    starts = np.flatnonzero(np.concatenate([[True], over[1:] != over[:-1]]))
    lengths = np.diff(np.concatenate([starts, [len(ends)]]))
    run = np.repeat(lengths, lengths).astype(np.int32)
    run[over] = 0
    return run


@dataclass(frozen=True, slots=True)
class LongestFloat:
    """The longest float of one shed.

    Parameters
    ----------
    ends : int
        Length, counted in ends; 0 where the shed covers every end.
    pick : int
        The first pick in this shed, from 0.
    first_end : int
        The first end that it floats behind, from 0.
    picks : int
        How many picks lie in this shed.
    """

    ends: int
    pick: int
    first_end: int
    picks: int


def longest_floats(weaving: Weaving) -> list[LongestFloat]:
    """Return the longest float of every shed that a strip uses, longest first, of equals the first thrown."""
    sheds, first_picks, counts = np.unique(weaving.own_shed, return_index=True, return_counts=True)
    found = []
    for shed, pick, count in zip(sheds.tolist(), first_picks.tolist(), counts.tolist(), strict=True):
        lengths = float_lengths(shed, weaving.ends)
        end = int(np.argmax(lengths))
        found.append(LongestFloat(int(lengths[end]), pick, end, count))
    return sorted(found, key=lambda found: (-found.ends, found.pick))


@dataclass(frozen=True, eq=False)
class BackColumn:
    """The back of one end.

    Parameters
    ----------
    shows : Beads
        The floats that lie uppermost, each grown halfway to its neighbours: in every line the
        longest float behind this end shows; equally long ones share the height.
    under : (passes,) int64
        The picks that pass behind this end and lie hidden under longer floats.
    """

    shows: Beads
    under: NDArray[np.int64]


def back_columns(weaving: Weaving) -> list[BackColumn]:
    """Return the back end by end, in the order of the ends as the weaver sits (not yet mirrored).

    Seen from behind, left and right change places: whoever draws it mirrors it.
    """
    picks = weaving.picks
    if not len(picks):
        bare = BackColumn(stack(np.zeros(0, dtype=np.int64), picks), np.zeros(0, dtype=np.int64))
        return [bare] * len(weaving.ends)
    sheds, shed_of_pick = np.unique(picks.shed, return_inverse=True)
    lengths = np.stack([float_lengths(int(shed), weaving.ends) for shed in sheds])  # (sheds, ends)
    kinds, kind_of_end = np.unique(lengths, axis=1, return_inverse=True)
    line_feet = np.flatnonzero(np.concatenate([[True], picks.line[1:] != picks.line[:-1]]))
    columns = []
    for kind in kinds.T:
        length = kind[shed_of_pick]  # of each pick behind this end; 0 where it covers the end
        longest = np.maximum.reduceat(length, line_feet)[picks.line]
        top = (length > 0) & (length == longest)
        columns.append(BackColumn(stack(np.flatnonzero(top), picks), np.flatnonzero((length > 0) & ~top)))
    return [columns[kind] for kind in kind_of_end.ravel()]
