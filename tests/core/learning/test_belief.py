"""The update against conditioning one joint normal in one step, and what must hold of it whatever was read."""

from dataclasses import replace
from itertools import permutations
from math import exp, log
from typing import Final

import numpy as np
import pytest
from scipy import stats
from scipy.linalg import block_diag

from tests.core.learning.clothes import CLOSER, FINER, RUG, measured, strip
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE, Belief, Manner, believed, learn, scatter
from weftline.core.learning.expected import Effect, Measure
from weftline.core.learning.readings import readings_of
from weftline.core.learning.sample import Sample, Verdict
from weftline.core.learning.spreads import RATE, SHAPE

PLAIN: Final = Manner(drift=0.0, doubting=False)
SAMPLES: Final = (measured(RUG, 62, "a"), measured(CLOSER, 70, "b"), strip(FINER, 110, "c"), measured(FINER, 95, "d"))


def measures() -> list[Measure]:
    return [
        expected.lines(RUG),
        expected.mass(FINER),
        expected.thickness(CLOSER),
        expected.draw_in(RUG),
        expected.crimp(RUG, 2),
    ]


def in_one_step(samples: tuple[Sample, ...], wanted: list[Measure]) -> tuple[np.ndarray, np.ndarray, float, float]:
    """Return means and covariances of quantities given all readings at once, with the scale, from the joint normal."""
    told = [readings_of(one) for one in samples]
    flat = [one for readings in told for one in readings]
    effects = sorted({effect for one in [*(r.expected for r in flat), *wanted] for effect in one.row})

    def rows(of: list[Measure]) -> np.ndarray:
        return np.array([[one.row.get(effect, 0.0) for effect in effects] for one in of])

    read, asked = rows([one.expected for one in flat]), rows(wanted)
    off = np.array([one.value - one.expected.mean for one in flat])
    whole = read @ read.T + block_diag(*(scatter(readings) for readings in told))
    inverse = np.linalg.inv(whole)
    means = np.array([one.mean for one in wanted]) + asked @ read.T @ inverse @ off
    spreads = asked @ asked.T - asked @ read.T @ inverse @ read @ asked.T
    return means, spreads, SHAPE + len(off) / 2, RATE + 0.5 * float(off @ inverse @ off)


@pytest.mark.outside
def test_sample_by_sample_is_all_at_once() -> None:
    means, spreads, shape, rate = in_one_step(tuple(replace(one, verdict=None) for one in SAMPLES), measures())
    belief = believed([replace(one, verdict=None) for one in SAMPLES], PLAIN)
    assert [belief.mean_of(one) for one in measures()] == pytest.approx(means.tolist(), abs=1e-9)
    assert np.allclose(belief.covariance(measures()), spreads, atol=1e-9)
    assert (belief.shape, belief.rate) == pytest.approx((shape, rate), abs=1e-9)


@pytest.mark.outside
def test_the_evidence_is_that_of_a_multivariate_student() -> None:
    """Chained one-sample predictions multiply to the joint density, by scipy's multivariate t: the scale is right too."""
    samples = tuple(
        strip(facts, lines, key) for facts, lines, key in ((RUG, 62, "a"), (RUG, 66, "b"), (CLOSER, 60, "c"))
    )
    flat = [readings_of(one)[0] for one in samples]
    effects = sorted({effect for one in flat for effect in one.expected.row})
    rows = np.array([[one.expected.row.get(effect, 0.0) for effect in effects] for one in flat])
    whole = rows @ rows.T + np.diag([float(scatter([one])[0, 0]) for one in flat])
    off = np.array([one.value - one.expected.mean for one in flat])
    joint = stats.multivariate_t(shape=whole * RATE / SHAPE, df=2 * SHAPE).logpdf(off)
    belief, chained = NO_SAMPLE, 0.0
    for sample, one in zip(samples, flat, strict=True):
        variance = float(belief.covariance([one.expected])[0, 0]) + float(scatter([one])[0, 0])
        scale = (variance * belief.rate / belief.shape) ** 0.5
        chained += stats.t.logpdf(one.value - belief.mean_of(one.expected), 2 * belief.shape, scale=scale)
        belief, _ = learn(belief, sample, PLAIN)
    assert chained == pytest.approx(joint, abs=1e-9)


