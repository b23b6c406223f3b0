"""Hairs: a few single fibres that stand off the yarn and lie across their neighbours."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.chance import grid

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.relief import Window
    from weftline.drawing.wool.spots import Spot

FINE_LINE = 32
"""Hairs are drawn where a line is at least so many pixels high."""
ONE_IN = 2
"""One spot of so many has a hair."""
LENGTHS = (0.15, 0.90)
"""Shortest and longest hair, in lines."""
OPACITY = (0.07, 0.25)


@dataclass(frozen=True, eq=False)
class Hairs:
    """Pixels that hairs lie on.

    Parameters
    ----------
    row, column : (pixels,) int64
        In a window, rows upwards.
    pick : (pixels,) int64
        Whose fibre it is.
    opacity : (pixels,) float32
    """

    row: NDArray[np.int64]
    column: NDArray[np.int64]
    pick: NDArray[np.int64]
    opacity: NDArray[np.float32]


def hairs(spots: list[Spot], window: Window, phase: int) -> Hairs:
    """Return the hairs of spots; picks that differ by ``phase`` have the same."""
    drawn = [_hair(spot, window, phase) for spot in spots]
    parts = [part for part in drawn if part is not None]
    if not parts:
        none = np.zeros(0, dtype=np.int64)
        return Hairs(none, none, none, np.zeros(0, dtype=np.float32))
    row, column, pick, opacity = (np.concatenate(each) for each in zip(*parts, strict=True))
    inside = (row >= 0) & (row < window.height) & (column >= 0) & (column < window.width)
    return Hairs(row[inside], column[inside], pick[inside], opacity[inside])


def _hair(
    spot: Spot, window: Window, phase: int
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64], NDArray[np.float32]] | None:
    chance = grid(window.seed * 104_729 + (spot.pick % phase) * 200_003 + spot.dice * 17 + 5, 1, 8)[0].astype(float)
    if chance[0] * ONE_IN >= 1:
        return None
    length = window.line_px * (LENGTHS[0] + (LENGTHS[1] - LENGTHS[0]) * chance[1] ** 2)
    steps = np.arange(0, 1, 0.7 / length)
    angle = 2 * np.pi * chance[2]
    turn = 2.4 * (chance[3] - 0.5)
    x = spot.x + (chance[4] - 0.5) * 1.6 * spot.half + length * steps * np.cos(angle + turn * steps)
    y = spot.y + (chance[5] - 0.5) * (spot.up + spot.down) + length * steps * np.sin(angle + turn * steps)
    places = np.unique(np.column_stack([np.floor(y), np.floor(x)]).astype(np.int64), axis=0)
    thick = min(1.0, 0.02 * window.line_px)
    opacity = thick * (OPACITY[0] + (OPACITY[1] - OPACITY[0]) * chance[6])
    row, column = places[:, 0] - window.foot, places[:, 1] - window.left
    return row, column, np.full(len(row), spot.pick), np.full(len(row), opacity, dtype=np.float32)
