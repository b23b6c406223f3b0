"""The columns of a strip as seen, and the weft that turns round the outermost of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.spots import TURN, Spot

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.sight import Sight

HALF_BEAD, HALF_TURN = 0.74, 0.36
"""Half the length of a bead and of a turn at the edge, in columns."""
LEFT, RIGHT = -1, -2
"""Kinds of the floating ends; other kinds are shafts."""
_FLOATING_DICE, _TURN_DICE = 100_000, 200_000


@dataclass(frozen=True, eq=False)
class Columns:
    """The columns of a strip as seen, floating ends with them.

    Parameters
    ----------
    kind : (columns,) int64
        Columns of one kind have one stack: the shaft, or ``LEFT`` or ``RIGHT``.
    x, half : (columns,) float64
        Middle of each, and half the length of its beads, px.
    dice : (columns,) int64
        What their variation is drawn from; equal after ``tile`` ends.
    """

    kind: NDArray[np.int64]
    x: NDArray[np.float64]
    half: NDArray[np.float64]
    dice: NDArray[np.int64]

    def floating(self) -> Columns:
        """Return the floating ends alone."""
        keep = self.kind < 0
        return Columns(self.kind[keep], self.x[keep], self.half[keep], self.dice[keep])


def columns(sight: Sight, tile: int) -> Columns:
    """Return the columns of a strip whose variation comes again after ``tile`` ends."""
    count, wide = len(sight.ends), sight.column_px
    kind = sight.ends.astype(np.int64)
    x = (np.arange(count, dtype=np.float64) + 0.5) * wide
    half, dice = np.full(count, HALF_BEAD * wide), np.arange(count) % tile
    more = sight.edge_wider_px / 2
    if more:
        x[0], x[-1] = x[0] - more, x[-1] + more
        half[[0, -1]] += more
    if sight.edge.kind == "floating":
        kind = np.concatenate([[LEFT], kind, [RIGHT]])
        x = np.concatenate([[-0.5 * wide], x, [(count + 0.5) * wide]])
        half = np.concatenate([half[:1], half, half[:1]])
        dice = np.concatenate([[_FLOATING_DICE], dice, [_FLOATING_DICE + 1]])
    return Columns(kind, x, half, dice)


def showing(sight: Sight, kind: int) -> NDArray[np.int64]:
    """Return the picks that show in a column of this kind on the face."""
    if kind in (LEFT, RIGHT):
        return np.flatnonzero(sight.over_at[0 if kind == LEFT else 1])
    return np.flatnonzero(sight.shed >> np.uint16(kind - 1) & 1)


@dataclass(frozen=True, eq=False)
class Turns:
    """The turns beyond both edges: small beads of the picks that do not show on the outermost column.

    Parameters
    ----------
    sight : Sight
    columns : Columns
    picks : pair of (picks,) int64
        Those that turn beyond the left and beyond the right edge as seen.
    """

    sight: Sight
    columns: Columns
    picks: tuple[NDArray[np.int64], NDArray[np.int64]]

    def within(self, x: tuple[float, float], y: tuple[float, float]) -> list[Spot]:
        """Return the turns that reach into a rectangle."""
        wide, feet, middles = self.sight.column_px, self.sight.feet, self.sight.middles
        half, spots = HALF_TURN * wide, []
        for side, picks in zip((0, -1), self.picks, strict=True):
            outwards = -1 if side == 0 else 1
            at = float(self.columns.x[side]) + outwards * (float(self.columns.half[side]) - (HALF_BEAD - 0.5) * wide)
            if at + half <= x[0] or at - half >= x[1]:
                continue
            first, stop = np.searchsorted(middles[picks], [y[0] - self.sight.line_px, y[1] + self.sight.line_px])
            for pick in picks[first:stop].tolist():
                tall = min(HALF_TURN * self.sight.line_px, 0.98 * float(feet[pick + 1] - feet[pick]))
                lean = -outwards * 0.1 * tall
                dice = _TURN_DICE + (side == 0)
                spots.append(Spot(pick, at, float(middles[pick]), tall, tall, half, lean, -lean, dice, TURN))
        return spots


def turning(sight: Sight, columns: Columns, showing_at: tuple[NDArray[np.int64], NDArray[np.int64]]) -> Turns:
    """Return the turns of a strip, given which picks show on its outermost ends."""
    everyone = np.arange(len(sight.shed))
    floating = columns.kind[0] == LEFT
    over = tuple(showing(sight, kind) for kind in (LEFT, RIGHT)) if floating else showing_at
    left, right = (np.setdiff1d(everyone, picks, assume_unique=True) for picks in over)
    return Turns(sight, columns, (left, right))
