"""Chance that is the same on every machine: numbers drawn from a seed and the names of things.

Whole-number mixing only (the finaliser of splitmix64; Steele, Lea and Flood 2014), so that no
library's stream of random numbers is part of a picture.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEP, _FIRST, _SECOND = np.uint64(0x9E3779B97F4A7C15), np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)


def _mixed(values: NDArray[np.uint64]) -> NDArray[np.uint64]:
    values = (values ^ (values >> np.uint64(30))) * _FIRST
    values = (values ^ (values >> np.uint64(27))) * _SECOND
    return values ^ (values >> np.uint64(31))


def grid(seed: int, rows: int, columns: int) -> NDArray[np.float32]:
    """Return (rows, columns) float32 of numbers 0..1, each drawn from its place and the seed."""
    start = np.array([seed & 0xFFFF_FFFF], dtype=np.uint64) * _SECOND
    places = np.arange(rows * columns, dtype=np.uint64) * _STEP + start
    drawn = _mixed(_mixed(places) + _STEP)
    return ((drawn >> np.uint64(40)).astype(np.float32) / np.float32(1 << 24)).reshape(rows, columns)
