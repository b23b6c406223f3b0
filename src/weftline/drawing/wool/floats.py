"""The back: each pick floats over the ends that it does not cover; the longest float lies uppermost."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weave.back import float_lengths
from weftline.drawing.wool.spots import EDGE_FLOAT, FLOAT, Course, Spot, stack

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.drawing.wool.sight import Sight


STRAIGHT = 0.12
"""How far a float may lie from the middle of its room at an end, in heights of that room."""


@dataclass(frozen=True, eq=False)
class Fit:
    """How floats of one type of pick lie over one pattern of columns; shared by all runs alike.

    Parameters
    ----------
    picks : (picks,) int64
    y, up, down : (picks,) float64
        Middle of the float and how far it reaches where it has most room, px.
    axis, above, below : (picks, ends of the run) float64
        At each end: its middle above ``y``, and the room above and below that middle, px.
    """

    picks: NDArray[np.int64]
    y: NDArray[np.float64]
    up: NDArray[np.float64]
    down: NDArray[np.float64]
    axis: NDArray[np.float64]
    above: NDArray[np.float64]
    below: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Run:
    """Neighbouring ends (from 0) at which the same picks show."""

    first: int
    last: int
    fit: Fit


@dataclass(frozen=True, eq=False)
class Shown:
    """Which picks show where on the back.

    Parameters
    ----------
    type_of : (picks,) int64
        Picks of one type show at the same ends.
    at : (types, ends) bool
        Whether picks of a type show at an end.
    """

    type_of: NDArray[np.int64]
    at: NDArray[np.bool_]

    def on_end(self, end: int) -> NDArray[np.int64]:
        """Return the picks that show on one end."""
        return np.flatnonzero(self.at[self.type_of, end])


def shown_on_back(sight: Sight) -> Shown:
    """Return which picks lie uppermost behind each end: in every line the longest float (as ``core.weave.back``)."""
    sheds, kind = np.unique(sight.shed, return_inverse=True)
    lengths = np.stack([float_lengths(int(shed), sight.ends) for shed in sheds])
    count = int(sight.line[-1]) + 1
    in_line = np.zeros((count, len(sheds)), dtype=np.bool_)
    in_line[sight.line, kind] = True
    patterns, pattern_of = np.unique(in_line, axis=0, return_inverse=True)
    longest = np.stack([lengths[pattern].max(axis=0) for pattern in patterns])
    both = pattern_of.ravel()[sight.line] * len(sheds) + kind
    types, type_of = np.unique(both, return_inverse=True)
    pattern, shed = types // len(sheds), types % len(sheds)
    return Shown(type_of.ravel(), (lengths[shed] > 0) & (lengths[shed] == longest[pattern]))


@dataclass(eq=False)
class Floats:
    """Every float of a strip's back, asked for by rectangle."""

    sight: Sight
    shown: Shown
    tile: int
    runs: tuple[Run, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.runs = tuple(self._runs())

    def _runs(self) -> list[Run]:
        kinds, kind_of_end = np.unique(self.shown.at, axis=1, return_inverse=True)
        reach = np.full((2, kinds.shape[1], len(self.sight.shed)), np.nan)  # low and high by kind and pick
        for number, kind in enumerate(kinds.T):
            shown = stack(np.flatnonzero(kind[self.shown.type_of]), self.sight)
            reach[0, number, shown.pick], reach[1, number, shown.pick] = shown.low, shown.high
        fits: dict[tuple[int, bytes], Fit] = {}
        runs = []
        for number, at in enumerate(self.shown.at):
            picks = np.flatnonzero(self.shown.type_of == number)
            steps = np.diff(np.concatenate([[0], at.astype(np.int8), [0]]))
            for first, stop in zip(np.flatnonzero(steps > 0), np.flatnonzero(steps < 0), strict=True):
                own = kind_of_end.ravel()[first:stop]
                key = number, own.tobytes()
                if key not in fits:
                    fits[key] = _fit(picks, reach[:, own][:, :, picks])
                runs.append(Run(int(first), int(stop) - 1, fits[key]))
        return runs

    def within(self, x: tuple[float, float], y: tuple[float, float]) -> list[Spot]:
        """Return the floats that reach into a rectangle."""
        spots: list[Spot] = []
        for run in self.runs:
            middle, half = self._span(run)
            if middle + half <= x[0] or middle - half >= x[1]:
                continue
            fit = run.fit
            reach = (fit.y + 1.2 * fit.up > y[0]) & (fit.y - 1.2 * fit.down < y[1])
            spots += self._spots(run, np.flatnonzero(reach))
        return spots

    def by_column(self) -> Iterator[tuple[Spot, int]]:
        """Yield every float with the pick that shows below it at its middle end, -1 at the foot."""
        for run in self.runs:
            shown = self.shown.on_end((run.first + run.last) // 2)
            places = np.searchsorted(shown, run.fit.picks)
            below = np.where(places > 0, shown[np.maximum(places - 1, 0)], -1)
            yield from zip(self._spots(run, np.arange(len(below))), below.tolist(), strict=True)

    def _span(self, run: Run) -> tuple[float, float]:
        """Return the middle of a run and half the length of its floats, px."""
        count, wide = run.last - run.first + 1, self.sight.column_px
        tip = min(0.42, 0.24 + 0.09 * (count - 1)) * wide
        more = self.sight.edge_wider_px
        left = run.first * wide - tip - (more if run.first == 0 else 0)
        right = (run.last + 1) * wide + tip + (more if run.last == len(self.sight.ends) - 1 else 0)
        return (left + right) / 2, (right - left) / 2

    def _spots(self, run: Run, places: NDArray[np.int64]) -> list[Spot]:
        """Return some floats of a run."""
        fit, (middle, half) = run.fit, self._span(run)
        ends = (np.arange(run.first, run.last + 1, dtype=np.float64) + 0.5) * self.sight.column_px
        dice = (run.first + run.last) // 2 % self.tile
        shape = FLOAT if run.first > 0 and run.last < len(self.sight.ends) - 1 else EDGE_FLOAT
        spots = []
        for place in places.tolist():
            sizes = float(fit.y[place]), float(fit.up[place]), float(fit.down[place])
            over = Course(ends, fit.axis[place], fit.above[place], fit.below[place])
            spots.append(Spot(int(fit.picks[place]), middle, *sizes, half, 0.0, 0.0, dice, shape, over))
        return spots


def _fit(picks: NDArray[np.int64], reach: NDArray[np.float64]) -> Fit:
    """Return a fit; ``reach`` (2, ends, picks) is how low and how high each pick is its column's own.

    A float lies where the narrowest of its columns leaves it room (picks 3 and 1 of krokbragd come
    to 3/4 and 1/4 of the line) and bends where another column asks for it.
    """
    low, high = reach
    tall, middle = high - low, (high + low) / 2
    everyone = np.arange(len(picks))
    tight, wide = tall.argmin(axis=0), tall.argmax(axis=0)
    y = middle[tight, everyone]
    axis = np.clip(y, middle - STRAIGHT * tall, middle + STRAIGHT * tall)
    half = tall[wide, everyone] / 2
    up, down = np.maximum(half, high[wide, everyone] - y), np.maximum(half, y - low[wide, everyone])
    return Fit(picks, y, up, down, (axis - y).T, (high - axis).T, (axis - low).T)
