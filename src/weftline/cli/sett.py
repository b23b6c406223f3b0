"""``weftline sett``: how close to set a warp for a weft, and how many lines that makes."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.geometry.sett import SettAdvice


class Beat(StrEnum):
    """How hard a weaver beats."""

    SOFT = "soft"
    FIRM = "firm"
    HARD = "hard"


WARP = 'One working end as its label says it, with its fibre: "8/4 cotton", "NeL 8/5", "2 ends of 8/4 cotton".'
WEFT = 'The weft as its label says it, with its fibre: "800 yd/lb wool", "Nm 6/2 wool".'
WEAVE = "The weave: krokbragd, boundweave, two against two, boundweave on opposites, weft-faced plain weave."


def sett(
    warp: Annotated[str, typer.Option("--warp", help=WARP)],
    weft: Annotated[str, typer.Option("--weft", help=WEFT)],
    weave: Annotated[str, typer.Option("--weave", help=WEAVE)] = "krokbragd",
    strands: Annotated[int, typer.Option("--strands", help="Strands of the weft in one pick.")] = 1,
    beat: Annotated[
        Beat | None, typer.Option("--beat", help="How hard you beat; firm, and less sure, if left out.")
    ] = None,
    sett: Annotated[str | None, typer.Option("--sett", help="A sett to judge, with its unit: 2.4/cm, 6/in.")] = None,
    json: JsonOption = False,
) -> None:
    """Say how close to set a warp, why, and how many lines a centimetre to expect."""
    from weftline.core.geometry.sett import sett_advice
    from weftline.core.geometry.threads import thread_of_numbers
    from weftline.core.looms.densities import density_per_cm
    from weftline.core.piece.written import technique_named
    from weftline.core.yarn.numbers import yarn_numbers
    from weftline.formats.numbers_json import sett_data

    of_warp = yarn_numbers(warp)
    of_weft = yarn_numbers(weft, strands=strands)
    judged = None if sett is None else float(density_per_cm(sett, "sett"))
    said = weft if strands == 1 else f"{strands} strands of {weft}"
    advice = sett_advice(
        thread_of_numbers(of_warp),
        thread_of_numbers(of_weft, said),
        technique_named(weave, ""),
        beat and beat.value,
        judged,
    )
    questions = [question for question in (of_warp.question, of_weft.question) if question is not None]
    if json:
        answer_json({**sett_data(advice), "questions": questions})
        return
    for line in sett_lines(advice):
        say(line)
    for question in questions:
        say(f"The likeliest reading was taken: {question}")


VERDICTS = {
    "limp": "too open: the cloth may be limp",
    "open": "open: a soft hand",
    "good": "good",
    "close": "close: a stiff hand",
    "shows": "too close: the warp may show",
}


def sett_lines(advice: SettAdvice) -> Iterator[str]:
    """Yield the advice as a person reads it."""
    low, best, high = advice.low.value, advice.best.value, advice.high.value
    yield f"Sett {low:.1f} to {high:.1f} ends per cm, best {best:.1f} ({low * 2.54:.1f} to {high * 2.54:.1f} per inch, best {best * 2.54:.1f})."
    if abs(advice.at_per_cm - best) > 1e-9:
        yield f"{advice.at_per_cm:.2f} per cm is {VERDICTS[advice.verdict]}."
    yield advice.reason
    lines = advice.lines_per_cm
    yield (
        f"At {advice.at_per_cm:.1f} per cm expect {lines.value:.1f} lines per cm, "
        f"between {lines.low or 0:.1f} and {lines.high or 0:.1f}, nine times in ten."
    )
    for rest in advice.rests_on:
        yield f"Rests on {rest}."
