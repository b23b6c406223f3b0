"""A sett outside what its yarns ask for is told, with both ways out; one inside is not."""

import json
from pathlib import Path
from typing import Any

import pytest

from weftline.core.findings import Finding, Severity
from weftline.core.geometry.closure import closure_of
from weftline.core.geometry.sett import Thread, sett_limits
from weftline.core.geometry.threads import thread_of_numbers
from weftline.core.plan.findings_sett import weft_tex_for
from weftline.core.plan.plan import plan
from weftline.core.weave.technique import KROKBRAGD
from weftline.core.yarn.numbers import yarn_numbers
from weftline.formats.native import loads

MAT = json.loads((Path(__file__).parents[3] / "examples" / "allotment-mat.json").read_text(encoding="utf-8"))


def told(**warp: Any) -> list[Finding]:
    piece = MAT | {"warp": MAT["warp"] | warp}
    return [one for one in plan(loads(json.dumps(piece))).findings if one.code.startswith("sett-")]


def test_the_demo_pieces_lie_inside() -> None:
    for path in (Path(__file__).parents[3] / "examples").glob("*.json"):
        found = plan(loads(path.read_bytes())).findings
        assert not [one for one in found if one.code.startswith("sett-")], path.name


@pytest.mark.parametrize("sett, code, severity", [
    (1.2, "sett-open", Severity.WARN), (2.3, "sett-open", Severity.NOTE), (5.0, "sett-close", Severity.NOTE),
    (9.0, "sett-close", Severity.WARN),
])  # fmt: skip
def test_a_sett_outside_is_told_and_told_louder_further_out(sett: float, code: str, severity: Severity) -> None:
    (found,) = told(sett_per_cm=sett)
    assert (found.code, found.severity) == (code, severity)
    assert found.message.startswith(f"{sett:.1f} ends per cm is too {'open' if code == 'sett-open' else 'close'}")
    assert "take another sett, or keep it and" in found.remedy


@pytest.mark.parametrize("sett", [2.7, 3.2, 4.2])
def test_a_sett_inside_is_passed_over(sett: float) -> None:
    assert told(sett_per_cm=sett) == []


def test_an_unknown_warp_or_weft_says_nothing() -> None:
    assert told(sett_per_cm=9.0, yarn=None) == []


@pytest.mark.parametrize("limit, sett", [("low", 1.5), ("best", 2.4), ("high", 3.5)])
def test_the_other_weft_puts_the_sett_just_at_the_limit(limit: Any, sett: float) -> None:
    warp, weft = (thread_of_numbers(yarn_numbers(label)) for label in ("8/4 cotton", "500 tex wool"))
    tex = weft_tex_for(warp, weft, KROKBRAGD, sett, limit)
    assert tex is not None
    heavier = thread_of_numbers(yarn_numbers(f"{tex} tex wool"))
    limits = sett_limits(warp, heavier, closure_of(KROKBRAGD))
    assert {"low": limits.low, "best": limits.best, "high": limits.high}[limit] == pytest.approx(sett, rel=1e-6)


def test_no_weft_helps_a_warp_that_is_too_thick() -> None:
    warp: Thread = thread_of_numbers(yarn_numbers("2000 tex linen"))
    weft: Thread = thread_of_numbers(yarn_numbers("500 tex wool"))
    assert weft_tex_for(warp, weft, KROKBRAGD, 12.0, "high") is None
