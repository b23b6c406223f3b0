"""``weftline import``: project files into the store."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption
from weftline.cli.files import read_file
from weftline.cli.stored import DEVICE


def import_files(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Project files; they are only read.")],
    json: JsonOption = False,
) -> None:
    """Take project files into the store; all of them, or none if one cannot be followed."""
    from weftline.wiring import opened

    projects = [read_file(path) for path in files]
    with opened() as services:
        made = [(project.name, services.pieces.create(project, DEVICE).stream) for project in projects]
    if json:
        answer_json([{"id": piece, "name": name} for name, piece in made])
        return
    for name, piece in made:
        say(f"{piece:14} {name}")
