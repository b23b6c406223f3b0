"""``weftline new``: a piece to start from."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import ForceOption, JsonOption, Units
from weftline.cli.files import write_file


def new(
    name: Annotated[str, typer.Argument(help="What the piece is called.")] = "Untitled",
    ends: Annotated[int, typer.Option("--ends", help="Working ends.")] = 33,
    technique: Annotated[str, typer.Option("--technique", help="A trade name, such as krokbragd.")] = "krokbragd",
    units: Annotated[Units, typer.Option("--units", help="Units shown for this piece.")] = Units.METRIC,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Where to write it (.json).")] = None,
    force: ForceOption = False,
    json: JsonOption = False,
) -> None:
    """Write a small piece to start from: two wools, twelve lines of ground, and a first band of one-end spots."""
    from weftline.formats.native import dumps, loads
    from weftline.formats.starting import starting_piece

    text = dumps(starting_piece(name, ends, technique, units.value))
    loads(text)  # refuses what could not be read again: too many ends, an unknown technique
    target = output or Path(f"{re.sub(r'[^a-z0-9]+', '-', name.lower()).strip('-') or 'piece'}.json")
    write_file(target, text, force=force)
    if json:
        answer_json({"file": str(target)})
    else:
        say(f"{target}: {ends} ends. Plan it with: weftline plan {target}")
