"""``weftline foretell``: what a piece's cloth will be, whether its wool lasts, and what to weave to know more."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_project
from weftline.cli.sett import Beat
from weftline.cli.stored import shelf_learned
from weftline.errors import PieceError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.findings import Quantity
    from weftline.core.learning.forecast import Forecast, Told
    from weftline.core.learning.next_sample import Trial
    from weftline.core.plan.foretold import Foretelling
    from weftline.core.plan.plan import Plan
    from weftline.core.plan.risk import PieceRisk

LABEL = 38


def foretell(
    project: ProjectArgument,
    beat: Annotated[Beat | None, typer.Option("--beat", help="How hard you beat; less sure if left out.")] = None,
    sett: Annotated[str | None, typer.Option("--sett", help="Another sett in thought, with its unit: 8/in.")] = None,
    strands: Annotated[float, typer.Option("--strands", help="The weft so many times as thick, in thought.")] = 1.0,
    json: JsonOption = False,
) -> None:
    """Foretell lines, draw-in, take-up and weight with their intervals, from geometry and the samples on the shelf."""
    from weftline.core.learning.next_sample import next_samples
    from weftline.core.looms.densities import density_per_cm
    from weftline.core.plan.foretold import Whatif, foretell
    from weftline.core.plan.plan import plan
    from weftline.core.plan.risk import piece_risk

    if not 0.1 <= strands <= 10:
        raise PieceError("", f"a weft {strands:g} times as thick is none; give 0.1 to 10")
    close = None if sett is None else float(density_per_cm(sett, "sett"))
    found = plan(read_project(project))
    known = shelf_learned()
    belief = known.belief
    told = foretell(found, belief, Whatif(close, strands, beat and beat.value))
    if told is None:
        raise PieceError(
            "yarns",
            "nothing can be foretold before the sizes of the warp and of most of the weft are known; write them",
        )
    risk, trial = piece_risk(found, belief), next_samples(told.question())[0]
    if json:
        answer_json(_data(told.forecast, risk, trial, len(known.samples)))
        return
    for line in _lines(told, risk, trial):
        say(line)


def _data(forecast: Forecast, risk: PieceRisk, trial: Trial, samples: int) -> dict[str, Any]:
    from weftline.formats.foretold_json import forecast_data, risk_data, trial_data

    return {
        "samples": samples,
        "foretold": forecast_data(forecast),
        "wool": risk_data(risk),
        "next_sample": trial_data(trial),
    }


def _lines(foretelling: Foretelling, risk: PieceRisk, trial: Trial) -> Iterator[str]:
    from weftline.sheets.ranges import interval, shares

    def row(what: str, told: Told, scale: float = 1.0, unit: str = "") -> str:
        said = interval(told.value, scale, unit) if unit else shares(told.value)
        return f"{what:{LABEL}}{said.text}"

    found, facts, forecast = foretelling.plan, foretelling.asked, foretelling.forecast
    inch = found.project.units == "imperial"
    yield f"{facts.warp.said} with {facts.weft.said}; nine pieces in ten lie between the two numbers."
    yield ""
    yield row("lines", forecast.lines_per_cm, 2.54 if inch else 1.0, "per inch" if inch else "per cm")
    yield row("weight", forecast.mass_g_m2, 1.0, "g/m²")
    yield row("thickness", forecast.thickness_mm, 1.0, "mm")
    yield row("draw-in, reed to loom", forecast.draw_in)
    yield row("weft take-up, over the reed's width", forecast.weft_take_up)
    yield row("warp take-up", forecast.warp_take_up)
    lines = forecast.lines_per_cm
    yield f"Lines rest on {'; '.join(lines.rests_on)}."
    if lines.narrow_it is not None:
        yield f"What would narrow them most: {lines.narrow_it.words}"
    strip = trial.strips[0]
    yield (
        f"Next to learn: weave {strip.long_mm / 10:.0f} cm at {strip.cloth.sett_per_cm:.2g} ends per cm and count its lines; "
        f"it takes {trial.cost_cm:.0f} cm of warp."
    )
    yield ""
    yield from _wool(found, risk)


def _wool(found: Plan, risk: PieceRisk) -> Iterator[str]:
    from weftline.core.piece.names import yarn_name
    from weftline.sheets.ranges import interval

    for key, one in risk.yarns.items():
        name = yarn_name(found.project.yarns[key], key)
        said = f"{name[: LABEL - 1]:{LABEL}}{interval(one.need_g, 1.0, 'g').text}"
        if one.runs_out is not None:
            said += f", {_grams(found, key)} on hand"
            said += ", lasts" if one.runs_out < 0.005 else f", runs out {one.runs_out:.0%} of the time"
        if one.buy_g:
            packs = "" if one.packs is None else f", {one.packs} {'pack' if one.packs == 1 else 'packs'} of one lot"
            said += f"; buy {one.buy_g:g} g{packs} to be sure 95 times in 100"
        yield said
    if risk.any_runs_out is not None and risk.any_runs_out >= 0.005:
        yield f"Any of them runs out {risk.any_runs_out:.0%} of the time."


def _grams(found: Plan, key: str) -> str:
    hand: Quantity | None = found.yarns[key].on_hand_g
    return "" if hand is None else f"{hand.value:g} g"
