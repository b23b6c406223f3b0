"""The plan against what was woven, line by line; hours, beats and yarn."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.pieces import PIECES, TWO_STRAPS, one_strip, read
from weftline.core.piece.cloth import Cloth, expand
from weftline.core.piece.draft import draft_of, file_data
from weftline.core.piece.values import Project
from weftline.core.plan.after import compare, compare_lines, lines_of
from weftline.core.plan.alignment import align
from weftline.core.plan.worked import beat_by_day, pace_of, yarn_used
from weftline.core.weaving.as_woven import WovenCloth, WovenPiece, WovenStrip, woven_cloth
from weftline.core.weaving.coming import PlannedThrows
from weftline.core.weaving.measures import Course, Habit, Measure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.weave.picks import Weaving

BANDS = ({"lines": ["o o o *3", "s o o", "s s o *2", "s s m"], "mirror": "picks", "times": 3}, {"lines": ["o o o *4"]})


def cloth_of(*lines: str) -> Cloth:
    return expand(read(one_strip({"lines": list(lines)})))


def weaving_of(*lines: str) -> Weaving:
    return cloth_of(*lines).sections[0].strips[0].weaving


def distance(first: Sequence[object], second: Sequence[object]) -> int:
    """Weigh the fewest differences the slow way: 2 for a line in one alone, 3 for one instead of another."""
    row = list(range(0, 2 * len(second) + 1, 2))
    for one in first:
        before, row = row, [row[0] + 2]
        for place, two in enumerate(second):
            row.append(min(before[place + 1] + 2, row[place] + 2, before[place] + 3 * (one != two)))
    return row[-1]


@pytest.mark.parametrize("seed", range(60))
def test_lines_are_laid_side_by_side_with_the_fewest_differences(seed: int) -> None:
    rng = random.Random(seed)
    first = rng.choices("abc", k=rng.randint(0, 40))
    second = first if seed == 0 else rng.choices("abc", k=rng.randint(0, 40))
    pairs = align(first, second)
    assert [one for one, _ in pairs if one is not None] == list(range(len(first)))
    assert [two for _, two in pairs if two is not None] == list(range(len(second)))
    differences = sum(2 if one is None or two is None else 3 * (first[one] != second[two]) for one, two in pairs)
    assert differences == distance(first, second)


@pytest.mark.parametrize("seed", range(3))
def test_long_runs_are_laid_side_by_side_in_stretches(seed: int) -> None:
    rng = random.Random(seed)
    first = [rng.choice("abcd") for _ in range(6000)]
    second: list[str] = []
    changes = 0
    for one in first:
        dice = rng.random()
        changes += dice < 0.01
        second += [] if dice < 0.003 else [one, "x"] if dice < 0.006 else ["y"] if dice < 0.01 else [one]
    pairs = align(first, second)
    assert [two for _, two in pairs if two is not None] == list(range(len(second)))
    assert [one for one, _ in pairs if one is not None] == list(range(len(first)))
    assert sum(one is None or two is None or first[one] != second[two] for one, two in pairs) <= changes


def test_a_run_that_ends_long_before_the_other_is_laid_to_its_beginning() -> None:
    pairs = align("ab" * 40, "ab" * 4000)
    assert pairs[:80] == [(place, place) for place in range(80)]
    assert len(pairs) == 8000
    assert align("", "abc") == [(None, 0), (None, 1), (None, 2)]


def test_woven_as_planned_has_no_difference() -> None:
    cloth = expand(read(TWO_STRAPS))
    pieces = tuple(
        WovenPiece(place, piece, tuple(WovenStrip(strip.weaving, ()) for strip in section.strips))
        for place, section in enumerate(cloth.sections)
        for piece in range(1, section.written.pieces + 1)
    )
    found = compare(cloth, WovenCloth(cloth.windings, pieces, 0))
    assert [(one.section, one.piece, one.strip) for one in found] == [
        (0, 1, 0),
        (1, 1, 0),
        (1, 1, 1),
        (1, 2, 0),
        (1, 2, 1),
    ]
    for one in found:
        lines = cloth.sections[one.section].picks.line_count
        assert one.counts == {"as planned": lines, "differs": 0, "extra": 0, "left out": 0}
        assert one.differences == ()


def test_each_difference_is_told_where_it_is() -> None:
    cloth = cloth_of("o o o", "s o o", "s s o", "m m m", "o s m", "s o o", "o o s")
    woven = weaving_of("o o o", "s o o", "s m o", "m m m", "s s s", "o s m", "o o s")
    strip = WovenStrip(woven, ())
    (found,) = compare(cloth, WovenCloth(woven.windings, (WovenPiece(0, 1, (strip,)),), 0))
    assert found.counts == {"as planned": 5, "differs": 1, "extra": 1, "left out": 1}
    told = [(one.kind, one.planned, one.woven, one.words(cloth.project)) for one in found.differences]
    assert told == [
        ("differs", 3, 3, "pick 2: Madder instead of Slate"),
        ("extra", None, 5, "extra"),
        ("left out", 6, None, "left out"),
    ]


def test_picks_too_many_too_few_and_in_another_shed_are_told() -> None:
    project = cloth_of("o o o").project
    plan = weaving_of("o o o", "s o o", "o s+m s", "s s s")
    woven = weaving_of("o o o", "s - o", "o s+m s", "s s s back")
    rows = compare_lines(plan, woven)
    assert [row.kind for row in rows] == ["as planned", "differs", "as planned", "differs"]
    assert rows[1].words(project) == "pick 2: Oat left out"
    assert compare_lines(woven, plan)[1].words(project) == "pick 2: Oat added"
    assert rows[3].words(project) == "pick 1: shed 3 instead of 1; pick 3: shed 1 instead of 3"
    doubled = weaving_of("o o o", "s o o", "o s+s+m s", "s s s")
    assert compare_lines(plan, doubled)[2].words(project) == (
        "pick 2: Madder with 2 strands of Slate instead of Madder with Slate"
    )


@pytest.mark.parametrize("name", PIECES)
def test_throws_of_a_log_against_the_plan(name: str) -> None:
    ids = (f"n{number}" for number in count(1))
    draft = draft_of(PIECES[name], lambda: next(ids))
    plan = PlannedThrows(expand(Project.model_validate(file_data(draft))), draft)
    throws = [plan.throw(ordinal, 1) for ordinal in range(1, plan.total + 1)]
    whole = compare(plan.cloth, woven_cloth(throws, plan, lambda seq: plan))
    assert all(not one.differences for one in whole)
    wrong = len(throws) // 2
    other = next(key for key in "osmw" if ((key, 5),) != throws[wrong].strands)
    throws[wrong] = replace(throws[wrong], strands=((other, 5),), differs=True)
    told = [
        line for one in compare(plan.cloth, woven_cloth(throws, plan, lambda seq: plan)) for line in one.differences
    ]
    assert [line.kind for line in told] == ["differs"]
    assert len(told[0].picks) == 1
    assert "5 strands of" in told[0].words(plan.cloth.project)


def test_every_pick_is_in_one_line() -> None:
    cloth = expand(read(one_strip(*BANDS)))
    lines = lines_of(cloth.sections[0].strips[0].weaving)
    assert len(lines) == cloth.sections[0].picks.line_count
    assert sum(len(line) for line in lines) == len(cloth.sections[0].picks)


def test_another_plan_than_the_woven_one_is_refused() -> None:
    cloth = expand(read(TWO_STRAPS))
    weaving = cloth.sections[0].strips[0].weaving
    two = WovenPiece(0, 1, (WovenStrip(weaving, ()), WovenStrip(weaving, ())))
    with pytest.raises(ValueError, match="section 1 was woven in 2 strips, this plan has 1"):
        compare(cloth, WovenCloth(cloth.windings, (two,), 0))


def test_pauses_longer_than_ten_minutes_are_left_out() -> None:
    times = [0.0, 20, 40, 640, 1241, 1271]
    pace = pace_of(times)
    assert pace.hours == pytest.approx((20 + 20 + 600 + 30) / 3600)
    assert (pace.pauses, pace.throws) == (1, 6)
    assert pace.paused_h == pytest.approx(601 / 3600)
    assert pace.picks_per_hour == pytest.approx(4 / pace.hours)
    assert pace_of(times, 30).pauses == 2


def test_pace_of_a_simulated_week() -> None:
    rng = np.random.default_rng(4)
    gaps = np.clip(rng.lognormal(np.log(25), 0.5, 3000), 3, 500)
    gaps[rng.choice(3000, 40, replace=False)] = rng.uniform(700, 80_000, 40)
    pace = pace_of(np.concatenate([[0.0], np.cumsum(gaps)]).tolist())
    assert pace.pauses == 40
    assert pace.hours == pytest.approx(float(gaps[gaps <= 600].sum()) / 3600)


def test_no_time_is_no_pace() -> None:
    for times in ([], [5.0], [7.0, 7.0], [9.0, 3.0]):
        assert (pace_of(times).hours, pace_of(times).picks_per_hour, pace_of(times).pauses) == (0.0, None, 0)


def test_beats_are_told_day_by_day() -> None:
    course, habit = Course(np.full(200, 3.0)), Habit(0.0, 0.12)
    tops = np.cumsum(np.repeat([2.7, 3.2], 100))
    said = [Measure(line, float(tops[line - 1]), False) for line in (50, 100, 150, 200)]
    days = beat_by_day(course, said, habit, [("Monday", 100), ("Tuesday", 100), ("Friday", 200)])
    assert [(one.day, one.first, one.last) for one in days] == [("Monday", 1, 100), ("Friday", 101, 200)]
    for one, height in zip(days, (2.7, 3.2), strict=True):
        assert one.lines_per_cm.value == pytest.approx(10 / height, rel=0.02)
        assert (one.lines_per_cm.low or 0) <= 10 / height <= (one.lines_per_cm.high or 0)
    assert (days[0].lines_per_cm.low or 0) > (days[1].lines_per_cm.high or 0)


def test_a_day_without_a_measure_is_less_sure() -> None:
    course, habit = Course(np.full(200, 3.0)), Habit(0.0, 0.12)
    said = [Measure(50, 150.0, False), Measure(100, 300.0, False)]
    first, second = beat_by_day(course, said, habit, [("Monday", 100), ("Tuesday", 200)])
    widths = [(one.length_mm.high or 0) / (one.length_mm.low or 1) for one in (first, second)]
    assert widths[0] < widths[1]
    assert beat_by_day(course, said, habit, []) == ()
    with pytest.raises(ValueError, match="they rise from day to day"):
        beat_by_day(course, said, habit, [("Monday", 100), ("Tuesday", 90)])


def test_yarn_really_used() -> None:
    found = yarn_used(500, 160, 400, added_g=100)
    assert found.grams == 440
    assert found.over == pytest.approx(0.1)
    assert yarn_used(500, 160).over is None
    with pytest.raises(ValueError, match="weigh again, or say what was bought"):
        yarn_used(100, 160)
