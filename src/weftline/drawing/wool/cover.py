"""What covers a strip on the side that is seen, and which stretches of it look alike."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

import numpy as np

from weftline.drawing.wool.columns import Turns, columns, turning
from weftline.drawing.wool.floats import Floats, Shown, shown_on_back
from weftline.drawing.wool.ribs import Ribs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.drawing.wool.sight import Sight
    from weftline.drawing.wool.spots import Spot

MOST_REACH = 48
"""Picks on each side that a band may depend on, at most."""


class Spots(Protocol):
    """Anything that tells its spots by rectangle."""

    def within(self, x: tuple[float, float], y: tuple[float, float]) -> list[Spot]:
        """Return the spots that reach into a rectangle."""


@dataclass(frozen=True, eq=False)
class Cover:
    """All spots of one side of a strip.

    Parameters
    ----------
    sight : Sight
    parts : tuple of Spots
        The deepest first.
    code : (picks,) int64
        Picks of one code lie alike, edges left out.
    plain : int
        How many ends at each side look unlike those in the middle.
    shows : (kinds, picks) bool
        For each kind of column which picks show in it.
    """

    sight: Sight
    parts: tuple[Spots, ...]
    code: NDArray[np.int64]
    plain: int
    shows: NDArray[np.bool_]

    def within(self, x: tuple[float, float], y: tuple[float, float]) -> list[Spot]:
        """Return the spots that reach into a rectangle."""
        return [spot for part in self.parts for spot in part.within(x, y)]

    def by_column(self) -> Iterator[tuple[Spot, int]]:
        """Yield every bead or float with the pick that shows below it in its column, -1 at the foot."""
        for part in self.parts:
            if isinstance(part, Ribs | Floats):
                yield from part.by_column()


def cover(sight: Sight, tile: int) -> Cover:
    """Return the cover of a strip whose variation comes again after ``tile`` ends."""
    all_columns = columns(sight, tile)
    if sight.back:
        shown = shown_on_back(sight)
        turns: Turns = turning(sight, all_columns, (shown.on_end(0), shown.on_end(-1)))
        parts = (turns, Floats(sight, shown, tile), Ribs(sight, all_columns.floating()))
        kinds = np.unique(shown.at, axis=1).astype(np.bool_)
        return Cover(sight, parts, shown.type_of, _edge_ends(sight, shown), kinds[shown.type_of].T)
    ribs = Ribs(sight, all_columns)
    ends = tuple(ribs.stacks[int(all_columns.kind[side])].pick for side in (0, -1))
    turns = turning(sight, all_columns, (ends[0], ends[1]))
    bits = np.unique(sight.ends).astype(np.uint16) - 1
    shows = (sight.shed >> bits[:, None] & 1).astype(np.bool_)
    return Cover(sight, (turns, ribs), np.unique(sight.shed, return_inverse=True)[1].ravel(), 3, shows)


def _edge_ends(sight: Sight, shown: Shown) -> int:
    """Return how many ends from the edge floats begin to lie as in the middle: no float from the edge reaches there."""
    kinds = np.unique(shown.at, axis=1, return_inverse=True)[1].ravel()
    count, repeat, odd = len(kinds), sight.repeat, 0
    while odd < count // 2:
        inner = kinds[odd : count - odd]
        if np.array_equal(inner[repeat:], inner[: max(0, len(inner) - repeat)]):
            break
        odd += 1
    steps = np.diff(np.pad(shown.at.astype(np.int8), ((0, 0), (1, 1))), axis=1)
    longest = int((np.nonzero(steps < 0)[1] - np.nonzero(steps > 0)[1]).max(initial=0))
    return odd + max(3, longest)


def enlarged(sight: Sight, times: int) -> Sight:
    """Return a strip as seen ``times`` larger."""
    return replace(sight, feet=sight.feet * times, column_px=sight.column_px * times, line_px=sight.line_px * times)


def variation(sight: Sight, picks: int) -> int:
    """Return after how many picks the variation comes again: whole lines, about ``picks``."""
    each = int(np.bincount(np.bincount(sight.line)[np.unique(sight.line)]).argmax())
    return each * max(1, round(picks / each))


def reach(sight: Sight) -> int:
    """Return on how many picks below and above a band depends."""
    per_line = int(np.bincount(sight.line).max())
    widest = 1
    for bit in range(16):
        over = np.flatnonzero(sight.shed >> np.uint16(bit) & 1)
        if len(over) > 1:
            widest = max(widest, int(np.diff(over).max()))
    return min(MOST_REACH, max(3 * per_line + 1, per_line + 2 * widest))


def _far_neighbours(shows: NDArray[np.bool_], around: int) -> NDArray[np.int64]:
    """Return (picks + 2, columns): how far the picks that a band also depends on lie beyond its window.

    A bead grows halfway to its neighbours in the column, however far they are; for every kind of
    column the two picks below and the two above count, the cloth's ends among them. Columns in which
    nothing lies beyond the window are left out, so a regular cloth has none.
    """
    count = shows.shape[1]
    bands = np.arange(-1, count + 1)
    found = []
    for kind in shows:
        stack = np.concatenate([[-1], np.flatnonzero(kind), [count]])
        below = np.searchsorted(stack, bands, side="right") - 1
        for step in (-1, 0, 1, 2):
            distance = np.abs(bands - stack[np.clip(below + step, 0, len(stack) - 1)])
            distance[distance <= around] = 0
            if distance.any():
                found.append(distance)
    return np.stack(found, axis=1) if found else np.zeros((count + 2, 0), dtype=np.int64)


def band_keys(cover: Cover, phase: int, *, edges: bool) -> NDArray[np.int64]:
    """Return (picks + 2,) numbers that are equal exactly for bands that look alike.

    The first band lies below the foot, the last above the fell. What a band looks like depends on
    the picks around it, on the rows of each, and on its place in the variation.

    Parameters
    ----------
    phase : int
        Picks after which the variation comes again.
    edges : bool
        Whether floating ends are looked at too.
    """
    sight, around = cover.sight, reach(cover.sight)
    code = cover.code
    if edges and sight.edge.kind == "floating":
        left, right = sight.over_at
        code = code * 4 + left * 2 + right
    rows = np.diff(sight.feet)
    each = code * (int(rows.max()) + 1) + rows
    padded = np.concatenate([np.full(around + 1, -1), each, np.full(around + 1, -1)])
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * around + 1)
    places = (np.arange(len(rows) + 2) - 1) % phase
    far = _far_neighbours(cover.shows, around)
    keys = np.unique(np.column_stack([windows, places, far]), axis=0, return_inverse=True)[1]
    return np.asarray(keys, dtype=np.int64).ravel()
