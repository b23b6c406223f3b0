"""Whether a cloth hangs together, and into which layers it falls if it does not.

Source: C. R. J. Clapham, When a fabric hangs together, Bull. London Math. Soc. 12 (1980) 161-164
(from memory; the statement used here was checked against exhaustive search): strands are nodes, an
arc runs from each strand to every strand that it passes over somewhere; the fabric is one piece
exactly when that digraph is strongly connected.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Layer:
    """Picks and ends (indices from 0) that hold together, or loose threads that all interlace alike."""

    picks: tuple[int, ...]
    ends: tuple[int, ...]


def _distinct(rows: NDArray[np.bool_]) -> tuple[NDArray[np.bool_], list[NDArray[np.int64]]]:
    kinds, kind_of = np.unique(rows, axis=0, return_inverse=True)
    kind_of = kind_of.ravel()
    return kinds, [np.flatnonzero(kind_of == kind) for kind in range(len(kinds))]


def _reach(arcs: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which node reaches which by one arc or more (transitive closure by squaring)."""
    reach = arcs
    while True:
        further = reach | ((reach.astype(np.float32) @ reach.astype(np.float32)) > 0)
        if np.array_equal(further, reach):
            return reach
        reach = further


def layers(weft_over: NDArray[np.bool_]) -> tuple[Layer, ...]:
    """Return the layers of a cloth from the face down; one layer means that it hangs together.

    Parameters
    ----------
    weft_over : (picks, ends) bool
        True where the weft covers the end.

    Notes
    -----
    Threads that interlace alike fall into the same layer or are loose one by one, so equal rows and
    equal columns are looked at once, and loose threads that interlace alike are told as one layer. The layout (True for weft up or for warp up)
    matters only for the order of the layers.
    """
    picks, pick_groups = _distinct(weft_over)
    ends, end_groups = _distinct(picks.T)
    table = ends.T  # (distinct picks, distinct ends)
    count = len(table)
    arcs = np.zeros((count + len(ends), count + len(ends)), dtype=np.bool_)
    arcs[:count, count:] = table
    arcs[count:, :count] = ~table.T
    reach = _reach(arcs)
    same = (reach & reach.T) | np.eye(len(arcs), dtype=np.bool_)
    leaders = np.unique(np.argmax(same, axis=1))
    order = sorted(leaders.tolist(), key=lambda node: (-int((reach[node] | same[node]).sum()), node))
    found = []
    for leader in order:
        members = np.flatnonzero(same[leader])
        found.append(
            Layer(
                tuple(sorted(int(p) for m in members if m < count for p in pick_groups[m])),
                tuple(sorted(int(e) for m in members if m >= count for e in end_groups[m - count])),
            )
        )
    return tuple(found)


def hangs_together(weft_over: NDArray[np.bool_]) -> bool:
    """Return whether the cloth is one piece (see ``layers``)."""
    return len(layers(weft_over)) == 1
