"""How high lines come out along a piece, reasoned from what the tape said: a line in closed form, no sampling.

The logarithm of line height over its planned height is a level, known at first as the weaver's habit is, on which the
beat wanders and comes back (a Gaussian process with exponential correlation, which is what a Kalman filter of a local
level follows). Every tape reading is a sum over its lines, so what is held after some readings follows by Bayes's
rule. How far and how slowly a beat wanders is not known: a grid of answers is weighed by how well each foretold
the readings. The warp's tension stretches all readings taken under it alike, by a share that is learnt too.

References
----------
Rasmussen and Williams, *Gaussian Processes for Machine Learning* (2006), equations 2.23 to 2.24, and section 5.4.1 for
weighing answers by their marginal likelihood. Lange, Little and Taylor, "Robust statistical modeling using the t
distribution", Journal of the American Statistical Association 84 (1989), for readings that count for less.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import log
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.learning.spreads import RULER_MM, UNDER_TENSION, UNDER_TENSION_SD

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from weftline.core.weaving.measures import Course, Habit, Measure

    Floats = NDArray[np.float64]

WANDERS = ((0.01, 0.25), (0.025, 0.35), (0.05, 0.25), (0.09, 0.15))
"""How far a beat wanders from its level, as a spread of the logarithm, and how much each answer is believed at first.
From firm to soft is 0.12 (``learning``); an even weaver stays within a line or two in a hundred. Judgement."""

REACHES_MM = ((100.0, 0.3), (400.0, 0.4), (1600.0, 0.3))
"""Over what length it comes back by two thirds: a hand's breadth, a sitting, a piece. Judgement."""

EACH_LINE = 0.06
"""By how much single lines differ, as a spread of the logarithm. Judgement."""

TAPE_MM, TAPE_SHARE = 3 * RULER_MM, 0.004
"""Of a reading: the fell is no sharp edge and waves over the width; a tape lies slanting, and tension is never twice the
same. Judgement."""

COUNT = 0.3
"""Of the count of lines at the fell, as a spread in lines."""

TAIL = 4.0
"""Readings are off as a Student t of so many degrees would have it."""

CELLS, ROUNDS = 100, 6
"""The piece is reckoned in about so many cells; readings are weighed in so many rounds."""

STRETCHED = {True: 1.0, None: 0.5, False: 0.0}
"""How much of the warp's stretch is in a reading; half of it, and as much doubt, where nobody said."""


@dataclass(frozen=True, eq=False)
class Cells:
    """Runs of lines between places that matter.

    Parameters
    ----------
    edges : (cells + 1,) int
        Lines below each place.
    heights_mm, centres_mm : (cells,) float64
        By the plan.
    aim : (cells,) int
        Which of the course's aims they are woven by, from 1; 0 for none.
    """

    edges: NDArray[np.int64]
    heights_mm: Floats
    centres_mm: Floats
    aim: NDArray[np.int64]

    def between(self, first: int, last: int) -> slice:
        """Return the cells from one place to another, both counted in lines below.

        Raises
        ------
        ValueError
            For a place between the cells, or no line between both.
        """
        if first >= last or not np.isin([first, last], self.edges).all():
            raise ValueError(f"lines {first} to {last}: no length is reckoned between these places; mark both")
        return slice(int(np.searchsorted(self.edges, first)), int(np.searchsorted(self.edges, last)))


def cells_of(course: Course, places: Sequence[int]) -> Cells:
    """Return the cells of a piece, parted at least at these places."""
    tops = np.concatenate([[0.0], np.cumsum(course.heights_mm)])
    even = np.searchsorted(tops, np.linspace(0.0, tops[-1], CELLS + 1)).clip(0, course.lines)
    own = np.array([aim.from_line for aim in course.aims], dtype=np.int64)
    edges = np.unique(np.concatenate([even, [0, course.lines], own.clip(0, course.lines), list(places)])).astype(
        np.int64
    )
    feet, heads = tops[edges[:-1]], tops[edges[1:]]
    return Cells(edges, heads - feet, (feet + heads) / 2, np.searchsorted(own, edges[:-1], side="right"))


