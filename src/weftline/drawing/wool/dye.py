"""Yarn colours on lit wool: a table from shade to sRGB for each colour, true to it on average.

In linear light, albedo^(1 + .22 shadow) x shade, with the mean brought back to the albedo and a
soft shoulder above .82; then encoded.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import to_srgb
from weftline.drawing.wool.light import BRIGHTEST

if TYPE_CHECKING:
    from numpy.typing import NDArray

SHADES = 256
SHADOW = 0.22
SHOULDER = 0.82
DARKEST = 0.0018
"""The darkest wool, linear: about 1 CIEDE2000 from black, so that black cloth keeps its relief."""
STRONGEST = 1.22
"""How much a colour is lifted at most for the sake of its mean; white cannot reach its own."""


def table(light: NDArray[np.float64], seen: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Return (256, 3) uint8: the sRGB of one colour in each shade.

    Parameters
    ----------
    light : (3,) float64
        The colour, linear.
    seen : (256,) float64
        How often each shade is seen.
    """
    albedo = np.maximum(light, DARKEST)
    shades = np.arange(SHADES)[:, None] / (SHADES - 1) * BRIGHTEST
    lit = albedo ** (1 + SHADOW * np.clip(1 - shades, 0, 1)) * shades
    weight = (seen / seen.sum())[:, None]
    low, high = np.full(3, 0.5), np.full(3, STRONGEST)
    for _ in range(24):
        middle = (low + high) / 2
        dark = (_soft(lit * middle) * weight).sum(axis=0) < albedo
        low, high = np.where(dark, middle, low), np.where(dark, high, middle)
    return np.round(to_srgb(_soft(lit * (low + high) / 2)) * 255).astype(np.uint8)


def _soft(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return light with a soft shoulder: above .82 it nears 1 ever more slowly."""
    over = np.maximum(light - SHOULDER, 0) / (1 - SHOULDER)
    return np.where(light > SHOULDER, SHOULDER + (1 - SHOULDER) * (1 - np.exp(-over)), light)
