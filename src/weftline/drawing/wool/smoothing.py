"""Smoothing of a field of pixels by running means, wide reaches on a coarser field."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Field = NDArray[np.float32]

FINEST_REACH = 2.0
"""A wider smoothing is done on a coarser field, until its reach there is between this and twice this."""


def smooth(values: Field, reach: float) -> Field:
    """Return (rows, columns) float32 smoothed with about a Gaussian of deviation ``reach`` px.

    Three running means of width w have the variance (w^2 - 1) / 4.
    """
    coarser = max(1, int(reach / FINEST_REACH))
    if coarser > 1:
        small = _three_means(_coarse(values, coarser), reach / coarser)
        return _fine(_fine(small, coarser, 0, values.shape[0]), coarser, 1, values.shape[1])
    return _three_means(values, reach)


def _three_means(values: Field, reach: float) -> Field:
    half = round((float(np.sqrt(4 * reach * reach + 1)) - 1) / 2)
    for axis in (0, 1) if half else ():
        for _ in range(3):
            values = _running_mean(values, half, axis)
    return values


def _running_mean(values: Field, half: int, axis: int) -> Field:
    room = [(0, 0), (0, 0)]
    room[axis] = (half, half)
    padded = np.pad(values, room, mode="edge")
    size = values.shape[axis]
    parts = [padded[k : k + size] if axis == 0 else padded[:, k : k + size] for k in range(2 * half + 1)]
    total = parts[0] + parts[1]
    for part in parts[2:]:
        total += part
    total *= np.float32(1 / (2 * half + 1))
    return total


def _coarse(values: Field, times: int) -> Field:
    """Return the means of ``times`` by ``times`` pixels; the last ones reach beyond the field by repeating its edge."""
    for axis in (0, 1):
        room = [(0, 0), (0, 0)]
        room[axis] = (0, -values.shape[axis] % times)
        padded = np.pad(values, room, mode="edge")
        parts = [padded[k::times] if axis == 0 else padded[:, k::times] for k in range(times)]
        total = parts[0].copy()
        for part in parts[1:]:
            total += part
        values = total * np.float32(1 / times)
    return values


def _fine(values: Field, times: int, axis: int, size: int) -> Field:
    """Return a coarse field at full size along one axis, straight between the middles of its pixels."""
    place = (np.arange(size, dtype=np.float32) + np.float32(0.5)) / np.float32(times) - np.float32(0.5)
    place = np.clip(place, 0, values.shape[axis] - 1)
    before = place.astype(np.int64)
    after = np.minimum(before + 1, values.shape[axis] - 1)
    part = place - before.astype(np.float32)
    if axis == 0:
        part = part[:, None]
    low = values.take(before, axis)
    fine: Field = low + (values.take(after, axis) - low) * part
    return fine
