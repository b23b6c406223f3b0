"""Yarn marks on cloth: a small sign for each yarn, so that colour is never the only way to tell them.

A mark stands where a run of equal yarn begins in a column, on beads of at least 10 px, dark on
light yarn and light on dark. The signs, in their order, fill a square of 12 by 12 units.
"""

from __future__ import annotations

import itertools
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Plane = NDArray[np.float64]

SMALLEST_BEAD = 10
DARK, LIGHT = 13, 245
"""Grey levels of the ink: OKLCH lightness .16 and .97."""
LIGHT_YARN = 0.178
"""Luminance from which on dark ink has the higher contrast."""
NAMES = ("dot", "block", "ring", "cross", "rails", "bar", "tent", "bowl", "seeds", "tee", "roof", "glass")
_LINES: dict[str, tuple[tuple[tuple[float, float], ...], ...]] = {
    "cross": (((2, 2), (10, 10)), ((10, 2), (2, 10))),
    "rails": (((1.2, 3.6), (10.8, 3.6)), ((1.2, 8.4), (10.8, 8.4))),
    "bar": (((6, 1.5), (6, 10.5)),),
    "tent": (((6, 1.8), (10.6, 10), (1.4, 10), (6, 1.8)),),
    "tee": (((1.6, 2.2), (10.4, 2.2)), ((6, 2.2), (6, 10.6))),
    "roof": (((1.4, 9), (6, 3), (10.6, 9)),),
}
_DISCS = {"dot": ((6, 6, 1.6),), "seeds": ((2.4, 8.6, 1.7), (9.6, 8.6, 1.7), (6, 2.8, 1.7))}
_STROKE = {"tent": 1.6, "ring": 1.7}
_FINER = 4


def _to_segment(x: Plane, y: Plane, start: tuple[float, float], stop: tuple[float, float]) -> Plane:
    run, rise = stop[0] - start[0], stop[1] - start[1]
    part = np.clip(((x - start[0]) * run + (y - start[1]) * rise) / (run * run + rise * rise), 0, 1)
    return np.hypot(x - start[0] - part * run, y - start[1] - part * rise)


def _filled(name: str) -> Callable[[Plane, Plane], NDArray[np.bool_]] | None:
    solids: dict[str, Callable[[Plane, Plane], NDArray[np.bool_]]] = {
        "block": lambda x, y: np.maximum(np.abs(x - 6), np.abs(y - 6)) <= 4.2,
        "ring": lambda x, y: np.abs(np.hypot(x - 6, y - 6) - 4) <= _STROKE["ring"] / 2,
        "bowl": lambda x, y: (y >= 4.2) & (np.hypot(x - 6, y - 4.2) <= 5),
        "glass": lambda x, y: (np.abs(y - 6) <= 4.2) & (np.abs(x - 6) <= np.abs(y - 6)),
    }
    return solids.get(name)


@lru_cache(maxsize=256)
def sign(place: int, size: int) -> NDArray[np.float32]:
    """Return (size, size) float32: how much of each pixel the ink of one mark covers.

    Parameters
    ----------
    place : int
        Of the yarn in the piece; marks come again after the last.
    size : int
        Pixels.
    """
    name = NAMES[place % len(NAMES)]
    fine = (np.arange(size * _FINER) + 0.5) * (12 / (size * _FINER))
    x, y = np.meshgrid(fine, fine)
    solid = _filled(name)
    ink = np.zeros(x.shape, dtype=np.bool_) if solid is None else solid(x, y)
    for across, down, radius in _DISCS.get(name, ()):
        ink |= np.hypot(x - across, y - down) <= radius + (0.35 if name == "dot" else 0)
    for line in _LINES.get(name, ()):
        for start, stop in itertools.pairwise(line):
            ink |= _to_segment(x, y, start, stop) <= _STROKE.get(name, 1.9) / 2
    cover: NDArray[np.float32] = ink.reshape(size, _FINER, size, _FINER).mean(axis=(1, 3)).astype(np.float32)
    return cover


class MarkPlace(NamedTuple):
    """Where a mark stands: middle (row, column) in a picture, width and height of its bead, px."""

    row: float
    column: float
    width: float
    height: float


def draw_marks(pixels: NDArray[np.uint8], place: MarkPlace, yarns: tuple[int, ...], luminance: float) -> None:
    """Draw the marks of one winding over a picture, in place: up to two side by side."""
    if min(place.width, place.height) < SMALLEST_BEAD:
        return
    shown = yarns[:2]
    size = round(min(0.66 * place.height, 0.85 * place.width / len(shown), 26))
    ink = DARK if luminance > LIGHT_YARN else LIGHT
    left = place.column - size * len(shown) / 2
    for number, yarn in enumerate(shown):
        _stamp(pixels, sign(yarn, size), (round(place.row - size / 2), round(left + number * size)), ink)


def _stamp(pixels: NDArray[np.uint8], cover: NDArray[np.float32], corner: tuple[int, int], ink: int) -> None:
    rows, columns = pixels.shape[:2]
    top, left = max(0, -corner[0]), max(0, -corner[1])
    cover = cover[top : max(top, rows - corner[0]), left : max(left, columns - corner[1])]
    box = pixels[corner[0] + top :, corner[1] + left :][: cover.shape[0], : cover.shape[1]]
    box[:] = np.rint(box + (ink - box.astype(np.float32)) * cover[..., None]).astype(np.uint8)
