"""The face: beads stacked into ribs, one rib an end, each bead bent towards the gaps of its neighbours."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.columns import showing
from weftline.drawing.wool.spots import BEAD, EDGE_BEAD, Spot, Stack, stack

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.drawing.wool.columns import Columns
    from weftline.drawing.wool.sight import Sight

BEND = 0.17
"""How far the tip of a bead bends at most, in heights of the bead."""


@dataclass(eq=False)
class Ribs:
    """Every bead of some columns of a strip, asked for by rectangle."""

    sight: Sight
    columns: Columns
    stacks: dict[int, Stack] = field(init=False)
    _bends: dict[tuple[int, int], NDArray[np.float64]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        kinds = np.unique(self.columns.kind).tolist()
        self.stacks = {kind: stack(showing(self.sight, kind), self.sight) for kind in kinds}

    def within(self, x: tuple[float, float], y: tuple[float, float]) -> list[Spot]:
        """Return the beads that reach into a rectangle."""
        reach = (self.columns.x + self.columns.half > x[0]) & (self.columns.x - self.columns.half < x[1])
        spots: list[Spot] = []
        for column in np.flatnonzero(reach).tolist():
            spots += self._of_column(column, y)
        return spots

    def by_column(self) -> Iterator[tuple[Spot, int]]:
        """Yield every bead with the pick below it in its column, -1 at the foot."""
        for column in range(len(self.columns.kind)):
            below = -1
            for spot in self._of_column(column, (0.0, float(self.sight.height_px))):
                yield spot, below
                below = spot.pick

    def _of_column(self, column: int, y: tuple[float, float]) -> list[Spot]:
        columns = self.columns
        kind, last = int(columns.kind[column]), len(columns.kind) - 1
        left = self._bend(kind, int(columns.kind[column - 1]) if column > 0 else kind)
        right = self._bend(kind, int(columns.kind[column + 1]) if column < last else kind)
        stack = self.stacks[kind]
        x, half, dice = float(columns.x[column]), float(columns.half[column]), int(columns.dice[column])
        shape = BEAD if 0 < column < last else EDGE_BEAD
        spots = []
        for place in stack.between(*y):
            middle = float(stack.y[place])
            up, down = float(stack.high[place]) - middle, middle - float(stack.low[place])
            bends = float(left[place]), float(right[place])
            spots.append(Spot(int(stack.pick[place]), x, middle, up, down, half, *bends, dice, shape))
        return spots

    def _bend(self, kind: int, beside: int) -> NDArray[np.float64]:
        """Return (spots,): how far beads of one kind bend upwards towards the nearest gap of another."""
        if (kind, beside) not in self._bends:
            mine, other = self.stacks[kind], self.stacks[beside]
            tall = mine.high - mine.low
            if kind == beside or not len(other.y) or not len(mine.y):
                bend = np.zeros(len(mine.y))
            else:
                gaps = np.append(other.low, other.high[-1])
                place = np.clip(np.searchsorted(gaps, mine.y), 1, len(gaps) - 1)
                below, above = gaps[place - 1] - mine.y, gaps[place] - mine.y
                nearest = np.where(np.abs(below) < np.abs(above), below, above)
                bend = np.where(np.abs(nearest) < 0.4 * tall, np.clip(nearest, -BEND * tall, BEND * tall), 0.0)
            self._bends[kind, beside] = bend
        return self._bends[kind, beside]
