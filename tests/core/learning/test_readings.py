"""What a sample tells: each figure once, in its state, and nothing that no cloth can have."""

from dataclasses import replace
from math import exp, log, sqrt

import pytest

from tests.core.learning.clothes import RUG, measured, strip
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE, learn
from weftline.core.learning.expected import drawn_share
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.predicted import quantity_of
from weftline.core.learning.readings import readings_of
from weftline.core.learning.sample import Count, Length, Marks, Sample, SampleError, State, WeftLaid, Width


def told(sample: Sample) -> dict[str, float]:
    """Return readings by their words, in their own units."""
    return {one.what: one.shown(one.value) for one in readings_of(sample)}


def test_every_figure_is_told_in_its_unit() -> None:
    found = told(measured())
    assert found == pytest.approx(
        {
            "lines per cm": 62 / 15,
            "draw-in": 1 - 231 / 250,
            "width lost off the loom": 1 - 227 / 231,
            "width lost in the wash": 1 - 221 / 227,
            "length lost off the loom": 1 - 148 / 150,
            "length lost in the wash": 1 - 143 / 148,
            "g/m2": 52 / (0.227 * 0.148),
            "thickness in mm": 4.1,
            "warp take-up": 12 / 150,
            "weft crimp in shed 2": 31 / 231,
            "weft crimp in shed 1": 24 / 231,
        }
    )


def test_an_empty_sample_tells_nothing_and_teaches_nothing() -> None:
    empty = Sample("empty", RUG)
    assert readings_of(empty) == []
    assert learn(NO_SAMPLE, empty) == (NO_SAMPLE, ())


def test_a_width_that_was_not_read_on_the_loom_is_told_with_what_it_relaxed() -> None:
    found = readings_of(Sample("off", RUG, width=Width(250, None, 226)))
    assert [one.what for one in found] == ["draw-in with what the width relaxed"]
    after, _ = learn(NO_SAMPLE, Sample("off", RUG, width=Width(250, None, 200)))
    for measure, shown in (
        (expected.draw_in(RUG), drawn_share),
        (expected.lost("relax width", RUG), expected.lost_share),
    ):
        assert shown(after.mean_of(measure)) > shown(measure.mean)


@pytest.mark.parametrize(
    "state, more", [(State.TENSION, -0.05), (State.SLACK, 0.0), (State.OFF, 0.01), (State.WASHED, 0.05)]
)
def test_a_count_in_another_state_is_expected_otherwise(state: State, more: float) -> None:
    (one,) = readings_of(Sample("s", RUG, Count((62,), 150, state)))
    assert one.expected.mean - expected.lines(RUG).mean == pytest.approx(more, abs=2e-3)


def test_a_washed_count_teaches_less_than_a_slack_one() -> None:
    lines = expected.lines(RUG)
    spreads = []
    for state in (State.SLACK, State.OFF, State.WASHED):
        after, _ = learn(NO_SAMPLE, Sample("s", RUG, Count((62,), 150, state)))
        spreads.append(float(after.covariance([lines])[0, 0]))
    assert spreads == sorted(spreads)


@pytest.mark.parametrize(
    "sample", [Sample("s", RUG, width=Width(250, 251)), Sample("s", RUG, marks=Marks(150, 151)), Sample("s", RUG, laid=(WeftLaid(230, 231),))]
)  # fmt: skip
def test_what_came_out_as_less_than_nothing_is_taken_as_hardly_anything(sample: Sample) -> None:
    (one,) = readings_of(sample)
    assert 0 <= one.shown(one.value) < 0.004
    after, _ = learn(NO_SAMPLE, sample)
    assert after.rate < float("inf")


def test_a_small_draw_in_is_less_sure_on_its_root() -> None:
    large, small = (readings_of(Sample("s", RUG, width=Width(250, on)))[0].unsure for on in (215, 247))
    assert small > 2 * large


def test_sheds_are_told_apart_and_their_mean_is_that_of_the_line() -> None:
    sheds = [expected.crimp(RUG, shed) for shed in (1, 2, 3)]
    whole = expected.crimp(RUG)
    assert sheds[0].mean < sheds[1].mean
    bends = [exp(one.mean) for one in sheds]
    for effect in {effect for one in sheds for effect in one.row}:
        moved = sum(bend * one.row.get(effect, 0.0) for bend, one in zip(bends, sheds, strict=True)) / sum(bends)
        assert moved == pytest.approx(whole.row.get(effect, 0.0), abs=2e-3)


@pytest.mark.parametrize(
    "bad, words",
    [
        (lambda: strip(lines=0), "Sample 'strip': 0 as lines; it is more than 0"),
        (lambda: Sample("a", RUG, Count((), 100)), "a count needs at least one number"),
        (lambda: Sample("a", RUG, Count((10,), -5)), "-5 as length counted over, in mm"),
        (lambda: Sample("a", RUG, width=Width(off_loom_mm=0)), "0 as width in mm, off loom"),
        (lambda: Sample("a", RUG, length=Length(washed_mm=float("nan"))), "nan as length in mm, washed"),
        (lambda: Sample("a", RUG, laid=(WeftLaid(260, 231, 4),)), "shed 4, where a line has sheds 1 to 3"),
    ],
)  # fmt: skip
def test_what_no_cloth_can_have_is_refused(bad: object, words: str) -> None:
    assert callable(bad)
    with pytest.raises(SampleError, match=words):
        bad()


def test_a_beat_without_a_name_and_a_sett_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="beat 'gentle': a beat is soft, firm, hard"):
        replace(RUG, beat="gentle")
    with pytest.raises(ValueError, match="ends per cm are more than 0"):
        ClothFacts(RUG.warp, RUG.weft, RUG.technique, 0.0)


def test_the_interval_of_a_draw_in_never_goes_below_nothing() -> None:
    found = quantity_of(NO_SAMPLE, replace(expected.draw_in(RUG), mean=sqrt(0.001)), drawn_share)
    assert found.low == 0.0
    assert log(1 + (found.high or 0)) > 0
