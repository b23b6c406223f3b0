"""Where a piece will end, from what is woven and measured: its length, the line height now, drift, and squareness."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, expm1, hypot, log
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.findings import Basis, Quantity
from weftline.core.weaving.beat import beat_of
from weftline.core.weaving.measures import FAR, spanned

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.weaving.beat import Beat
    from weftline.core.weaving.coming import PlannedThrow
    from weftline.core.weaving.measures import Course, Finish, Habit, Measure

NOW_MM = 50.0
"""The line height now is that of so much below the fell."""

DRIFT_MM, LEAST_DRIFT_MM = 500.0, 100.0
"""Drift is told of so much below the fell, and not of less than the second."""

SQUARE = 0.05
"""A block counts as square while its sides differ by less."""


@dataclass(frozen=True, slots=True)
class Drift:
    """How the line height changes along the last stretch woven.

    Parameters
    ----------
    per_10cm : Quantity
        Share by which lines grow higher from 10 cm to the next; less than 0 where the beat grows firmer.
    over_mm : float
        The stretch that it is told of, by the plan.
    """

    per_10cm: Quantity
    over_mm: float

    @property
    def is_told(self) -> bool:
        """Whether there is any drift at all: its interval leaves out nothing."""
        low, high = self.per_10cm.low, self.per_10cm.high
        return low is not None and high is not None and not low <= 0 <= high


@dataclass(frozen=True, slots=True)
class Ending:
    """Where a piece will end. Lengths are of slack cloth on the loom, in mm, with 90 % intervals.

    Parameters
    ----------
    woven_lines, lines : int
        Lines woven, and lines of the piece.
    planned_mm : float
        Woven length by the plan.
    woven_mm : Quantity or None
        What is woven now.
    end_mm : Quantity
        The whole woven length.
    tape_mm : Quantity
        The same under tension, as a tape from the foot would read it.
    finished_mm : Quantity
        Off the loom and washed.
    line_height_mm : Quantity
        Of the line at the fell.
    ahead : float
        Length still to come over what the plan says of it; 1 where nothing is to come.
    drift : Drift or None
        None while too little is woven.
    deviation : Quantity
        Share by which the end lies beyond the plan's.
    doubted : tuple of int
        Places of the measures that count for less, since the others had led to expect something else.
    """

    woven_lines: int
    lines: int
    planned_mm: float
    woven_mm: Quantity | None
    end_mm: Quantity
    tape_mm: Quantity
    finished_mm: Quantity
    line_height_mm: Quantity
    ahead: float
    drift: Drift | None
    deviation: Quantity
    doubted: tuple[int, ...]

    @property
    def lines_per_cm(self) -> Quantity:
        """Lines per cm at the fell."""
        one = self.line_height_mm
        return Quantity(10 / one.value, one.basis, 10 / (one.high or one.value), 10 / (one.low or one.value))


def ending(course: Course, measures: Sequence[Measure], habit: Habit, finish: Finish, woven: int) -> Ending:
    """Return where a piece will end.

    Parameters
    ----------
    course : Course
        Every line of the piece, those woven too.
    measures : sequence of Measure
        What the tape said so far; none is allowed, then the weaver's habit alone speaks.
    habit : Habit
    finish : Finish
    woven : int
        Lines woven.

    Raises
    ------
    ValueError
        For a reading above the fell, or more lines woven than the piece has.

    Examples
    --------
    >>> import numpy as np
    >>> from weftline.core.weaving.measures import Course, Finish, Habit, Measure
    >>> course = Course(np.full(300, 3.0))
    >>> said = [Measure(40, 114.0, False), Measure(80, 229.0, False), Measure(100, 285.0, False)]
    >>> found = ending(course, said, Habit(0.0, 0.15), Finish(0.95, 0.03), 100)
    >>> round(found.end_mm.value / 10), round(found.deviation.value * 100)
    (86, -5)
    """
    beat = beat_of(course, measures, habit, woven)
    basis = Basis.COMPUTED if measures else habit.basis
    end, spread = beat.length(0, course.lines)
    left = course.heights_mm[woven:].sum()
    return Ending(
        woven_lines=woven,
        lines=course.lines,
        planned_mm=course.planned_mm,
        woven_mm=spanned(*beat.length(0, woven), basis) if woven else None,
        end_mm=spanned(end, spread, basis),
        tape_mm=spanned(*beat.length(0, course.lines, 1.0), basis),
        finished_mm=spanned(end + log(finish.left), hypot(spread, finish.spread), basis),
        line_height_mm=_height_now(course, beat, woven, basis),
        ahead=exp(beat.length(woven, course.lines)[0]) / float(left) if woven < course.lines else 1.0,
        drift=_drift(course, beat, woven, basis),
        deviation=_over(spanned(end, spread, basis), course.planned_mm),
        doubted=beat.doubted,
    )


def _over(length: Quantity, planned_mm: float) -> Quantity:
    low, high = length.low or length.value, length.high or length.value
    return Quantity(length.value / planned_mm - 1, length.basis, low / planned_mm - 1, high / planned_mm - 1)


def _height_now(course: Course, beat: Beat, woven: int, basis: Basis) -> Quantity:
    """Return the height of the line at the fell: of the last stretch woven, or of the first line where none is."""
    top = float(course.heights_mm[:woven].sum())
    centres = beat.cells.centres_mm
    near = (centres < top) & (centres > top - NOW_MM) if woven else np.arange(len(centres)) == 0
    if not near.any():
        near[beat.cells.between(0, woven).stop - 1] = True
    row = np.append(np.where(near, beat.cells.heights_mm, 0.0), 0.0)
    middle, spread = beat.told(row / row.sum())
    return spanned(middle + log(float(course.heights_mm[max(woven - 1, 0)])), spread, basis)


def _drift(course: Course, beat: Beat, woven: int, basis: Basis) -> Drift | None:
    """Return the slope of a straight line laid through the beat of the last stretch."""
    top = float(course.heights_mm[:woven].sum())
    foot = max(0.0, top - DRIFT_MM)
    for aim in course.aims:
        if woven > aim.from_line:
            foot = max(foot, float(course.heights_mm[: aim.from_line].sum()))
    if top - foot < LEAST_DRIFT_MM:
        return None
    centres, heights = beat.cells.centres_mm, beat.cells.heights_mm
    weights = np.where((centres > foot) & (centres < top), heights, 0.0)
    apart = centres - np.average(centres, weights=weights)
    row = np.append(weights * apart / (weights @ apart**2), 0.0) * 100.0
    middle, spread = beat.told(row)
    share = Quantity(expm1(middle), basis, expm1(middle - FAR * spread), expm1(middle + FAR * spread))
    return Drift(share, top - foot)


@dataclass(frozen=True, slots=True)
class Block:
    """One repeat of a motif that is meant to be as high as it is wide.

    Parameters
    ----------
    ratio : Quantity
        Height over width.
    lines, lines_for_square : int
        Its lines, and how many would make it square at this line height.
    """

    ratio: Quantity
    lines: int
    lines_for_square: int

    @property
    def is_square(self) -> bool | None:
        """Whether it is; None where the interval lies on both sides of what still counts as square."""
        low, high = self.ratio.low or self.ratio.value, self.ratio.high or self.ratio.value
        if low >= 1 - SQUARE and high <= 1 + SQUARE:
            return True
        return False if high < 1 - SQUARE or low > 1 + SQUARE else None


def block_of(line_height_mm: Quantity, lines: int, width_mm: float) -> Block:
    """Return how a block of so many lines stands to its width, both of the same state of the cloth.

    Raises
    ------
    ValueError
        For no lines, or no width.

    Examples
    --------
    >>> from weftline.core.findings import Basis, Quantity
    >>> block = block_of(Quantity(3.0, Basis.COMPUTED, 2.95, 3.05), 10, 36.0)
    >>> round(block.ratio.value, 2), block.is_square, block.lines_for_square
    (0.83, False, 12)
    """
    if lines < 1 or not width_mm > 0:
        raise ValueError(f"a block of {lines} lines, {width_mm:g} mm wide: both are more than 0")
    one = line_height_mm
    scale = lines / width_mm
    low, high = one.low or one.value, one.high or one.value
    ratio = Quantity(one.value * scale, one.basis, low * scale, high * scale)
    return Block(ratio, lines, max(1, round(width_mm / one.value)))


def misses(end: Ending, target_mm: float) -> float | None:
    """Return by how many mm the end is expected to miss a woven length; None while the interval holds it."""
    low, high = end.end_mm.low or end.end_mm.value, end.end_mm.high or end.end_mm.value
    return None if low <= target_mm <= high else end.end_mm.value - target_mm


def at_lines_end(coming: PlannedThrow | None) -> bool:
    """Return whether a line has just been closed: the only time to warn, when the next throw opens another."""
    return coming is None or coming.pick == 1
