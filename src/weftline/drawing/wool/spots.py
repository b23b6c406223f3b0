"""Spots of weft: the ovals that a picture of cloth is made of, with the shapes that they may have.

A *spot* is one place where a pick shows: a bead on the face, a float on the back, a turn at an
edge. A *stack* is the spots of one column from the foot up. Units: pixels, x from the left edge of
the strip, y upwards from its foot.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.sight import Sight

OVERHANG = 0.42
"""How far the outermost beads reach beyond the cloth, in lines."""


@dataclass(frozen=True, slots=True)
class Shape:
    """How an oval narrows, rises and leans.

    Parameters
    ----------
    taper, taper_power, tip : float
        Half-height is (1 - taper u^power) sqrt(1 - u^tip) of that in the middle, u from 0 to 1 at the tip.
    crown, crown_power : float
        Height of the middle above the tips: crown cos(pi u / 2)^power.
    slant : float
        Rise of the tip with the twist, in lines.
    sunk : float
        How much lower it lies than a bead.
    loose : float
        How far its fibres part at the border, against those of a bead.
    """

    taper: float
    taper_power: float
    tip: float
    crown: float
    crown_power: float
    slant: float
    sunk: float = 0.0
    loose: float = 1.0


BEAD = Shape(0.34, 2.0, 8.0, 0.50, 0.8, 0.10)
FLOAT = Shape(0.50, 1.9, 8.0, 0.50, 0.75, 0.05, loose=0.4)
EDGE_BEAD = Shape(0.34, 2.0, 3.2, 0.50, 0.8, 0.10)
EDGE_FLOAT = Shape(0.50, 1.9, 3.2, 0.50, 0.75, 0.05, loose=0.4)
TURN = Shape(0.0, 2.0, 1.7, 0.34, 0.8, 0.14, sunk=0.08)


class Course(NamedTuple):
    """How a float lies over its ends.

    Parameters
    ----------
    x : (ends,) float64
        Middle of each end, px from the strip's left edge.
    axis, above, below : (ends,) float64
        The float's middle there above the spot's, and the room above and below it, px.
    """

    x: NDArray[np.float64]
    axis: NDArray[np.float64]
    above: NDArray[np.float64]
    below: NDArray[np.float64]


class Spot(NamedTuple):
    """One oval of weft.

    Parameters
    ----------
    pick : int
    x, y : float
        Its middle.
    up, down : float
        How far its column is its own above and below the middle.
    half : float
        Half its length.
    left, right : float
        How far its tips bend upwards.
    dice : int
        What its variation is drawn from: its place in the tile.
    shape : Shape
    course : Course or None
        Of a float.
    """

    pick: int
    x: float
    y: float
    up: float
    down: float
    half: float
    left: float
    right: float
    dice: int
    shape: Shape
    course: Course | None = None


@dataclass(frozen=True, eq=False)
class Stack:
    """The spots of one column, from the foot up, in pixels; the outermost reach a little beyond the cloth.

    Parameters
    ----------
    pick : (spots,) int64
    y, low, high : (spots,) float64
    """

    pick: NDArray[np.int64]
    y: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    def between(self, low: float, high: float) -> range:
        """Return the places of the spots that reach into these rows, with some room for bends."""
        first = int(np.searchsorted(self.high, low, side="left"))
        last = int(np.searchsorted(self.low, high, side="right"))
        return range(max(0, first - 1), min(len(self.pick), last + 1))


def stack(chosen: NDArray[np.int64], sight: Sight) -> Stack:
    """Return the stack of the chosen picks, each grown halfway to its neighbours (as in ``core.weave.face``)."""
    y, height, line_px = sight.middles[chosen], sight.height_px, sight.line_px
    if not len(y):
        return Stack(chosen, y, y, y)
    between = (y[1:] + y[:-1]) / 2
    reach = OVERHANG * line_px
    below = y[0] - (between[0] - y[0] if len(between) else line_px / 2)
    above = y[-1] + (y[-1] - between[-1] if len(between) else line_px / 2)
    foot, top = min(0.0, max(below, -reach)), max(height, min(above, height + reach))
    return Stack(chosen, y, np.concatenate([[foot], between]), np.concatenate([between, [top]]))
