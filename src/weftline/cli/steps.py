"""``weftline steps``: every throw of the piece, in order."""

from __future__ import annotations

import json as json_module
from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.answers import end_with, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_project

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weftline.core.plan.steps import Step


def steps(
    project: ProjectArgument,
    csv: Annotated[bool, typer.Option("--csv", help="Answer as a table, comma separated.")] = False,
    json: JsonOption = False,
) -> None:
    """List every throw: section, strip, line, shed, what to lift, what to throw."""
    from weftline.core.plan.plan import plan as plan_of
    from weftline.formats.steps_csv import csv_lines

    if csv and json:
        raise typer.BadParameter("choose --csv or --json")
    found = plan_of(read_project(project))
    if csv:
        for line in csv_lines(found.steps()):
            typer.echo(line, nl=False)
    else:
        for line in _json_lines(found.steps()) if json else _sentences(found.steps()):
            say(line)
    end_with(found.stops)


def _json_lines(steps: Iterable[Step]) -> Iterator[str]:
    """Yield one JSON list, a step a line, so that long pieces need no memory."""
    from weftline.formats.steps_csv import step_data

    yield "["
    between = ""
    for step in steps:
        yield between + json_module.dumps(step_data(step), ensure_ascii=False)
        between = ","
    yield "]"


def _sentences(steps: Iterable[Step]) -> Iterator[str]:
    from weftline.formats.steps_csv import strands_words

    place = None
    for step in steps:
        here = (step.section, step.piece, step.band)
        if here != place:
            yield f"{step.section}, piece {step.piece}: {step.band}"
            place = here
        yield (
            f"{step.ordinal:6}  line {step.line}.{step.pick}  {step.lift.words():12}  "
            f"{strands_words(step.strands)}  ({step.strip})"
        )
