"""Weavings in a simulation that shares nothing with the program's reckoning of them.

A beat swells and ebbs along two sines, jumps now and then for good, and is another every day; every line differs. The tape
lies slanting with fat tails, tension is never twice the same, and now and then a line is counted twice or not at all.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from weftline.core.weaving.measures import Course, Habit, Measure

Floats = NDArray[np.float64]
LONGER: Final = 2.0
"""The beat is known over so many times the plan's length, for pieces that turn out longer."""


@dataclass(frozen=True, eq=False)
class Weaver:
    """A weaver at one piece: ``drift`` by the line, and what her tape does."""

    habit: Habit
    level: float
    drift: Floats
    each: Floats
    stretch: float
    rng: np.random.Generator

    def heights(self, planned: Floats) -> Floats:
        """Return the true heights of lines planned so high, slack."""
        size = len(planned)
        return planned * np.exp(self.level + self.drift[:size] + self.each[:size])


def heights_of_plan(rng: np.random.Generator) -> Floats:
    """Return the planned heights of a piece: mostly of one beat, with hems or bands of another."""
    lines = int(rng.integers(150, 500))
    heights = np.full(lines, float(rng.uniform(2.3, 3.6)))
    if rng.random() < 0.5:
        heights[:12] = heights[-12:] = heights[0] * 0.67
    if rng.random() < 0.3:
        foot = int(rng.integers(20, lines - 40))
        heights[foot : foot + 30] *= 1.15
    return heights


def beat_along(places_mm: Floats, rng: np.random.Generator, wild: float) -> Floats:
    """Return how a beat strays from its level, as a logarithm, at these places."""
    found = np.zeros(len(places_mm))
    for most in (0.05, 0.02):
        found += rng.uniform(0, most) * np.sin(places_mm / rng.uniform(300, 2000) * 2 * np.pi + rng.uniform(0, 7))
    for _ in range(rng.poisson(places_mm[-1] / 600)):
        found += np.where(places_mm > rng.uniform(0, places_mm[-1]), rng.normal(0, 0.025), 0.0)
    days = np.cumsum(rng.uniform(150, 500, int(places_mm[-1] / 150) + 2))
    found += rng.normal(0, 0.02, len(days) + 1)[np.searchsorted(days, places_mm)]
    return wild * found


def weaver(planned: Floats, rng: np.random.Generator, wild: float | None = None) -> Weaver:
    """Return a weaver for a piece; ``wild`` is how much her beat strays, usually between even and uneven."""
    wild = float(rng.uniform(0.3, 1.3)) if wild is None else wild
    habit = Habit(float(rng.normal(0, 0.06)), float(rng.uniform(0.07, 0.20)))
    level = habit.mean + habit.spread * float(np.clip(rng.standard_t(10), -3.5, 3.5))
    many = int(len(planned) * LONGER)
    places: Floats = np.arange(many, dtype=np.float64) * float(planned.mean())
    stretch = 0.05 + 0.03 * float(np.clip(rng.standard_t(10), -3, 3))
    return Weaver(habit, level, beat_along(places, rng, wild), rng.normal(0, 0.05, many), stretch, rng)


def readings(one: Weaver, true: Floats, woven: int) -> tuple[list[Measure], int]:
    """Return what her tape says while she weaves so many lines, and by how many she has counted too many."""
    rng, found, wrong, marker = one.rng, [], 0, (0, 0)
    usual: Callable[[], bool | None] = [lambda: True, lambda: False, lambda: rng.random() < 0.6, lambda: None][
        int(rng.choice(4, p=[0.4, 0.2, 0.3, 0.1]))
    ]
    tops = np.concatenate([[0.0], np.cumsum(true)])
    line = 0
    while (line := line + int(rng.integers(12, 40))) <= woven:
        if rng.random() < 0.05:
            wrong += int(rng.choice([-2, -1, 1, 2]))
        said = usual()
        stretched = rng.random() < 0.5 if said is None else said
        factor = np.exp(one.stretch + rng.normal(0, 0.004)) if stretched else np.exp(rng.normal(0, 0.002))
        length = (tops[line] - tops[marker[0]]) * factor + 1.2 * float(np.clip(rng.standard_t(3), -9, 9))
        counted = min(line + wrong, woven)
        if counted > marker[1] and length > 0:
            found.append(Measure(counted, float(length), said, marker[1]))
        if rng.random() < 0.15:
            marker = (line, counted)
    return found, wrong


@dataclass(frozen=True, eq=False)
class Weaving:
    """One simulated weaving: the plan, what was measured after a third, and where it really ends, slack."""

    weaver: Weaver
    course: Course
    woven: int
    measures: list[Measure]
    wrong: int
    true: Floats

    @property
    def end_mm(self) -> float:
        """Woven length when her count has come to the last line."""
        return float(self.true[: self.course.lines - self.wrong].sum())


def weave(seed: int, wild: float | None = None, share: float = 1 / 3, planned: Floats | None = None) -> Weaving:
    """Return a weaving that is measured until this share of its lines is woven."""
    rng = np.random.default_rng([seed, 77])
    planned = heights_of_plan(rng) if planned is None else planned
    one = weaver(planned, rng, wild)
    longer = np.concatenate([planned, np.full(4, planned[-1])])
    true = one.heights(longer)
    woven = round(len(planned) * share)
    measures, wrong = readings(one, true, woven)
    return Weaving(one, Course(planned), woven, measures, wrong, true)


def followed(one: Weaving, planned: Floats, aimed_from: int | None, closing: float = 0.0) -> float:
    """Return where a weaving ends when its plan is changed to lines planned so high, and she follows it.

    From ``aimed_from`` on she beats to the heights planned, by counting: a line or two in a hundred off from the first,
    and her beat strays on from there. ``closing`` is how unsure it is that the weft closes up so far.
    """
    rng = one.weaver.rng
    longer = np.concatenate([planned, np.full(4, planned[-1])])
    true = one.weaver.heights(longer)
    if aimed_from is not None:
        rest = slice(aimed_from, len(longer))
        strays = one.weaver.drift[rest] - one.weaver.drift[aimed_from] + one.weaver.each[rest]
        off = 0.02 * float(np.clip(rng.standard_t(5), -4, 4)) + closing * float(np.clip(rng.standard_t(10), -3.5, 3.5))
        true[rest] = longer[rest] * np.exp(off + strays)
    return float(true[: len(planned) - one.wrong].sum())
