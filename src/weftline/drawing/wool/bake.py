"""Baking: which pick lies under each pixel and how bright it is, without any colour.

A *band* is the share of rows that one pick adds to the cloth. A *bake* is one band of a *panel*, a
set of upright stretches of the strip. Rows are stored as in a picture, the highest first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.hairs import FINE_LINE, Hairs, hairs
from weftline.drawing.wool.light import BRIGHTEST, shade
from weftline.drawing.wool.relief import NO_SPOT, Window, raise_relief

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.drawing.wool.cover import Cover

BARE = -(1 << 15)
"""Stands for no pick."""
ROOM = 1.5
"""How far around a band the relief is raised, in lines."""
STEP = 5
"""Shades are told apart by so many levels of 256: finer is not seen in wool, and takes half as long to send again."""
MOST_PIXELS = 1_500_000
"""Pixels raised at once, about."""


@dataclass(frozen=True, eq=False)
class Bake:
    """One band, colourless.

    Parameters
    ----------
    which : (rows, columns) int16
        The pick that shows, counted from the band's own; ``BARE`` where there is none.
    shade : (rows, columns) uint8
    others : tuple of int
        The values in ``which``, ``BARE`` left out.
    bare : bool
        Whether some pixel shows no pick.
    hairs : Hairs
        Rows downwards, picks counted from the band's own.
    """

    which: NDArray[np.int16]
    shade: NDArray[np.uint8]
    others: tuple[int, ...]
    bare: bool
    hairs: Hairs


@dataclass(frozen=True, eq=False)
class _Part:
    """Part of a panel, the highest row first; ``which`` counts picks from the strip's foot, -1 for none."""

    which: NDArray[np.int32]
    shade: NDArray[np.uint8]
    hairs: Hairs


