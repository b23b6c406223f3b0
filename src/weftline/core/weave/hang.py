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
    order = np.argsort(kind_of, kind="stable")
    return kinds, np.split(order, np.cumsum(np.bincount(kind_of))[:-1])


def _closure(arcs: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which node reaches which by one arc or more, by squaring."""
    reach = arcs
    while True:
        further = reach | _via(reach, reach)
        if np.array_equal(further, reach):
            return reach
        reach = further


def _via(one: NDArray[np.bool_], other: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the Boolean product: from here by the one, then by the other."""
    return (one.astype(np.float32) @ other.astype(np.float32)) > 0


def layers(weft_over: NDArray[np.bool_]) -> tuple[Layer, ...]:
    """Return the layers of a cloth from the face down; one layer means that it hangs together.

    Parameters
    ----------
    weft_over : (picks, ends) bool
        True where the weft covers the end.

    Notes
    -----
    Threads that interlace alike fall into the same layer or are loose one by one, so equal rows and
    equal columns are looked at once, and loose threads that interlace alike are told as one layer.
    Only the smaller side, usually the shafts, is closed over, so thousands of sheds cost little.
    """
    picks, pick_groups = _distinct(weft_over)
    ends, end_groups = _distinct(picks.T)
    if len(ends) <= len(picks):
        found = _layers(ends.T, pick_groups, end_groups)
        return tuple(Layer(rows, columns) for rows, columns in found)
    found = _layers(~ends, end_groups, pick_groups)
    return tuple(Layer(columns, rows) for rows, columns in found)


Threads = tuple[int, ...]


def _layers(
    over: NDArray[np.bool_], row_groups: list[NDArray[np.int64]], column_groups: list[NDArray[np.int64]]
) -> list[tuple[Threads, Threads]]:
    """Return layers as (rows, columns) of threads, where ``over`` tells which row passes over which column."""
    under = ~over.T  # (columns, rows): which column passes over which row
    hops = _closure(_via(under, over))  # column to column
    row_to_column = over | _via(over, hops)
    column_to_row = under | _via(hops, under)
    same_column = (hops & hops.T) | np.eye(len(hops), dtype=np.bool_)
    same_row = row_to_column.T & column_to_row  # (columns, rows)
    reached = hops.sum(axis=1) + ~hops.diagonal()
    found: list[tuple[int, int, list[int], list[int]]] = []
    for leader in np.unique(np.argmax(same_column, axis=1)).tolist():
        rows, columns = np.flatnonzero(same_row[leader]).tolist(), np.flatnonzero(same_column[leader]).tolist()
        found.append((-int(reached[leader]), 1, rows, columns))
    loose = np.flatnonzero(~same_row.any(axis=0)).tolist()
    found += [(-int(row_to_column[row].sum()), 0, [row], []) for row in loose]
    found.sort(key=lambda layer: layer[:2])
    return [(_threads(rows, row_groups), _threads(columns, column_groups)) for _, _, rows, columns in found]


def _threads(kinds: list[int], groups: list[NDArray[np.int64]]) -> Threads:
    return tuple(sorted(int(thread) for kind in kinds for thread in groups[kind]))


def hangs_together(weft_over: NDArray[np.bool_]) -> bool:
    """Return whether the cloth is one piece (see ``layers``)."""
    return len(layers(weft_over)) == 1