@dataclass(frozen=True, eq=False)
class Beat:
    """What is held of the beat along a piece.

    Parameters
    ----------
    cells : Cells
    mean : (cells + 1,) float64
        Of the logarithm of line height over its planned one, by cell; last, of the stretch under tension.
    covariance : (cells + 1, cells + 1) float64
    doubted : tuple of int
        Places of the readings that count for less than a third.
    """

    cells: Cells
    mean: Floats
    covariance: Floats
    doubted: tuple[int, ...] = ()

    def told(self, row: Floats) -> tuple[float, float]:
        """Return middle and spread of a weighted sum of what is held."""
        return float(row @ self.mean), max(float(row @ self.covariance @ row), 0.0) ** 0.5

    def length(self, first: int, last: int, stretched: float = 0.0) -> tuple[float, float]:
        """Return middle and spread of the logarithm of the length from one line to another, in mm.

        Parameters
        ----------
        first, last : int
            Lines below its ends.
        stretched : float
            1 for the length under tension, 0 for slack cloth.
        """
        offset, row = length_row(self.cells, self.mean, first, last, stretched)
        middle, spread = self.told(row)
        return offset + middle, spread

    @cached_property
    def ratios(self) -> Floats:
        """(cells,) float64: middles of line height over planned."""
        return np.exp(self.mean[:-1])


def length_row(cells: Cells, mean: Floats, first: int, last: int, stretched: float) -> tuple[float, Floats]:
    """Return offset and row of the logarithm of a length, straightened where ``mean`` lies."""
    row = np.zeros(len(mean))
    part = cells.between(first, last)
    lengths: Floats = cells.heights_mm[part] * np.exp(mean[:-1][part])
    row[:-1][part] = lengths / lengths.sum()
    offset = log(float(lengths.sum())) - float(row @ mean)
    row[-1] = stretched
    return offset, row


@dataclass(frozen=True, eq=False)
class _Prior:
    """What is held before any reading, of one answer to how the beat wanders."""

    mean: Floats
    covariance: Floats


@dataclass(frozen=True, eq=False)
class _Readings:
    """Readings, straightened: ``values`` are ``rows @ state`` and ``noise``, a variance each."""

    rows: Floats
    values: Floats
    noise: Floats


def beat_of(course: Course, measures: Sequence[Measure], habit: Habit, woven: int, marked: Sequence[int] = ()) -> Beat:
    """Return what is held of the beat after so many lines.

    Parameters
    ----------
    course : Course
    measures : sequence of Measure
    habit : Habit
    woven : int
        Lines woven.
    marked : sequence of int
        Other places between lines that lengths will be asked of, in lines below.

    Raises
    ------
    ValueError
        For a reading above the fell, or more lines woven than the piece has.
    """
    if not 0 <= woven <= course.lines:
        raise ValueError(f"{woven} lines woven: the piece has {course.lines} lines by its plan; follow it or change it")
    above = next((one for one in measures if one.line > woven), None)
    if above is not None:
        raise ValueError(f"measured at line {above.line}, but {woven} lines are woven; count the lines to the fell")
    places = [woven, *marked, *(place for one in measures for place in (one.from_line, one.line))]
    cells = cells_of(course, places)
    answers = [
        (_prior(course, cells, habit, wander, reach), trust * share)
        for (wander, trust), (reach, share) in product(WANDERS, REACHES_MM)
    ]
    if not measures:
        weights = np.array([weight for _, weight in answers])
        return _mixed(cells, [(prior.mean, prior.covariance) for prior, _ in answers], weights, ())
    readings, trusted = _straightened(cells, measures, answers[_middling()][0])
    held = [_held(prior, readings) for prior, _ in answers]
    likely = np.array([log(weight) + fit for (_, weight), (_, _, fit) in zip(answers, held, strict=True)])
    weights = np.exp(likely - likely.max())
    doubted = tuple(np.flatnonzero(trusted < 1 / 3).tolist())
    return _mixed(cells, [(mean, covariance) for mean, covariance, _ in held], weights, doubted)


