"""Small pictures: averaged by area in linear light, sharpened only within the range of the neighbours."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import to_linear, to_srgb

if TYPE_CHECKING:
    from numpy.typing import NDArray

SHARPEN = 0.6


def averaged(pixels: NDArray[np.uint8], times: int) -> NDArray[np.float32]:
    """Return (rows, columns, 3) float32 of linear light, each the mean of ``times`` by ``times`` pixels."""
    light = to_linear(np.arange(256) / 255).astype(np.float32)[pixels]
    rows, columns = pixels.shape[0] // times, pixels.shape[1] // times
    blocks = light.reshape(rows, times, columns, times, 3)
    return np.asarray(blocks.mean(axis=(1, 3), dtype=np.float64), dtype=np.float32)


def encoded(light: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return (rows, columns, 3) uint8 sRGB of linear light."""
    return np.round(to_srgb(light) * 255).astype(np.uint8)


def sharpened(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a picture with crisper edges in which no pixel leaves the range of its neighbours."""
    padded = np.pad(pixels.astype(np.float32), ((1, 1), (1, 1), (0, 0)), mode="edge")
    rows, columns = pixels.shape[:2]
    near = np.stack([padded[y : y + rows, x : x + columns] for y in range(3) for x in range(3)])
    mean = near.mean(axis=0)
    crisp = pixels + SHARPEN * (pixels - mean)
    kept: NDArray[np.uint8] = np.round(np.clip(crisp, near.min(axis=0), near.max(axis=0))).astype(np.uint8)
    return kept
