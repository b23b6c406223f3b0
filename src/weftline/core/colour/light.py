"""sRGB and linear light (IEC 61966-2-1; break points 0.04045 and 0.0031308)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import ArrayLike, NDArray


def to_linear(encoded: ArrayLike) -> NDArray[np.float64]:
    """Return linear light of sRGB values 0..1, any shape."""
    values = np.asarray(encoded, dtype=np.float64)
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def to_srgb(linear: ArrayLike) -> NDArray[np.float64]:
    """Return encoded sRGB 0..1 of linear light, any shape; light outside 0..1 is clipped."""
    values = np.clip(np.asarray(linear, dtype=np.float64), 0.0, 1.0)
    return np.where(values <= 0.0031308, values * 12.92, 1.055 * values ** (1 / 2.4) - 0.055)


def hex_to_linear(colour: str) -> NDArray[np.float64]:
    """Return (3,) linear light of ``#rrggbb``."""
    return to_linear(np.frombuffer(bytes.fromhex(colour[1:]), dtype=np.uint8) / 255.0)


def wound_together(colours: Iterable[tuple[NDArray[np.float64], float]]) -> NDArray[np.float64]:
    """Return (3,) linear light of strands side by side: their mean, weighted by how much of each shows.

    Source: light from threads too fine to see apart adds up; common practice.
    """
    pairs = list(colours)
    lights = np.array([light for light, _ in pairs])
    return np.average(lights, axis=0, weights=[share for _, share in pairs])
