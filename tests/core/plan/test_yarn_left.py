"""How far a yarn still goes, against shuttles emptied line by line in a simulation."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from weftline.core.plan.plan import plan
from weftline.core.plan.yarn_left import Weighed, YarnLeft, need_by_line, yarn_left
from weftline.formats.native import loads

PIECES = 600
TEX = 333.0
LINES = np.full(300, 2600.0)
EXAMPLES = Path(__file__).parents[3] / "examples"


def emptied(seed: int, part: float, learns: bool, most: float) -> tuple[YarnLeft, int, bool]:
    """Weave a part of a piece, weigh, weave on until yarn or piece ends; return what was told, and what was so."""
    rng = np.random.default_rng([seed, 3])
    lines = int(rng.integers(120, 400))
    planned = rng.choice([0.0, 900.0, 1800.0, 2700.0], lines, p=[0.3, 0.3, 0.2, 0.2])
    factor = np.exp(0.06 * rng.standard_t(10) + rng.normal(0, 0.04) + rng.normal(0, 0.015))
    drift = np.exp(rng.uniform(0, 0.04) * np.sin(np.arange(lines) / rng.uniform(30, 120) + rng.uniform(0, 6)))
    true_g = planned * factor * drift * rng.normal(1, 0.05, lines) * TEX * 1e-6
    woven = round(lines * part)
    had = float(true_g.sum() * rng.uniform(part + 0.5 * (1 - part), most))
    left = max(0.0, had - float(true_g[:woven].sum()))
    said = max(0.0, float(np.round(left + rng.normal(0, 0.7))))
    before = float(np.round(had + rng.normal(0, 0.7))) if learns else None
    spent = float(planned[:woven].sum()) if learns else None
    weighed = Weighed(said + 85, 85, None if before is None else max(before, said))
    lasted = int(np.searchsorted(np.cumsum(true_g[woven:]), left, side="right"))
    return yarn_left(weighed, TEX, planned[woven:], spent), lasted, lasted < lines - woven


@pytest.mark.parametrize("part, learns", [(0.2, True), (0.5, True), (0.7, True), (0.3, False)])
def test_nine_in_ten_last_to_a_line_of_the_interval(part: float, learns: bool) -> None:
    found = [emptied(seed, part, learns, 0.95) for seed in range(PIECES)]
    assert all(ran_out for _, _, ran_out in found)
    share = sum(told.lasts_low <= lasted <= told.lasts_high for told, lasted, _ in found) / PIECES
    print(f"yarn weighed after {part:.0%}: {share:.1%} inside")
    assert 0.85 <= share <= 0.97


@pytest.mark.parametrize("part, learns", [(0.2, True), (0.5, True), (0.8, True), (0.3, False)])
def test_the_chance_of_running_out_is_what_happens(part: float, learns: bool) -> None:
    found = [emptied(seed, part, learns, 1.2) for seed in range(PIECES)]
    foretold = float(np.mean([told.runs_out for told, _, _ in found]))
    assert foretold == pytest.approx(float(np.mean([ran_out for _, _, ran_out in found])), abs=0.04)
    sure = [ran_out for told, _, ran_out in found if told.runs_out < 0.05]
    assert sum(sure) <= 0.05 * len(sure) + 2


def test_what_is_bought_lasts_in_95_of_100() -> None:
    short = 0
    for seed in range(PIECES):
        rng = np.random.default_rng([seed, 9])
        factor = np.exp(0.06 * rng.standard_t(10) + rng.normal(0, 0.04) + rng.normal(0, 0.02))
        told = yarn_left(Weighed(80.0), TEX, LINES)
        short += float(LINES.sum()) * TEX * 1e-6 * factor > 80 + told.buy_g
    assert 0.02 <= short / PIECES <= 0.08


def test_weighing_twice_narrows() -> None:
    blind = yarn_left(Weighed(120.0), TEX, LINES)
    taught = yarn_left(Weighed(120.0, 0.0, 240.0), TEX, LINES, 150 * 2600.0)
    assert taught.lasts_high - taught.lasts_low < 0.7 * (blind.lasts_high - blind.lasts_low)
    assert taught.use.value == pytest.approx(120 / (150 * 2600 * TEX * 1e-6), rel=0.02)
    assert taught.lasts > blind.lasts == 138


def test_an_empty_shuttle_lasts_as_long_as_it_is_not_needed() -> None:
    need = np.concatenate([np.zeros(7), np.full(5, 2600.0)])
    told = yarn_left(Weighed(85.0, 85.0), TEX, need)
    assert (told.lasts_low, told.lasts) == (7, 7)
    assert told.runs_out > 0.99
    assert 5 <= told.buy_g <= 7
    enough = yarn_left(Weighed(85.0), TEX, np.zeros(12))
    assert (enough.lasts_low, enough.runs_out, enough.buy_g) == (12, 0.0, 0.0)
    over = yarn_left(Weighed(85.0), TEX, np.zeros(0))
    assert (over.lines, over.lasts, over.runs_out) == (0, 0, 0.0)


def test_weights_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="weigh the empty one again"):
        Weighed(80.0, 85.0)
    with pytest.raises(ValueError, match="more than there was; say what was added"):
        Weighed(300.0, 0.0, 250.0)
    with pytest.raises(ValueError, match="say the yarn's size"):
        yarn_left(Weighed(80.0), 0.0, LINES)


@pytest.mark.parametrize("name", ["kneeling-pad", "allotment-mat", "wall-piece"])
def test_the_need_of_all_lines_is_the_plans(name: str) -> None:
    found = plan(loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8")))
    for key, amount in found.weft.items():
        need = need_by_line(found, key)
        assert len(need) == found.sections[0].lines
        assert float(need.sum()) == pytest.approx(amount.length_mm.value)
    assert not need_by_line(found, "unheard").any()
