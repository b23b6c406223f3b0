"""What is expected of cloths before any sample: limits of the physics, and who is told wider intervals."""

from collections.abc import Callable
from dataclasses import replace
from math import exp, log
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.learning.clothes import RUG, thread
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.expected import Measure
from weftline.core.learning.facts import ClothFacts, means_of
from weftline.core.learning.predicted import log_width, quantity_of
from weftline.core.weave.technique import BOUNDWEAVE, KROKBRAGD, TECHNIQUES, WEFT_FACED_PLAIN, Technique

TEXES: Final = st.floats(200, 2500)
SETTS: Final = st.floats(1.2, 4.5)
WEAVES: Final = st.sampled_from(TECHNIQUES)


def cloth(tex: float, sett: float, technique: Technique = KROKBRAGD, beat: str | None = "firm") -> ClothFacts:
    return replace(RUG, weft=thread(f"{tex:.0f} tex wool"), sett_per_cm=sett, technique=technique, beat=beat)


def mean(of: Callable[[ClothFacts], Measure], facts: ClothFacts) -> float:
    return of(facts).mean


def wide(facts: ClothFacts, of: Callable[[ClothFacts], Measure] = expected.lines) -> float:
    return log_width(quantity_of(NO_SAMPLE, of(facts), exp))


@given(tex=TEXES, sett=SETTS, technique=WEAVES)
def test_a_heavier_weft_gives_fewer_lines_thicker_and_heavier_cloth(
    tex: float, sett: float, technique: Technique
) -> None:
    thin, thick = cloth(tex, sett, technique), cloth(tex * 1.3, sett, technique)
    assert mean(expected.lines, thick) < mean(expected.lines, thin)
    assert mean(expected.thickness, thick) > mean(expected.thickness, thin)
    assert mean(expected.mass, thick) > mean(expected.mass, thin)


@given(tex=TEXES, sett=SETTS, technique=WEAVES)
def test_a_closer_sett_gives_no_more_lines(tex: float, sett: float, technique: Technique) -> None:
    assert (
        mean(expected.lines, cloth(tex, sett * 1.1, technique))
        <= mean(expected.lines, cloth(tex, sett, technique)) + 1e-9
    )


@given(tex=TEXES, sett=SETTS)
def test_a_harder_beat_gives_more_lines_and_plain_weave_more_than_three_sheds(tex: float, sett: float) -> None:
    beats = [mean(expected.lines, cloth(tex, sett, beat=beat)) for beat in ("soft", "firm", "hard")]
    assert beats == sorted(beats)
    assert mean(expected.lines, cloth(tex, sett, WEFT_FACED_PLAIN)) > mean(expected.lines, cloth(tex, sett))


@given(sett=st.floats(1.2, 2.2))
def test_doubled_strands_divide_lines_by_about_the_root_of_two_where_gaps_are_wide(sett: float) -> None:
    ratio = mean(expected.lines, cloth(300, sett)) - mean(expected.lines, cloth(600, sett))
    assert exp(ratio) == pytest.approx(2**0.5, rel=0.06)


def test_a_light_loom_gives_fewer_lines() -> None:
    light = replace(RUG, loom_kind="rigid heddle")
    assert mean(expected.lines, light) - mean(expected.lines, RUG) == pytest.approx(-0.08)


@pytest.mark.parametrize("technique", TECHNIQUES, ids=lambda one: one.name)
@given(tex=TEXES, sett=SETTS, beat=st.sampled_from(("soft", "firm", "hard")))
def test_no_interval_of_lines_or_mass_is_wider_than_a_factor_of_two_and_a_half(
    technique: Technique, tex: float, sett: float, beat: str
) -> None:
    facts = cloth(tex, sett, technique, beat)
    assert wide(facts) <= log(2.5)
    assert wide(facts, expected.mass) <= log(2.5)


def test_what_is_not_known_makes_it_wider() -> None:
    own = replace(KROKBRAGD, name="own")
    for other in (
        replace(RUG, beat=None),
        replace(RUG, technique=own),
        replace(RUG, weft=thread("1000 tex cotton")),
        replace(RUG, weft=thread("12 wpi wool")),
        cloth(300, 2.4),
    ):
        assert wide(other) > wide(RUG) + 0.005


def test_an_unstated_beat_adds_what_it_is_said_to() -> None:
    def spread(facts: ClothFacts) -> float:
        measure = expected.lines(facts)
        return float(NO_SAMPLE.covariance([measure])[0, 0]) + sum(value**2 for value in measure.piece.values())

    more = (spread(replace(RUG, beat=None)) - spread(RUG)) ** 0.5
    assert more == pytest.approx(0.085, abs=5e-4)


def test_the_crimp_of_four_sheds_is_that_of_the_closure() -> None:
    """Of plain weave's at the same crowding 0.73, as threading and sheds have it."""
    means = means_of(replace(RUG, technique=BOUNDWEAVE))
    assert means.cloth.crimp / (0.62 * means.cloth.crowding**2) == pytest.approx(0.729, abs=1e-3)


def test_keys_tell_cloths_apart_by_yarn_sett_and_weave_but_not_by_beat() -> None:
    keys = {one.cloth_key for one in (RUG, cloth(900, 2.4), cloth(1000, 2.6), cloth(1000, 2.4, BOUNDWEAVE))}
    assert len(keys) == 4
    assert replace(RUG, beat="hard").cloth_key == RUG.cloth_key
