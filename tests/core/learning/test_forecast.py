"""What is foretold of a cloth, what it rests on, and what would narrow it."""

from dataclasses import fields, replace
from math import exp

import pytest

from tests.core.learning.clothes import CLOSER, FINER, RUG, measured, strip, thread
from weftline.core.findings import Basis
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE, Manner, believed, learn
from weftline.core.learning.forecast import Forecast, Told, forecast
from weftline.core.learning.narrowing import DOINGS, left_by, narrowing, planned
from weftline.core.learning.predicted import log_width
from weftline.core.learning.sample import Sample, Weighed


def figures(found: Forecast) -> list[Told]:
    whole = [getattr(found, field.name) for field in fields(found)]
    return [one for each in whole for one in (each if isinstance(each, tuple) else (each,))]


def test_the_cloth_worked_by_hand() -> None:
    found = forecast(RUG)
    told = [found.lines_per_cm, found.mass_g_m2, found.thickness_mm, found.draw_in, found.warp_take_up]
    assert [one.value.value for one in told] == pytest.approx([5.08, 1810, 4.3, 0.084, 0.07], rel=0.01)
    ends = [(3.3, 7.9), (1180, 2770), (2.9, 6.4), (0.02, 0.19), (0.03, 0.15)]
    for one, (low, high) in zip(told, ends, strict=True):
        assert (one.value.low, one.value.high) == pytest.approx((low, high), rel=0.15)
    assert [round(one.value.value, 3) for one in found.weft_crimp] == [0.119, 0.149, 0.119]
    assert found.weft_take_up.value.value == pytest.approx(0.034, abs=1e-3)


def test_one_strip_narrows_lines_to_what_was_counted() -> None:
    found = forecast(RUG, believed([strip()])).lines_per_cm.value
    assert found.value == pytest.approx(62 / 15, rel=0.02)
    assert (found.low, found.high) == pytest.approx((3.7, 4.7), abs=0.1)


@pytest.mark.parametrize(
    "belief",
    [NO_SAMPLE, believed([measured()]), believed([strip(FINER, 100)])],
    ids=["no sample", "measured", "another yarn"],
)
def test_every_figure_lies_in_its_interval_and_says_what_it_rests_on(belief: object) -> None:
    assert isinstance(belief, type(NO_SAMPLE))
    for one in figures(forecast(RUG, belief)):
        low, high = one.value.low, one.value.high
        assert low is not None
        assert high is not None
        assert low < one.value.value < high
        assert one.rests_on
        assert all(words and not words.endswith(".") for words in one.rests_on)


def test_the_basis_is_what_it_says() -> None:
    assert forecast(RUG).lines_per_cm.value.basis is Basis.COMPUTED
    assert forecast(replace(RUG, beat=None)).lines_per_cm.value.basis is Basis.DEFAULT
    known = believed([strip()])
    assert forecast(RUG, known).lines_per_cm.value.basis is Basis.MEASURED
    assert forecast(RUG, known).draw_in.value.basis is Basis.COMPUTED
    assert forecast(FINER, known).lines_per_cm.value.basis is Basis.COMPUTED


def test_what_it_rests_on_is_told_from_the_closest_on() -> None:
    assert forecast(RUG).lines_per_cm.rests_on[0].startswith("no sample of yours: geometry")
    known = believed([strip(RUG, 62, "a"), strip(RUG, 63, "b"), strip(CLOSER, 60, "c"), strip(FINER, 100, "d")])
    assert forecast(RUG, known).lines_per_cm.rests_on == (
        "2 samples of this very cloth",
        "1 sample more in this yarn, at another sett or in another weave",
        "1 sample of yours in other yarns",
    )
    assert forecast(replace(FINER, sett_per_cm=2.0), known).lines_per_cm.rests_on[0] == "1 sample in this yarn"
    assert forecast(replace(RUG, weaver="else", yarn="x", loom="y"), known).lines_per_cm.rests_on == (
        "4 samples of other weavers",
        "no sample from this loom yet",
    )


def test_a_figure_rests_on_samples_that_read_it_and_not_on_what_they_hint() -> None:
    """Weighing tells a little of crimp, and a width too; neither is a measurement of it."""
    known = believed([replace(measured(), laid=(), thickness_mm=None)])
    found = forecast(RUG, known)
    assert found.weft_crimp[0].rests_on[0].startswith("no sample of yours")
    assert found.thickness_mm.rests_on[0].startswith("no sample of yours")
    for one in (found.lines_per_cm, found.mass_g_m2, found.draw_in):
        assert one.rests_on[0] == "1 sample of this very cloth"
    assert found.warp_take_up.rests_on[0] == "1 sample of yours in other cloths"


def test_what_makes_it_wider_is_said() -> None:
    for facts, words in (
        (replace(RUG, beat=None), "nobody says how hard you beat"),
        (replace(RUG, technique=replace(RUG.technique, name="own")), "a weave of your own"),
        (replace(RUG, weft=thread("1000 tex cotton")), "this weft is no wool"),
        (replace(RUG, weft=thread("12 wpi wool")), "known by its wraps only"),
    ):
        assert any(words in one for one in forecast(facts).lines_per_cm.rests_on)


def test_each_figure_names_the_measurement_that_narrows_it() -> None:
    found = forecast(RUG)
    named = {
        "lines_per_cm": "count",
        "thickness_mm": "thickness",
        "draw_in": "widths",
        "warp_take_up": "marks",
        "relax_width": "relaxed",
        "shrink_length": "washed",
    }
    for name, reading in named.items():
        narrow = getattr(found, name).narrow_it
        assert narrow.reading == reading
        assert narrow.words.startswith("Weave 5 cm and ")
    assert [one.narrow_it.reading for one in found.weft_crimp if one.narrow_it] == ["weft by shed"] * 3


def test_the_measurement_named_is_the_best_of_all_and_what_it_leaves_comes_true() -> None:
    measure = expected.mass(RUG)
    named = narrowing(NO_SAMPLE, RUG, measure)
    assert named is not None
    lefts = {doing: left_by(NO_SAMPLE, measure, planned(doing, RUG, 50.0)) for doing in DOINGS}
    assert named.left == min(lefts.values())
    weighed = Sample("s", RUG, weighed=Weighed(20, 250 * 50))
    after, _ = learn(NO_SAMPLE, weighed, Manner(doubting=False))
    got = (after.covariance([measure])[0, 0] / NO_SAMPLE.covariance([measure])[0, 0]) ** 0.5
    assert got == pytest.approx(lefts["weigh"], abs=1e-6)


def test_once_measured_something_else_would_narrow_it_or_nothing() -> None:
    before = forecast(RUG).mass_g_m2.narrow_it
    known = believed([replace(measured(), key=f"{n}") for n in range(8)])
    after = forecast(RUG, known).mass_g_m2.narrow_it
    assert before is not None
    assert after is None or after.left > before.left


def test_samples_narrow_every_figure_of_the_cloth() -> None:
    before, after = (
        forecast(RUG, belief) for belief in (NO_SAMPLE, believed([measured(key=f"{n}") for n in range(3)]))
    )
    for name in ("lines_per_cm", "mass_g_m2", "thickness_mm", "warp_take_up"):
        assert log_width(getattr(after, name).value) < 0.6 * log_width(getattr(before, name).value)


def test_limits_of_the_sett_are_told_with_the_forecast() -> None:
    found = forecast(RUG)
    assert found.sett_low.value.value == pytest.approx(exp(expected.limit("open", RUG).mean))
    assert found.sett_high.value.value > found.sett_low.value.value
