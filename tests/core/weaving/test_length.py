"""Where a piece will end, against weavings in a simulation with a drifting beat.

By default 100 weavings; with ``WEFTLINE_FULL`` set, 1,000.
"""

from __future__ import annotations

import os
from functools import lru_cache
from math import exp, expm1, log
from typing import Final

import numpy as np
import pytest

from tests.core.weaving.simulated import Weaving, weave
from tests.pieces import ONE_END_SPOTS, one_strip, read
from weftline.core.findings import Basis, Quantity
from weftline.core.piece.cloth import expand
from weftline.core.piece.settings import settings_of
from weftline.core.weaving.beat import beat_of
from weftline.core.weaving.coming import PlannedThrow
from weftline.core.weaving.length import Ending, at_lines_end, block_of, ending, misses
from weftline.core.weaving.measures import (
    AIM,
    FAR,
    Aim,
    Course,
    Finish,
    Habit,
    Measure,
    changed_aim,
    finish_of,
    habit_of,
    line_heights,
)

COUNT: Final = 1000 if os.environ.get("WEFTLINE_FULL") == "1" else 100
FINISH: Final = Finish(0.95, 0.02)
EVEN: Final = Course(np.full(400, 3.0))
HABIT: Final = Habit(0.0, 0.15)


def end_of(one: Weaving) -> Ending:
    return ending(one.course, one.measures, one.weaver.habit, FINISH, one.woven)


def plan_of(one: Weaving) -> Ending:
    return ending(one.course, [], one.weaver.habit, FINISH, 0)


@lru_cache(maxsize=1)
def weavings() -> tuple[tuple[Weaving, Ending], ...]:
    return tuple((one, end_of(one)) for one in map(weave, range(COUNT)))


def holds(interval: Quantity, value: float) -> bool:
    assert interval.low is not None
    assert interval.high is not None
    return interval.low <= value <= interval.high


def width(interval: Quantity) -> float:
    return log((interval.high or 1) / (interval.low or 1))


def taped(
    ratios: np.ndarray[tuple[int], np.dtype[np.float64]], lines: list[int], tension: bool = False
) -> list[Measure]:
    """Return exact readings of a piece whose lines come out so, over 3 mm."""
    tops = np.cumsum(3.0 * ratios)
    return [Measure(line, float(tops[line - 1]), tension) for line in lines]


def test_after_a_third_the_interval_holds_the_end() -> None:
    held = sum(holds(end.end_mm, one.end_mm) for one, end in weavings()) / COUNT
    now = float(np.median([width(end.end_mm) for _, end in weavings()]))
    before = float(np.median([width(plan_of(one).end_mm) for one, _ in weavings()]))
    print(f"length: {COUNT} weavings, {held:.1%} inside, width {now:.1%} of the length, the plan's {before:.1%}")
    assert 0.85 <= held <= 0.95
    assert now < before / 2


def test_it_is_narrower_than_the_plans() -> None:
    narrower = sum(width(end.end_mm) < width(plan_of(one).end_mm) for one, end in weavings())
    assert narrower >= 0.99 * COUNT


def test_its_middle_is_not_off_to_one_side() -> None:
    off = [log(one.end_mm / end.end_mm.value) / width(end.end_mm) * 2 for one, end in weavings()]
    assert abs(float(np.mean(off))) < 0.1 + 2 / COUNT**0.5


@pytest.mark.parametrize("share", [0.1, 0.8])
def test_it_holds_early_and_late_too(share: float) -> None:
    found = [(one, end_of(one)) for one in (weave(seed, share=share) for seed in range(5000, 5000 + COUNT))]
    held = sum(holds(end.end_mm, one.end_mm) for one, end in found) / COUNT
    print(f"length after {share:.0%}: {held:.1%} inside")
    assert 0.85 <= held <= 0.98


def test_line_height_now_and_drift_are_held_as_often() -> None:
    heights = drifts = told = 0
    for one, end in weavings():
        planned, true = one.course.heights_mm[: one.woven], one.true[: one.woven]
        tops, beat = np.cumsum(planned), np.log(true / planned)
        near = tops > tops[-1] - 50
        heights += holds(end.line_height_mm, float(planned[-1] * np.exp(beat[near].mean())))
        if end.drift is not None:
            told += 1
            part = tops > tops[-1] - end.drift.over_mm
            drifts += holds(end.drift.per_10cm, expm1(float(np.polyfit(tops[part], beat[part], 1)[0]) * 100))
    print(f"line height now: {heights / COUNT:.1%} inside; drift: {drifts / told:.1%} of {told} inside")
    assert heights / COUNT >= 0.85
    assert told >= 0.9 * COUNT
    assert drifts / told >= 0.85


def test_no_drift_is_told_of_an_even_beat() -> None:
    found = [end_of(weave(seed, wild=0.0)).drift for seed in range(COUNT)]
    assert sum(drift is not None and drift.is_told for drift in found) <= 0.05 * COUNT