@dataclass(frozen=True, eq=False)
class Oven:
    """Everything that baking needs.

    Parameters
    ----------
    cover : Cover
        Seen ``finer`` times larger than the picture.
    band_feet : (picks + 3,) int64
        Row where each band begins, upwards from the foot; the first band lies below it.
    finer : int
        1, 2 or 4.
    phase : int
        Picks after which the variation comes again.
    seed : int
    """

    cover: Cover
    band_feet: NDArray[np.int64]
    finer: int
    phase: int
    seed: int

    def bake(self, stretches: tuple[tuple[int, int], ...], first: int, last: int) -> Iterator[Bake]:
        """Yield the bakes of the bands first..last, each with all stretches side by side.

        Parameters
        ----------
        stretches : tuple of (int, int)
            From x to x, px of the picture.
        """
        foot, top = int(self.band_feet[first]), int(self.band_feet[last + 1])
        parts = [self._stretch(left, right, foot, top) for left, right in stretches]
        which = np.concatenate([part.which for part in parts], axis=1)
        shades = np.concatenate([part.shade for part in parts], axis=1)
        loose = _side_by_side(parts)
        for band in range(first, last + 1):
            rows = slice(top - int(self.band_feet[band + 1]), top - int(self.band_feet[band]))
            yield _bake(_Part(which[rows], shades[rows], _rows_of(loose, rows)), band - 1)

    @property
    def _cloth(self) -> tuple[int, int, int]:
        """Where the cloth lies, half of each floating end with it, and how high it is."""
        sight = self.cover.sight
        beyond = round(0.5 * sight.column_px) if sight.edge.kind == "floating" else 0
        return -beyond, sight.width_px + beyond, sight.height_px

    def rows_at_once(self, width: int) -> int:
        """Return how many rows of a panel to raise at once."""
        return max(1, MOST_PIXELS // (width * self.finer**2))

    def _stretch(self, left: int, right: int, foot: int, top: int) -> _Part:
        line_px, finer = self.cover.sight.line_px, self.finer
        room = int(np.ceil(ROOM * line_px / finer)) * finer
        window = Window(
            left * finer - room,
            foot * finer - room,
            (right - left) * finer + 2 * room,
            (top - foot) * finer + 2 * room,
            line_px,
            self._cloth,
            self.seed,
        )
        x = float(window.left), float(window.left + window.width)
        y = float(window.foot), float(window.foot + window.height)
        spots = self.cover.within(x, y)
        relief = raise_relief(spots, window, self.phase)
        light = shade(relief, line_px)[room:-room, room:-room]
        pick_of = np.array([spot.pick for spot in spots] + [-1], dtype=np.int32)
        assert NO_SPOT == -1
        which = pick_of[relief.spot[room:-room, room:-room]]
        loose = hairs(spots if line_px / finer >= FINE_LINE else [], window, self.phase)
        loose = Hairs(
            top - foot - 1 - (loose.row - room) // finer, (loose.column - room) // finer, loose.pick, loose.opacity
        )
        while finer > 1:
            which, light = _halved(which, light)
            finer //= 2
        shades = (np.clip(np.rint(light * (255 / BRIGHTEST / STEP)), 0, 255 // STEP) * STEP).astype(np.uint8)
        return _Part(which[::-1], shades[::-1], loose)


def _halved(which: NDArray[np.int32], light: NDArray[np.float32]) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
    """Return both at half the size: the pick seen most often in each four pixels, and its mean light."""
    places = [(row, column) for row in (0, 1) for column in (0, 1)]
    picks = [which[row::2, column::2] for row, column in places]
    lights = [light[row::2, column::2] for row, column in places]
    best = picks[0]
    most = np.zeros(best.shape, dtype=np.int8)
    for pick in picks:
        count = sum((pick == other).astype(np.int8) for other in picks)
        best, most = np.where(count > most, pick, best), np.maximum(count, most)
    same = [pick == best for pick in picks]
    total = sum(np.where(alike, part, np.float32(0)) for alike, part in zip(same, lights, strict=True))
    return best, (total / most).astype(np.float32)


def _side_by_side(parts: list[_Part]) -> Hairs:
    """Return the hairs of stretches that lie side by side; those beyond a stretch are cut."""
    lefts = np.cumsum([0, *(part.which.shape[1] for part in parts)])
    kept = []
    for part, left in zip(parts, lefts[:-1], strict=True):
        rows, width = part.which.shape
        loose = part.hairs
        inside = (loose.row >= 0) & (loose.row < rows) & (loose.column >= 0) & (loose.column < width)
        kept.append((loose.row[inside], loose.column[inside] + left, loose.pick[inside], loose.opacity[inside]))
    row, column, pick, opacity = (np.concatenate(each) for each in zip(*kept, strict=True))
    return Hairs(row, column, pick, opacity)


def _rows_of(loose: Hairs, rows: slice) -> Hairs:
    inside = (loose.row >= rows.start) & (loose.row < rows.stop)
    return Hairs(loose.row[inside] - rows.start, loose.column[inside], loose.pick[inside], loose.opacity[inside])


def _bake(part: _Part, pick: int) -> Bake:
    bare = part.which < 0
    relative = np.where(bare, BARE, part.which - pick).astype(np.int16)
    others = tuple(int(other) for other in np.unique(relative) if other != BARE)
    loose = _one_each(part.hairs, pick)
    return Bake(relative, np.ascontiguousarray(part.shade), others, bool(bare.any()), loose)


def _one_each(loose: Hairs, pick: int) -> Hairs:
    """Return hairs as they are sent: on every pixel one, the last; opacity in steps of a byte; picks from the band's."""
    places = np.column_stack([loose.row, loose.column])[::-1]
    last = len(places) - 1 - np.unique(places, axis=0, return_index=True)[1]
    opacity = (np.rint(loose.opacity[last] * 255) / 255).astype(np.float32)
    return Hairs(loose.row[last], loose.column[last], loose.pick[last] - pick, opacity)
