"""Light on wool: from the upper left, softened by the sky and by what the strands throw at each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.relief import NO_SPOT
from weftline.drawing.wool.smoothing import smooth

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.relief import Relief

SUN = (-0.42, 0.60, 0.68)
"""Where the light comes from: right, up, towards the eye."""
WRAP, LAMBERT, SKY, RIM = 0.55, 0.62, 0.34, 0.30
STEEP = 0.80
"""Height of the relief in lines for one unit of the height field."""
NEAR, FAR = 0.14, 0.45
"""Reach of the two shadows between strands, in lines."""
SOFT, SCATTER = 0.38, 0.16
"""Part of the light that wanders through the wool, and how far, in lines."""
FUZZ = 0.020
"""How far fuzz rounds off the relief, in lines."""
EVEN = 0.9
"""How far the light of each spot is brought to the same mean, so that its colour stays true."""
BRIGHTEST = 2.0
"""The shade that 255 stands for; the mean shade is 1."""


def shade(relief: Relief, line_px: float) -> NDArray[np.float32]:
    """Return (rows, columns) float32 of light, 1 on average over every spot, 0 where there is none."""
    bare = relief.spot == NO_SPOT
    height = np.where(bare, np.float32(0), relief.height)
    light = _lit(height, line_px) * _open(height, line_px)
    light = (1 - SOFT) * light + SOFT * smooth(light, SCATTER * line_px)
    light *= 1 + relief.tone
    light *= _evened(light, relief.spot)[relief.spot]
    light[bare] = 0
    return light


def _lit(height: NDArray[np.float32], line_px: float) -> NDArray[np.float32]:
    surface = smooth(height, FUZZ * line_px)
    scale = np.float32(STEEP * line_px / 2)
    across, upwards = np.zeros_like(surface), np.zeros_like(surface)
    np.subtract(surface[:, :-2], surface[:, 2:], out=across[:, 1:-1])
    np.subtract(surface[:-2], surface[2:], out=upwards[1:-1])
    across *= scale
    upwards *= scale
    facing = 1 / np.sqrt(across * across + upwards * upwards + 1)
    sun = (across * np.float32(SUN[0]) + upwards * np.float32(SUN[1]) + np.float32(SUN[2])) * facing
    wrapped = np.maximum((sun + WRAP) / (1 + WRAP), 0)
    sky = 0.5 + 0.5 * (0.35 * upwards + 1) * facing
    light: NDArray[np.float32] = (LAMBERT * wrapped + SKY * sky + RIM * (1 - facing) ** 2).astype(np.float32)
    return light


def _open(height: NDArray[np.float32], line_px: float) -> NDArray[np.float32]:
    """Return how much of the sky each place sees: less in the valleys between strands."""
    near = height - smooth(height, NEAR * line_px)
    far = height - smooth(height, FAR * line_px)
    seen: NDArray[np.float32] = np.clip(1 + np.minimum(near, 0.08) + np.minimum(far, 0.14), 0.25, 1.2).astype(
        np.float32
    )
    return seen


def _evened(light: NDArray[np.float32], spot: NDArray[np.int32]) -> NDArray[np.float32]:
    """Return (spots + 1,) float32: what brings the mean light of each spot to 1; the last entry is for no spot."""
    places = spot.ravel() + 1
    seen = np.bincount(places)
    sums = np.bincount(places, weights=light.ravel())
    whole = sums[1:].sum() / max(1, seen[1:].sum())
    means = np.where(seen > 0, sums / np.maximum(seen, 1), whole)
    gains = 1 / (whole * np.maximum(means / whole, 0.2) ** EVEN)
    gain: NDArray[np.float32] = np.roll(gains, -1).astype(np.float32)
    return gain