def _middling() -> int:
    """Return the place of the answer that readings are weighed with: a beat that wanders freely."""
    return (len(WANDERS) - 2) * len(REACHES_MM) + 1


def _prior(course: Course, cells: Cells, habit: Habit, wander: float, reach: float) -> _Prior:
    size = len(cells.heights_mm)
    apart = np.abs(cells.centres_mm[:, None] - cells.centres_mm[None, :])
    level = np.array([habit.spread, *(aim.spread for aim in course.aims)])[cells.aim, None] ** 2
    alike = cells.aim[:, None] == cells.aim[None, :]
    covariance = np.zeros((size + 1, size + 1))
    covariance[:-1, :-1] = np.where(alike, level + wander**2 * np.exp(-apart / reach), 0.0)
    lines = np.diff(cells.edges)
    covariance[np.arange(size), np.arange(size)] += EACH_LINE**2 / lines
    covariance[-1, -1] = UNDER_TENSION_SD**2
    mean = np.append(np.where(cells.aim > 0, 0.0, habit.mean), -UNDER_TENSION)
    return _Prior(mean, covariance)


def _straightened(cells: Cells, measures: Sequence[Measure], prior: _Prior) -> tuple[_Readings, Floats]:
    """Return the readings, each by its weight, straightened where they lead; and these weights, 1 for full."""
    mean = prior.mean
    trusted = np.ones(len(measures))
    plain = np.array([_noise(cells, one) for one in measures])
    readings = _rows(cells, measures, mean, plain)
    for _ in range(ROUNDS):
        mean, covariance, _ = _held(prior, readings)
        off = readings.values - readings.rows @ mean
        own = np.einsum("ij,jk,ik->i", readings.rows, covariance, readings.rows)
        trusted = np.minimum((TAIL + 1) / (TAIL + (off**2 + own) / plain), 1.0)
        readings = _rows(cells, measures, mean, plain / trusted)
    return readings, trusted


def _rows(cells: Cells, measures: Sequence[Measure], mean: Floats, noise: Floats) -> _Readings:
    """Return the readings straightened where ``mean`` lies."""
    told = [length_row(cells, mean, one.from_line, one.line, STRETCHED[one.tension]) for one in measures]
    values = [log(one.length_mm) - offset for (offset, _), one in zip(told, measures, strict=True)]
    return _Readings(np.array([row for _, row in told]), np.array(values), noise)


def _noise(cells: Cells, measure: Measure) -> float:
    """Return the variance of the logarithm of a reading."""
    part = cells.between(measure.from_line, measure.line)
    line_mm = float(cells.heights_mm[part].sum()) / (measure.line - measure.from_line)
    unsaid = (UNDER_TENSION / 2) ** 2 if measure.tension is None else 0.0
    return (TAPE_MM**2 + (COUNT * line_mm) ** 2) / measure.length_mm**2 + TAPE_SHARE**2 + unsaid


def _held(prior: _Prior, readings: _Readings) -> tuple[Floats, Floats, float]:
    """Return mean and covariance after the readings, and the logarithm of how likely they were."""
    across = prior.covariance @ readings.rows.T
    spread = readings.rows @ across + np.diag(readings.noise)
    lower = np.linalg.cholesky(spread)
    off = np.linalg.solve(lower, readings.values - readings.rows @ prior.mean)
    gain = np.linalg.solve(lower, across.T)
    likely = -0.5 * float(off @ off) - float(np.log(np.diag(lower)).sum())
    return prior.mean + gain.T @ off, prior.covariance - gain.T @ gain, likely


def _mixed(cells: Cells, held: list[tuple[Floats, Floats]], weights: Floats, doubted: tuple[int, ...]) -> Beat:
    """Return mean and covariance of all answers together, each by its weight."""
    weights = weights / weights.sum()
    mean = np.asarray(sum(weight * one for weight, (one, _) in zip(weights, held, strict=True)))
    covariance = np.zeros_like(held[0][1])
    for weight, (one, spread) in zip(weights, held, strict=True):
        covariance += weight * (spread + np.outer(one - mean, one - mean))
    return Beat(cells, mean, covariance, doubted)