@pytest.mark.parametrize("slope", [-0.03, 0.03])
def test_a_beat_that_runs_away_is_told(slope: float) -> None:
    ratios = np.exp(slope * np.arange(400) * 3.0 / 100)
    found = ending(EVEN, taped(ratios, list(range(20, 181, 20))), HABIT, FINISH, 180).drift
    assert found is not None
    assert found.is_told
    assert holds(found.per_10cm, expm1(slope))


def test_an_even_beat_leads_on_as_it_is() -> None:
    end = ending(EVEN, taped(np.full(400, 0.9), [40, 80, 120, 160]), HABIT, FINISH, 160)
    assert end.end_mm.value == pytest.approx(1080, rel=0.01)
    assert end.deviation.value == pytest.approx(-0.1, abs=0.01)
    assert end.line_height_mm.value == pytest.approx(2.7, rel=0.01)
    assert end.lines_per_cm.value == pytest.approx(10 / 2.7, rel=0.01)
    assert end.ahead == pytest.approx(0.9, rel=0.01)
    assert end.finished_mm.value == pytest.approx(end.end_mm.value * 0.95)
    assert width(end.finished_mm) > width(end.end_mm)
    assert end.end_mm.basis is Basis.COMPUTED
    assert end.doubted == ()


def test_nothing_measured_is_the_weavers_habit() -> None:
    end = ending(EVEN, [], Habit(-0.1, 0.15, Basis.DEFAULT), FINISH, 0)
    assert end.end_mm.value == pytest.approx(1200 * exp(-0.1))
    assert end.end_mm.low == pytest.approx(1200 * exp(-0.1 - FAR * 0.15), rel=0.02)
    assert (end.woven_mm, end.drift, end.end_mm.basis) == (None, None, Basis.DEFAULT)


def test_under_tension_the_tape_reads_more_than_there_is() -> None:
    stretched = [Measure(one.line, one.length_mm * exp(0.05), True) for one in taped(np.ones(400), [40, 80, 120])]
    end = ending(EVEN, stretched, HABIT, FINISH, 120)
    assert end.end_mm.value == pytest.approx(1200, rel=0.02)
    assert end.tape_mm.value == pytest.approx(1200 * exp(0.05), rel=0.02)
    assert width(end.tape_mm) < width(end.end_mm)


def test_both_states_teach_how_far_this_warp_stretches() -> None:
    slack = taped(np.ones(400), [40, 80, 120])
    both = [*slack, *(Measure(one.line, one.length_mm * exp(0.09), True) for one in slack)]
    end = ending(EVEN, both, HABIT, FINISH, 120)
    assert log(end.tape_mm.value / end.end_mm.value) == pytest.approx(0.09, abs=0.01)


def test_a_reading_that_does_not_say_counts_for_little() -> None:
    ends = [ending(EVEN, [Measure(80, 240.0, tension)], HABIT, FINISH, 80).end_mm for tension in (False, None, True)]
    assert ends[0].value > ends[1].value > ends[2].value
    assert width(ends[1]) > width(ends[0])


def test_from_a_marker_is_as_good_as_from_the_foot() -> None:
    tops = np.cumsum(np.full(400, 2.8))
    foot = [Measure(line, float(tops[line - 1]), False) for line in (60, 120)]
    marker = [foot[0], Measure(120, float(tops[119] - tops[59]), False, 60)]
    ends = [ending(EVEN, said, HABIT, FINISH, 120).end_mm.value for said in (foot, marker)]
    assert ends[0] == pytest.approx(ends[1], rel=0.005)


def test_one_slip_of_the_tape_is_doubted() -> None:
    good = taped(np.ones(400), [30, 60, 90, 120, 150])
    slipped = [*good[:2], Measure(90, good[2].length_mm + 100, False), *good[3:]]
    end = ending(EVEN, slipped, HABIT, FINISH, 150)
    assert end.doubted == (2,)
    assert end.end_mm.value == pytest.approx(1200, rel=0.02)


def test_a_beat_set_on_purpose_is_not_the_beat_before() -> None:
    heights = np.full(400, 3.0)
    heights[150:] = 3.3
    said = taped(np.full(400, 0.9), [40, 80, 120, 150])
    plain = ending(Course(heights), said, HABIT, FINISH, 150).end_mm.value
    aimed = ending(Course(heights, (Aim(150),)), said, HABIT, FINISH, 150)
    assert plain == pytest.approx(150 * 2.7 + 250 * 3.3 * 0.9, rel=0.01)
    assert aimed.end_mm.value == pytest.approx(150 * 2.7 + 250 * 3.3, rel=0.01)
    later = [*said, Measure(250, 150 * 2.7 + 100 * 3.4, False)]
    end = ending(Course(heights, (Aim(150),)), later, HABIT, FINISH, 250)
    assert end.line_height_mm.value == pytest.approx(3.4, rel=0.02)
    assert end.drift is not None
    assert end.drift.over_mm == pytest.approx(330)


