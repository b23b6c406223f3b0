"""What is looked at: the woven picks of one strip from one side, at one scale, in whole pixel rows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weave.picks import Weaving

EDGE_WIDER = 0.3
"""How much wider one doubled end makes the edge column, in columns."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How large a strip is drawn.

    Parameters
    ----------
    column_px : float
        Width of a column; where a repeat of the threading is whole pixels, a wide strip is baked as a tile.
    line_px : float
        Height of a line of the height ``line_mm``; lines of other heights follow.
    line_mm : float
    """

    column_px: float
    line_px: float
    line_mm: float


@dataclass(frozen=True, slots=True)
class EdgeWarp:
    """Extra warp at both sides: ``kind`` is none, floating or doubled; ``ends`` counts a side."""

    kind: str = "none"
    ends: int = 0


@dataclass(frozen=True, eq=False)
class Sight:
    """One strip as it is looked at; x from its left edge, y from its foot, in pixels.

    Parameters
    ----------
    ends : (ends,) uint8
        Shafts, left to right as seen.
    shed : (picks,) uint16
        Without the shafts that the strip has no end on.
    line, wound : (picks,) int32
    feet : (picks + 1,) int64
        The row where each pick's share of the height begins; the last is the top.
    column_px, line_px : float
    back : bool
        Whether the other face is seen (``ends`` then runs the other way).
    edge : EdgeWarp
    """

    ends: NDArray[np.uint8]
    shed: NDArray[np.uint16]
    line: NDArray[np.int32]
    wound: NDArray[np.int32]
    feet: NDArray[np.int64]
    column_px: float
    line_px: float
    back: bool
    edge: EdgeWarp

    @cached_property
    def middles(self) -> NDArray[np.float64]:
        """(picks,) float64: the middle row of each pick."""
        return (self.feet[1:] + self.feet[:-1]) / 2

    @property
    def height_px(self) -> int:
        """Rows from the foot to the fell."""
        return int(self.feet[-1])

    @property
    def width_px(self) -> int:
        """Columns of pixels from edge to edge, edge warp left out."""
        return round(len(self.ends) * self.column_px)

    @property
    def edge_wider_px(self) -> float:
        """How much wider doubled ends make each edge column."""
        if self.edge.kind != "doubled" or len(self.ends) < 2:
            return 0.0
        return min(1.0, EDGE_WIDER * self.edge.ends) * self.column_px

    @cached_property
    def repeat(self) -> int:
        """After how many ends the threading comes again, or all ends."""
        return repeat_of(self.ends)

    @cached_property
    def over_at(self) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """(picks,) bool for the left and the right floating end as seen: whether the pick shows on it.

        Each shuttle goes over on the way in and under on the way out, and comes back from the side
        where it left; the first pass of each goes in at the weaver's left. Turned over, left and
        right change places and so do over and under, so that both sides look alike.
        """
        enters_left = _passes(self.wound) % 2 == 0
        return enters_left, ~enters_left


def _passes(wound: NDArray[np.int32]) -> NDArray[np.int64]:
    """Return how often each pick's winding was thrown before."""
    order = np.argsort(wound, kind="stable")
    grouped = wound[order]
    starts = np.flatnonzero(np.concatenate([[True], grouped[1:] != grouped[:-1]]))
    before = np.arange(len(wound)) - np.repeat(starts, np.diff(np.concatenate([starts, [len(wound)]])))
    passes = np.empty(len(wound), dtype=np.int64)
    passes[order] = before
    return passes


def repeat_of(ends: NDArray[np.uint8]) -> int:
    """Return after how many ends a threading comes again, or all ends.

    The failure function of Knuth, Morris and Pratt (1977): what is left of the longest border.
    """
    shafts = ends.tolist()
    border = [0] * len(shafts)
    reach = 0
    for place in range(1, len(shafts)):
        while reach and shafts[place] != shafts[reach]:
            reach = border[reach - 1]
        reach += shafts[place] == shafts[reach]
        border[place] = reach
    return len(shafts) - (border[-1] if shafts else 0)


def snapped(column_px: float, repeat: int) -> float:
    """Return the width of a column at which a repeat of so many ends is whole pixels, at least one."""
    return max(1, round(repeat * column_px)) / repeat


def sight(weaving: Weaving, scale: Scale, *, mirrored: bool, back: bool, edge: EdgeWarp, woven: int) -> Sight:
    """Return the first ``woven`` picks of a strip as seen.

    Parameters
    ----------
    mirrored : bool
        Whether left and right change places.
    back : bool
        Whether the floats are seen, not the beads.
    """
    ends = weaving.ends[::-1] if mirrored else weaving.ends
    picks = weaving.picks
    tops = np.floor(picks.top_mm[:woven] * (scale.line_px / scale.line_mm) + 0.5 + 1e-9).astype(np.int64)
    return Sight(
        ends,
        weaving.own_shed[:woven],
        picks.line[:woven],
        picks.wound[:woven],
        np.concatenate([np.zeros(1, dtype=np.int64), tops]),
        scale.column_px,
        scale.line_px,
        back,
        edge,
    )
