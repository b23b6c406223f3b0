"""What a strand of wool looks like: its round profile, its plies, its fibres; as tables to look up.

Tables stand in for roots, sines and arcs so that a picture needs only sums and products for each
pixel. Lengths along a yarn are counted in lines (heights of a line): a yarn that closes up into
lower lines is thinner and its twist is tighter.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.chance import grid

if TYPE_CHECKING:
    from numpy.typing import NDArray

PROFILE_STEPS = 8192
ACROSS_STEPS = 2048
PLY_STEPS = 1024
FIBRE_AROUND, FIBRE_ALONG = 128, 1024
FIBRE_PER_LINE = 96
"""Places of the fibre table in the height of a line along the yarn."""
OUTLINES = 64
PLY_LINES = 8 / 2.6
"""Two plies turn once about each other in 8 mm where a line is 2.6 mm high (measured on the drawn examples)."""


@dataclass(frozen=True, eq=False)
class Strand:
    """Tables of one strand.

    Parameters
    ----------
    profile : (PROFILE_STEPS,) float32
        Height (1 - v^2)^.52 over v^2 from 0 to 1.
    ply_of, fibre_of : (ACROSS_STEPS + 1,) int32
        Place around the strand for v from -1 to 1, in steps of the ply and fibre tables.
    ply : (PLY_STEPS,) float32
        Relief of two plies over one half turn, mean 0.
    fibres : (FIBRE_AROUND * FIBRE_ALONG,) float32
        Streaks, mean 0, deviation 1, seamless both ways; ``fibres[around * FIBRE_ALONG + along]``.
    outline : (OUTLINES * FIBRE_ALONG,) float32
        Slow waves along the strand, mean 0, deviation 1.
    """

    profile: NDArray[np.float32]
    ply_of: NDArray[np.int32]
    fibre_of: NDArray[np.int32]
    ply: NDArray[np.float32]
    fibres: NDArray[np.float32]
    outline: NDArray[np.float32]


@lru_cache(maxsize=4)
def strand(seed: int) -> Strand:
    """Return the tables of a strand; the seed lays its fibres."""
    squares = (np.arange(PROFILE_STEPS) + 0.5) / PROFILE_STEPS
    profile = _even((1 - squares) ** 0.52)
    around = np.arcsin(np.linspace(-1, 1, ACROSS_STEPS + 1)) / np.pi  # -1/2 .. 1/2 of the strand's half round
    turn = (np.arange(PLY_STEPS) + 0.5) / PLY_STEPS
    ply = np.abs(np.cos(np.pi * turn)) ** 0.8
    return Strand(
        profile,
        np.floor(around * PLY_STEPS).astype(np.int32),
        np.floor((around + 0.5) * (FIBRE_AROUND - 1)).astype(np.int32),
        _even(ply - ply.mean()),
        _fibres(seed).ravel(),
        np.clip(_even(_streaks(grid(seed * 8 + 7, OUTLINES, FIBRE_ALONG), across=1, along=28)), -2, 2).ravel(),
    )


def _even(values: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return the values to six digits, where machines no longer differ."""
    return np.round(values, 6).astype(np.float32)


def _fibres(seed: int) -> NDArray[np.float32]:
    """Return (FIBRE_AROUND, FIBRE_ALONG): fine streaks over broad ones."""
    layers = ((0.55, 2, 26), (0.62, 4, 32), (0.56, 9, 44))
    streaks = sum(
        part * _streaks(grid(seed * 8 + place, FIBRE_AROUND, FIBRE_ALONG), across, along)
        for place, (part, across, along) in enumerate(layers)
    )
    return np.clip(_even(np.asarray(streaks)), -2.5, 2.5)


def _streaks(noise: NDArray[np.float32], across: int, along: int) -> NDArray[np.float64]:
    smooth = noise.astype(np.float64)
    for axis, width in ((0, across), (1, along), (0, across), (1, along)):
        smooth = _ring_mean(smooth, width, axis)
    smooth -= smooth.mean()
    even: NDArray[np.float64] = smooth / smooth.std()
    return even


def _ring_mean(values: NDArray[np.float64], width: int, axis: int) -> NDArray[np.float64]:
    """Return the running mean over ``width`` places of a table whose ends meet."""
    sums = np.cumsum(np.concatenate([values, values.take(range(width), axis)], axis=axis), axis=axis)
    later = sums.take(range(width, values.shape[axis] + width), axis)
    mean: NDArray[np.float64] = (later - sums.take(range(values.shape[axis]), axis)) / width
    return mean
