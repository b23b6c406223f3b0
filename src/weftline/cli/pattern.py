"""``weftline pattern``: the printed pattern as PDF."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from weftline.cli.answers import answer_json, end_with, say
from weftline.cli.arguments import JsonOption, ProjectArgument, UnitsOption
from weftline.cli.files import read_project, write_file


class PaperSize(StrEnum):
    """Papers that a pattern can be printed on."""

    A4 = "a4"
    LETTER = "letter"


def pattern(
    project: ProjectArgument,
    paper: Annotated[PaperSize, typer.Option("--paper", help="Size of the pages.")] = PaperSize.A4,
    units: UnitsOption = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Where to write it (.pdf).")] = None,
    json: JsonOption = False,
) -> None:
    """Print a pattern that another weaver can follow; what stops the piece stands at its top, with exit code 1."""
    from weftline.core.plan.plan import plan as plan_of
    from weftline.sheets.typeset import pattern as pattern_of

    piece = read_project(project)
    target = output or Path(f"{project.stem}.pdf")
    if target.suffix.lower() != ".pdf":
        raise typer.BadParameter(f"{target} must end in .pdf", param_hint="-o")
    plan = plan_of(piece)
    printed = pattern_of(plan, paper.value, units.value if units else None)
    write_file(target, printed.pdf)
    if json:
        answer_json({"file": str(target), "pages": printed.pages, "paper": printed.paper})
    else:
        say(f"{target}: {printed.pages} pages, {printed.paper}")
    end_with(plan.stops)
