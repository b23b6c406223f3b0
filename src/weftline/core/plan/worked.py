"""What a piece really took: hours and pace, the beat of each day, and yarn."""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.findings import Basis, Quantity
from weftline.core.weaving.beat import beat_of
from weftline.core.weaving.measures import spanned

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.weaving.measures import Course, Habit, Measure

PAUSE_S = 600.0
"""Who does not throw for longer is not weaving: pauses of more than ten minutes are left out."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How long a piece took.

    Parameters
    ----------
    hours : float
        From throw to throw, pauses left out.
    throws : int
    picks_per_hour : float or None
        Throws over these hours; None where no time passed.
    pauses : int
        How many times the work was left for more than ten minutes.
    paused_h : float
        How long in all.
    """

    hours: float
    throws: int
    picks_per_hour: float | None
    pauses: int
    paused_h: float


def pace_of(seconds: Sequence[float], pause_s: float = PAUSE_S) -> Pace:
    """Return hours and pace from the time of each throw.

    Parameters
    ----------
    seconds : sequence of float
        Of every throw that stayed in the cloth, from any beginning; in the order thrown.
    pause_s : float
        Longer gaps are pauses.

    Notes
    -----
    A throw counts with the time before it; the first of the piece, and the first after a pause, with none. A clock that was
    set back counts as no time.

    Examples
    --------
    >>> pace = pace_of([0, 30, 60, 4000, 4030])
    >>> pace.hours, pace.picks_per_hour, pace.pauses
    (0.025, 120.0, 1)
    """
    gaps = np.clip(np.diff(np.asarray(seconds, dtype=np.float64)), 0.0, None)
    working = gaps <= pause_s
    hours = float(gaps[working].sum()) / 3600
    return Pace(
        hours=hours,
        throws=len(seconds),
        picks_per_hour=int(working.sum()) / hours if hours else None,
        pauses=int((~working).sum()),
        paused_h=float(gaps[~working].sum()) / 3600,
    )


@dataclass(frozen=True, slots=True)
class DayBeat:
    """The beat of one day.

    Parameters
    ----------
    day : str
    first, last : int
        Its lines, from 1.
    length_mm, lines_per_cm : Quantity
        Of slack cloth on the loom, with 90 % intervals.
    """

    day: str
    first: int
    last: int
    length_mm: Quantity
    lines_per_cm: Quantity


def beat_by_day(
    course: Course, measures: Sequence[Measure], habit: Habit, days: Sequence[tuple[str, int]]
) -> tuple[DayBeat, ...]:
    """Return the beat of every day on which a line was woven, from all measures together.

    Parameters
    ----------
    course : Course
    measures : sequence of Measure
    habit : Habit
    days : sequence of (str, int)
        Each day, and how many lines were woven when it ended; rising.

    Notes
    -----
    A day without a measure of its own is told too, with a wide interval.

    Raises
    ------
    ValueError
        Where the lines fall from one day to the next.
    """
    counts = [lines for _, lines in days]
    if any(after < before for before, after in zip([0, *counts], counts, strict=False)):
        raise ValueError(f"lines woven at the end of each day: {counts}; they rise from day to day")
    if not counts or not counts[-1]:
        return ()
    beat = beat_of(course, measures, habit, counts[-1], counts)
    found, below = [], 0
    for day, lines in days:
        if lines > below:
            middle, spread = beat.length(below, lines)
            length = spanned(middle, spread, Basis.COMPUTED)
            per_cm = spanned(log(10.0 * (lines - below)) - middle, spread, Basis.COMPUTED)
            found.append(DayBeat(day, below + 1, lines, length, per_cm))
        below = lines
    return tuple(found)


@dataclass(frozen=True, slots=True)
class YarnUsed:
    """What a piece really took of a yarn.

    Parameters
    ----------
    grams : float
    planned_g : float or None
    over : float or None
        Share by which it is more than planned.
    """

    grams: float
    planned_g: float | None
    over: float | None


def yarn_used(before_g: float, after_g: float, planned_g: float | None = None, added_g: float = 0.0) -> YarnUsed:
    """Return what a piece took of a yarn, by weighing before and after.

    Parameters
    ----------
    before_g, after_g : float
        Without cones and shuttles.
    planned_g : float, optional
    added_g : float
        Bought in between.

    Raises
    ------
    ValueError
        Where more is left than there was.

    Examples
    --------
    >>> yarn_used(500.0, 120.0, 400.0)
    YarnUsed(grams=380.0, planned_g=400.0, over=-0.05)
    """
    used = before_g + added_g - after_g
    if used < 0 or after_g < 0:
        raise ValueError(
            f"{after_g:g} g left of {before_g + added_g:g} g: more than there was; weigh again, or say what was bought"
        )
    over = None if not planned_g else round(used / planned_g - 1, 12)
    return YarnUsed(used, planned_g, over)