def test_the_order_of_samples_does_not_matter_without_drift_and_doubt() -> None:
    kept = [replace(one, verdict=None) for one in SAMPLES]
    first = believed(kept, PLAIN)
    for order in permutations(kept):
        other = believed(order, PLAIN)
        assert [other.mean_of(one) for one in measures()] == pytest.approx(
            [first.mean_of(one) for one in measures()], abs=1e-9
        )
        assert np.allclose(other.covariance(measures()), first.covariance(measures()), atol=1e-9)


def test_a_belief_is_not_changed_by_learning() -> None:
    before, _ = learn(NO_SAMPLE, measured())
    kept = (before.means.copy(), before.spreads.copy(), dict(before.places), dict(before.read))
    learn(before, measured(FINER))
    assert np.array_equal(before.means, kept[0])
    assert np.array_equal(before.spreads, kept[1])
    assert (before.places, before.read) == kept[2:]
    assert NO_SAMPLE.places == {}


@pytest.mark.parametrize("measure", measures(), ids=lambda one: f"{one.mean:.2f}")
def test_a_sample_never_makes_anything_less_sure(measure: Measure) -> None:
    belief = NO_SAMPLE
    for sample in SAMPLES:
        after, _ = learn(belief, replace(sample, verdict=None), PLAIN)
        assert after.covariance([measure])[0, 0] <= belief.covariance([measure])[0, 0] + 1e-12
        belief = after


def test_all_spreads_stay_those_of_a_normal() -> None:
    belief = believed([*SAMPLES, *SAMPLES])
    assert np.linalg.eigvalsh(belief.spreads).min() > -1e-10


def left(read: Sample, measure: Measure) -> float:
    after, _ = learn(NO_SAMPLE, read)
    return float((after.covariance([measure])[0, 0] / NO_SAMPLE.covariance([measure])[0, 0]) ** 0.5)


def test_a_count_teaches_lines_and_mass_and_nothing_else() -> None:
    assert left(strip(), expected.lines(RUG)) < 0.25
    assert left(strip(), expected.mass(RUG)) < 0.35
    for measure in (expected.thickness(RUG), expected.draw_in(RUG), expected.take_up(RUG), expected.crimp(RUG)):
        assert left(strip(), measure) > 0.99


def test_closer_cloths_are_taught_more() -> None:
    """The same again, another sett, another yarn, another weaver's: each leaves more open than the one before."""
    others = (RUG, CLOSER, FINER, replace(FINER, weaver="another", loom="hers"))
    shares = [left(strip(), expected.lines(one)) for one in others]
    assert shares == sorted(shares)
    assert 0.4 < shares[1] < 0.65
    assert 0.7 < shares[2] < 0.9
    assert shares[3] < 1


def test_weighing_and_counting_together_tell_of_crimp() -> None:
    both = replace(measured(), laid=(), verdict=None, width=replace(measured().width, in_reed_mm=None))
    assert left(both, expected.crimp(RUG)) < 0.95


def test_what_is_believed_of_the_sum_of_effects_moves_towards_what_was_read() -> None:
    after, _ = learn(NO_SAMPLE, strip())
    woven, before = log(62 / 15), expected.lines(RUG).mean
    assert abs(after.mean_of(expected.lines(RUG)) - woven) < 0.1 * abs(before - woven)


def test_an_arm_drifts() -> None:
    many = [strip(RUG, 62, f"{n}") for n in range(30)]
    still, drifting = believed(many, Manner(drift=0.0)), believed(many)
    lines = expected.lines(RUG)
    assert float(drifting.covariance([lines])[0, 0]) > 2 * float(still.covariance([lines])[0, 0])


def test_a_far_reading_counts_for_less_and_is_told() -> None:
    known = believed([strip(RUG, 62, f"{n}") for n in range(4)])
    after, doubts = learn(known, strip(RUG, 90, "odd"))
    believing, none = learn(known, strip(RUG, 90, "odd"), Manner(doubting=False))
    lines = expected.lines(RUG)
    assert none == ()
    assert after.mean_of(lines) - known.mean_of(lines) < 0.6 * (believing.mean_of(lines) - known.mean_of(lines))
    (doubt,) = doubts
    assert doubt.value == pytest.approx(6.0)
    assert doubt.low < 62 / 15 < doubt.high < 6
    assert str(doubt).startswith("lines per cm: 6, where 3.")


