"""What to weave next: worth known beforehand, the plan exact against weighing every choice."""

import random
from dataclasses import replace
from itertools import combinations_with_replacement
from typing import Final

import pytest

from tests.core.learning.clothes import CLOSER, FINER, RUG, strip
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE, Belief, Manner, learn
from weftline.core.learning.expected import Measure
from weftline.core.learning.next_sample import Question, Strip, Trial, least_warp, next_samples
from weftline.core.learning.sample import Count, Sample
from weftline.core.weave.technique import WEFT_FACED_PLAIN

STRIPS: Final = (
    Strip("5 cm of it", RUG),
    Strip("10 cm of it", RUG, 100),
    Strip("20 cm of it", RUG, 200),
    Strip("5 cm at another sett", CLOSER, warp="closer"),
    Strip("5 cm in another yarn", FINER),
    Strip("10 cm, weighed", RUG, 100, read=("weigh",)),
    Strip("5 cm of plain weave", replace(RUG, technique=WEFT_FACED_PLAIN)),
)


def names(trial: Trial) -> list[str]:
    return [one.name for one in trial.strips]


def lines_question(belief: Belief = NO_SAMPLE) -> Question:
    return Question(belief, expected.lines(RUG), STRIPS)


def test_the_worth_that_was_foretold_is_what_a_sample_then_brings() -> None:
    """The spread after learning, at the same common scale, is the one in the plan, whatever was read."""
    question = lines_question()
    foretold = question.trial([1]).sd / question.sd
    lines = expected.lines(RUG)
    for count in (45, 51, 58):
        after, _ = learn(NO_SAMPLE, Sample("s", RUG, Count((count,), 100)), Manner(doubting=False))
        got = (after.covariance([lines])[0, 0] / NO_SAMPLE.covariance([lines])[0, 0]) ** 0.5
        assert got == pytest.approx(foretold, rel=3e-3)


def test_five_centimetres_settle_lines() -> None:
    """The shape of the table that the model was first tried with: short strips win, another yarn teaches least."""
    found = next_samples(lines_question())
    assert names(found[0]) == ["5 cm of it"]
    left = {one.strips[0].name: one.sd for one in found}
    assert left["5 cm of it"] < 0.2 * lines_question().sd
    assert 0.9 < left["20 cm of it"] / left["5 cm of it"] < 1
    assert left["5 cm of it"] < left["10 cm, weighed"] < left["5 cm in another yarn"]
    assert left["5 cm at another sett"] < left["5 cm in another yarn"]


def test_the_same_strip_on_two_days_teaches_more_than_one_twice_as_long() -> None:
    question = lines_question()
    assert question.trial([0, 0]).sd < question.trial([1]).sd < question.trial([0]).sd


def test_pairs_and_triples_are_all_weighed_once() -> None:
    question = lines_question()
    for number, count in ((1, 7), (2, 28), (3, 84)):
        found = next_samples(question, number)
        assert len(found) == count
        gains = [one.gain_per_m for one in found]
        assert gains == sorted(gains, reverse=True)


def test_a_warp_of_its_own_costs_its_waste_once() -> None:
    question = lines_question()
    one, two = question.trial([3]).cost_cm, question.trial([3, 3]).cost_cm
    assert one == pytest.approx(65 + 5 * 1.07 + 3)
    assert two - one == pytest.approx(5 * 1.07 + 3)


def test_what_is_known_already_costs_nothing_and_what_cannot_be_known_has_no_plan() -> None:
    question = lines_question()
    assert least_warp(question, 1.0) == Trial((), question.sd, 0.0, 0.0)
    assert least_warp(question, 0.001) is None
    with pytest.raises(ValueError, match="no strip to choose from"):
        Question(NO_SAMPLE, expected.lines(RUG), ())


def test_after_a_sample_less_warp_is_wanted() -> None:
    known, _ = learn(NO_SAMPLE, strip())
    before, after = least_warp(lines_question(), 0.045), least_warp(lines_question(known), 0.045)
    assert before is not None
    assert after is not None
    assert after.cost_cm < before.cost_cm


def some(rng: random.Random) -> tuple[Question, float, int]:
    """Return a small question with a spread to reach that is neither there already nor out of reach."""
    belief = NO_SAMPLE
    for n in range(rng.randrange(3)):
        belief, _ = learn(belief, strip(rng.choice((RUG, CLOSER, FINER)), rng.uniform(50, 110), f"{n}"))
    readings = ("count", "weigh", "widths", "thickness", "weft", "weft by shed", "marks")
    strips = [
        Strip(
            f"{n}",
            replace(rng.choice((RUG, CLOSER, FINER)), beat=rng.choice(("soft", "firm"))),
            rng.choice((50.0, 80.0, 100.0, 150.0)),
            rng.choice((150.0, 250.0)),
            tuple(rng.sample(readings, rng.randint(1, 3))),
            rng.choice(("", "", "closer", "wide")),
        )
        for n in range(rng.randint(3, 5))
    ]
    figures: tuple[Measure, ...] = (
        expected.lines(RUG),
        expected.draw_in(RUG),
        expected.mass(FINER),
        expected.weft_over_reed(RUG),
    )
    question = Question(belief, rng.choice(figures), strips, waste_cm=rng.choice((10.0, 30.0, 65.0)))
    most = rng.randint(2, 4)
    deepest = min(question.trial(chosen).sd for chosen in choices(question, most))
    if deepest > 0.99 * question.sd:
        return some(rng)
    return question, deepest + (question.sd - deepest) * rng.uniform(0.0, 0.8) + 1e-9, most


def choices(question: Question, most: int) -> list[tuple[int, ...]]:
    places = range(len(question.strips))
    return [chosen for n in range(1, most + 1) for chosen in combinations_with_replacement(places, n)]


@pytest.mark.parametrize("seed", range(50))
def test_the_least_warp_is_that_of_weighing_every_choice(seed: int) -> None:
    question, sd, most = some(random.Random(seed))
    trials = [question.trial(chosen) for chosen in choices(question, most)]
    best = min((one for one in trials if one.sd <= sd), key=lambda one: (round(one.cost_cm, 9), one.sd))
    found = least_warp(question, sd, most)
    assert found is not None
    assert found.sd <= sd
    assert found.cost_cm == pytest.approx(best.cost_cm, abs=1e-9)
    assert found.sd == pytest.approx(best.sd, abs=1e-9)