def test_the_aim_is_found_where_the_plan_was_changed() -> None:
    before = np.full(60, 3.0)
    now = np.concatenate([before[:40], np.full(25, 3.2)])
    assert changed_aim(before, now, 30) == Aim(40, AIM)
    assert changed_aim(before, before, 30) is None
    assert changed_aim(before, now, 45) == Aim(45, AIM)


def test_all_woven_is_known_as_well_as_it_is_measured() -> None:
    end = ending(EVEN, taped(np.full(400, 0.95), [100, 200, 300, 400]), HABIT, FINISH, 400)
    assert end.ahead == 1.0
    assert end.woven_mm == end.end_mm
    assert width(end.end_mm) < 0.02


def test_what_a_tape_cannot_say_is_refused() -> None:
    with pytest.raises(ValueError, match="a marker lies below the fell"):
        Measure(10, 30.0, True, 10)
    with pytest.raises(ValueError, match="it is over 0"):
        Measure(10, 0.0)
    with pytest.raises(ValueError, match="measured at line 50, but 40 lines are woven"):
        ending(EVEN, [Measure(50, 150.0)], HABIT, FINISH, 40)
    with pytest.raises(ValueError, match="the piece has 400 lines"):
        ending(EVEN, [], HABIT, FINISH, 401)
    with pytest.raises(ValueError, match="the plan of this piece has none"):
        Course(np.zeros(0))


def test_a_length_is_asked_between_marked_places_only() -> None:
    beat = beat_of(EVEN, [], HABIT, 100, [40])
    assert exp(beat.length(40, 100)[0]) == pytest.approx(180)
    for first, last in ((41, 100), (100, 100), (100, 40)):
        with pytest.raises(ValueError, match="mark both"):
            beat.length(first, last)


def test_heights_are_the_plans_line_by_line() -> None:
    cloth = expand(read(ONE_END_SPOTS))
    assert line_heights(cloth.sections[0]).tolist() == pytest.approx([2.5] * 24)
    bands = one_strip({"lines": ["o o o *2"]}, {"lines": ["o - - *2"], "lines_per_cm": 5})
    assert line_heights(expand(read(bands)).sections[0]).tolist() == pytest.approx([10 / 3.75] * 2 + [2 / 3] * 2)


def test_habits_come_from_samples_before_the_plan() -> None:
    foretold = Quantity(3.0, Basis.MEASURED, 2.7, 3.4)
    assert habit_of(Quantity(3.3, Basis.MEASURED), foretold).mean == 0.0
    assert habit_of(Quantity(3.3, Basis.LABEL), foretold).mean == pytest.approx(log(1.1))
    assert habit_of(Quantity(3.3, Basis.LABEL)).spread > 0.2
    assert habit_of(Quantity(3.3, Basis.MEASURED)).spread < 0.1


def test_what_is_lost_off_the_loom_is_surer_where_it_is_stated() -> None:
    usual = finish_of(settings_of(read(ONE_END_SPOTS)))
    stated = finish_of(settings_of(read(ONE_END_SPOTS | {"allowances": {"relax_length": 0.02, "shrink_length": 0.06}})))
    assert usual.left == pytest.approx(0.99 * 0.96)
    assert stated.left == pytest.approx(0.98 * 0.94)
    assert stated.spread < usual.spread
    assert stated.woven_for(0.98 * 94) == pytest.approx(100)


@pytest.mark.parametrize(
    "low, high, square",
    [(0.97, 1.03, True), (0.9, 0.94, False), (1.06, 1.2, False), (0.9, 1.0, None), (0.9, 1.1, None)],
)
def test_blocks_are_square_while_their_sides_hardly_differ(low: float, high: float, square: bool | None) -> None:
    middle = (low + high) / 2
    block = block_of(Quantity(3 * middle, Basis.COMPUTED, 3 * low, 3 * high), 12, 36.0)
    assert block.is_square is square
    assert block.lines_for_square == round(12 / middle)
    with pytest.raises(ValueError, match="both are more than 0"):
        block_of(Quantity(3.0, Basis.COMPUTED), 0, 36.0)


def test_a_miss_is_told_once_the_interval_leaves_the_target_out() -> None:
    end = ending(EVEN, taped(np.full(400, 0.9), [40, 80, 120, 160]), HABIT, FINISH, 160)
    assert misses(end, end.end_mm.value + 1) is None
    assert misses(end, 1200.0) == pytest.approx(-120, abs=10)
    assert misses(end, 900.0) == pytest.approx(180, abs=10)


def test_warnings_wait_for_the_end_of_a_line() -> None:
    first, second = (PlannedThrow(one, 0, 1, 0, one - 1, 1, one, (1,), (("o", 2),)) for one in (1, 2))
    assert [at_lines_end(one) for one in (first, second, None)] == [True, False, True]
