"""What lies behind the cloth: the bench, the cloth's soft shadow on it, and bare warp."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import to_linear, to_srgb

if TYPE_CHECKING:
    from numpy.typing import NDArray

BENCH = 170
"""Grey level of the bench."""
SHADOW = 0.42
"""How much of the light the cloth takes from the bench at its very edge."""
THREAD = 0.22
"""Half the width of a warp thread, in columns."""
BETWEEN = 0.35
"""How much of the light warp threads take from the bench beside them."""
TWIST_LINES = 0.55
"""After how many lines the plies of a warp thread come again."""


@dataclass(frozen=True, eq=False)
class BareWarp:
    """Warp without weft.

    Parameters
    ----------
    threads : (threads,) float64
        Middle of each, px from the strip's left edge.
    light : (3,) float64
        Linear colour.
    spans : tuple of (int, int)
        From row to row, upwards from the foot.
    column_px, line_px : float
    """

    threads: NDArray[np.float64]
    light: NDArray[np.float64]
    spans: tuple[tuple[int, int], ...]
    column_px: float
    line_px: float

    def over(self, light: NDArray[np.float64], y: NDArray[np.float64], x: NDArray[np.float64]) -> None:
        """Draw the threads over (rows, columns, 3) linear light, in place."""
        place = np.clip(np.searchsorted(self.threads, x), 1, len(self.threads) - 1) if len(self.threads) > 1 else 0
        before, after = self.threads[np.maximum(place - 1, 0)], self.threads[place]
        off = np.where(np.abs(x - before) < np.abs(x - after), x - before, x - after) / (THREAD * self.column_px)
        rows = np.zeros(len(y), dtype=np.bool_)
        for low, high in self.spans:
            rows |= (y > low) & (y < high)
        inside = np.flatnonzero(np.abs(off) < 1 + 0.5 / max(THREAD * self.column_px, 0.5))
        if not len(inside) or not rows.any():
            return
        across = np.clip(off[inside], -1, 1)
        part = np.clip((1 - np.abs(off[inside])) * max(THREAD * self.column_px, 0.5) + 0.5, 0, 1)
        round_ = 0.35 + 0.75 * np.sqrt(1 - 0.96 * across**2) - 0.18 * across
        turn = np.abs(
            np.cos(np.pi * (y[rows][:, None] / (TWIST_LINES * self.line_px) - 0.5 * np.arcsin(across) / np.pi))
        )
        lit = (round_ * (0.72 + 0.28 * turn))[..., None] * self.light
        light[rows] *= (1 - BETWEEN * np.clip(2.2 - np.abs(off), 0, 1))[:, None]
        cut = np.ix_(rows, inside)
        light[cut] += (np.minimum(lit, 1) - light[cut]) * part[:, None]


@dataclass(frozen=True, eq=False)
class Ground:
    """What lies behind one strip.

    Parameters
    ----------
    width, height : int
        The cloth, px.
    soft : float
        Reach of its shadow, px.
    warp : BareWarp or None
    bench : int
        Grey level of what it lies on.
    """

    width: int
    height: int
    soft: float
    warp: BareWarp | None = None
    bench: int = BENCH

    def rows(self, y: tuple[int, int], x: tuple[int, int]) -> NDArray[np.uint8]:
        """Return (rows, columns, 3) uint8, the highest row first."""
        up = np.arange(y[1] - 1, y[0] - 1, -1, dtype=np.float64) + 0.5
        right = np.arange(x[0], x[1], dtype=np.float64) + 0.5
        tall, wide = self._fall(up + 0.3 * self.soft, self.height), self._fall(right - 0.15 * self.soft, self.width)
        light: NDArray[np.float64] = to_linear(self.bench / 255) * (1 - SHADOW * tall[:, None] * wide)
        light = np.repeat(light[..., None], 3, axis=2)
        if self.warp is not None:
            self.warp.over(light, up, right)
        return np.round(to_srgb(light) * 255).astype(np.uint8)

    def even(self, y: tuple[int, int]) -> bool:
        """Return whether these rows all look alike, in the middle of the cloth's height."""
        clear = y[0] > 2 * self.soft and y[1] < self.height - 2 * self.soft
        if self.warp is None:
            return clear
        return clear and all(y[1] <= low or y[0] >= high for low, high in self.warp.spans)

    def _fall(self, place: NDArray[np.float64], size: int) -> NDArray[np.float64]:
        """Return how dark the shadow is along one direction: 1 under the cloth, 0 far from it."""
        if not self.height:
            return np.zeros(len(place))
        inward = np.minimum(place, size - place) / self.soft
        part = np.clip((inward + 1) / 1.4, 0, 1)
        fall: NDArray[np.float64] = part * part * (3 - 2 * part)
        return fall