def test_of_two_counts_that_differ_neither_is_doubted() -> None:
    known = believed([strip(RUG, 62, "a")])
    after, doubts = learn(known, strip(RUG, 80, "b"))
    assert doubts == ()
    assert exp(after.mean_of(expected.lines(RUG))) == pytest.approx((62 * 80) ** 0.5 / 15, rel=0.02)


def test_a_slip_of_the_pen_is_doubted_in_the_first_sample() -> None:
    after, (doubt,) = learn(NO_SAMPLE, strip(RUG, 620, "slip"))
    believing, _ = learn(NO_SAMPLE, strip(RUG, 620, "slip"), Manner(doubting=False))
    assert doubt.value == pytest.approx(41.3, abs=0.1)
    assert after.mean_of(expected.lines(RUG)) < believing.mean_of(expected.lines(RUG))


def test_a_reading_close_to_what_was_expected_is_not_doubted() -> None:
    known = believed([strip(RUG, 62, f"{n}") for n in range(4)])
    assert learn(known, strip(RUG, 64, "even"))[1] == ()


# --- verdicts ---------------------------------------------------------------------------------------------------------


def limits(verdict: Verdict, sett: float) -> tuple[float, float]:
    facts = replace(RUG, sett_per_cm=sett)
    after, _ = learn(NO_SAMPLE, Sample("hand", facts, verdict=verdict))
    return exp(after.mean_of(expected.limit("open", facts))), exp(after.mean_of(expected.limit("close", facts)))


def test_verdicts_move_the_limit_they_speak_of() -> None:
    low, high = (exp(expected.limit(of, RUG).mean) for of in ("open", "close"))
    assert limits(Verdict.OPEN, 2.4)[0] > 1.1 * low
    assert limits(Verdict.HELD, 2.0)[0] < 0.95 * low
    assert limits(Verdict.SHOWS, 3.0)[1] < 0.85 * high
    assert limits(Verdict.HELD, 4.5)[1] > 1.1 * high


def test_a_verdict_far_from_a_limit_says_nothing_of_it() -> None:
    low, high = (exp(expected.limit(of, RUG).mean) for of in ("open", "close"))
    assert limits(Verdict.HELD, 8.0)[0] == pytest.approx(low, rel=1e-3)
    assert limits(Verdict.HELD, 0.9)[1] == pytest.approx(high, rel=1e-3)


@pytest.mark.outside
@pytest.mark.parametrize("verdict, of, side, sett", [(Verdict.OPEN, "open", 1, 2.4), (Verdict.SHOWS, "close", -1, 3.3)])
def test_a_verdict_has_the_mean_and_variance_of_the_true_posterior(
    verdict: Verdict, of: str, side: int, sett: float
) -> None:
    """Against summing normal times probit over a fine grid."""
    facts = replace(RUG, sett_per_cm=sett)
    measure = expected.limit(of, facts)
    sd = float(NO_SAMPLE.covariance([measure])[0, 0]) ** 0.5
    grid = np.linspace(measure.mean - 9 * sd, measure.mean + 9 * sd, 40_001)
    weight = stats.norm.pdf(grid, measure.mean, sd) * stats.norm.cdf(side * (grid - log(sett)) / 0.15)
    weight /= weight.sum()
    mean = float(weight @ grid)
    after, _ = learn(NO_SAMPLE, Sample("hand", facts, verdict=verdict))
    assert after.mean_of(measure) == pytest.approx(mean, abs=1e-6)
    assert float(after.covariance([measure])[0, 0]) == pytest.approx(float(weight @ (grid - mean) ** 2), abs=1e-6)


def test_a_verdict_against_all_odds_keeps_its_senses() -> None:
    after, _ = learn(NO_SAMPLE, Sample("hand", replace(RUG, sett_per_cm=60.0), verdict=Verdict.OPEN))
    measure = expected.limit("open", replace(RUG, sett_per_cm=60.0))
    assert np.isfinite(after.mean_of(measure))
    assert 0 < float(after.covariance([measure])[0, 0]) < float(NO_SAMPLE.covariance([measure])[0, 0])


def test_what_was_read_is_counted_by_effect() -> None:
    belief = believed([strip(RUG, 62, "a"), strip(CLOSER, 60, "b")])
    assert belief.read[Effect("lines", "yarn", RUG.yarn_key)] == 2
    assert belief.read[Effect("lines", "cloth", RUG.cloth_key)] == 1
    assert isinstance(belief, Belief)
