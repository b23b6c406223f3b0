"""Whether the wool lasts, against pieces woven in a simulation that lays every pick by itself."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy import stats

from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.predicted import spread_of
from weftline.core.piece.values import Pack
from weftline.core.plan.foretold import facts_of
from weftline.core.plan.plan import plan
from weftline.core.plan.risk import piece_risk, t_cases
from weftline.formats.native import loads

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.values import Project
    from weftline.core.plan.plan import Plan
    from weftline.core.plan.risk import PieceRisk

PIECES = 5000
DEMOS = ("kneeling-pad", "sling-and-straps", "wall-piece", "allotment-mat")
DEGREES = 10.0
"""Of what all yarns of a piece share, before any sample."""

EXAMPLES = Path(__file__).parents[3] / "examples"


def weave(found: Plan, pieces: int, seed: int) -> dict[str, NDArray[np.float64]]:
    """Weave a piece many times; return the grams that each took of every yarn, (pieces,).

    Every pick is laid and every tail cut; one take-up for the whole piece, one true weight for each yarn.
    """
    rng = np.random.default_rng(seed)
    spread, middle = spread_and_middle(found)
    shared = middle * np.exp(spread * rng.standard_t(DEGREES, pieces))
    laid: dict[str, float] = {}
    for section, facts in zip(found.cloth.sections, found.sections, strict=True):
        for strip, size in zip(section.strips, facts.size.strips, strict=True):
            for pick in strip.weaving.picks.wound.tolist():
                for key, strands in found.cloth.windings[pick]:
                    laid[key] = laid.get(key, 0.0) + section.written.pieces * strands * size.in_reed_mm.value
    grams = {}
    for key, amount in found.yarns.items():
        assert amount.tex is not None
        tails = found.weft[key].tails_mm.value if key in found.weft else 0.0
        length = laid.get(key, 0.0) * shared + amount.warp_mm.value + tails
        off = rng.normal(0.0, 0.04, pieces) + rng.normal(0.0, 0.02, pieces)
        grams[key] = length * amount.tex.value * 1e-6 * np.exp(off)
    return grams


def spread_and_middle(found: Plan) -> tuple[float, float]:
    """Return what the model says is common to all yarns, read off two yarns' worth of cases."""
    facts = facts_of(found)
    assert facts is not None
    measure = expected.weft_over_reed(facts)
    return spread_of(NO_SAMPLE, measure), float(np.exp(NO_SAMPLE.mean_of(measure)))


def demo(name: str) -> Project:
    """Return a demo piece."""
    return loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def project(name: str, **yarn: object) -> Project:
    """Return a demo whose yarns have nothing on hand, or what is said."""
    found = demo(name)
    yarns = {key: one.model_copy(update={"on_hand_g": None, **yarn}) for key, one in found.yarns.items()}
    return found.model_copy(update={"yarns": yarns})


@pytest.mark.parametrize("name", DEMOS)
def test_what_is_bought_for_95_of_100_lasts_in_so_many(name: str) -> None:
    found = plan(project(name))
    risk = piece_risk(found, NO_SAMPLE)
    for key, grams in weave(found, PIECES, 11).items():
        exact = risk.yarns[key].need_g.high
        assert exact is not None
        assert 0.03 <= float(np.mean(grams > exact)) <= 0.07, key
        assert exact <= risk.yarns[key].buy_g < exact + 1.0


@pytest.mark.parametrize("name", DEMOS)
def test_whole_packs_run_out_no_more_often(name: str) -> None:
    found = plan(project(name, pack=Pack(mass_g=20, price=9)))
    risk = piece_risk(found, NO_SAMPLE)
    out = [float(np.mean(grams > (risk.yarns[key].packs or 0) * 20)) for key, grams in weave(found, PIECES, 12).items()]
    assert float(np.mean(out)) <= 0.05
    assert all(one.cost == 9 * (one.packs or 0) for one in risk.yarns.values())


@pytest.mark.parametrize("name", DEMOS)
def test_the_chance_of_running_out_is_what_happens(name: str) -> None:
    start = plan(project(name))
    needs = {key: one.need_g.value for key, one in piece_risk(start, NO_SAMPLE).yarns.items()}
    yarns = {
        key: one.model_copy(update={"on_hand_g": round(needs[key] * (1.02 + 0.02 * at), 3)})
        for at, (key, one) in enumerate(start.project.yarns.items())
    }
    found = plan(start.project.model_copy(update={"yarns": yarns}))
    risk = piece_risk(found, NO_SAMPLE)
    short = {key: grams > float(yarns[key].on_hand_g or 0) for key, grams in weave(found, PIECES, 13).items()}
    for key, cases in short.items():
        assert risk.yarns[key].runs_out == pytest.approx(float(np.mean(cases)), abs=0.025)
    anyone = float(np.mean(np.any(list(short.values()), axis=0)))
    assert risk.any_runs_out == pytest.approx(anyone, abs=0.025)
    assert max(one.runs_out or 0 for one in risk.yarns.values()) <= (risk.any_runs_out or 0)


def test_the_line_is_where_the_wool_ends() -> None:
    start = project("kneeling-pad")
    need = piece_risk(plan(start), NO_SAMPLE).yarns["n"].need_g
    yarns = {**start.yarns, "n": start.yarns["n"].model_copy(update={"on_hand_g": round((need.high or 0) / 2, 3)})}
    found = plan(start.model_copy(update={"yarns": yarns}))
    risk = piece_risk(found, NO_SAMPLE).yarns["n"]
    assert risk.runs_out == 1.0
    place = risk.from_line
    assert place is not None
    picks = found.cloth.sections[0].picks
    strands = np.array([sum(n for key, n in winding if key == "n") for winding in found.cloth.windings])
    used = np.cumsum(strands[picks.wound])
    half = int(picks.line[np.flatnonzero(used >= used[-1] / 2)[0]]) + 1
    assert abs(place.line - half) <= 1


def test_enough_is_enough() -> None:
    risk: PieceRisk = piece_risk(plan(demo("kneeling-pad")), NO_SAMPLE)
    night = risk.yarns["n"]
    assert (night.runs_out, night.from_line, night.buy_g) == (0.0, None, 0.0)


@pytest.mark.parametrize("degrees", [10.0, 47.0, 200.0])
def test_cases_of_a_student_t(degrees: float) -> None:
    shares = (np.arange(len(t_cases(degrees))) + 0.5) / len(t_cases(degrees))
    exact = stats.t.ppf(shares, degrees)
    inner = slice(4, -4)
    assert np.allclose(t_cases(degrees)[inner], exact[inner], atol=0.02)
