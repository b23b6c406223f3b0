"""``weftline export``: a stored piece as a project file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weftline.cli.arguments import ForceOption
from weftline.cli.files import write_file
from weftline.cli.stored import stored_piece


def export(
    piece: Annotated[str, typer.Argument(metavar="NAME", help="Name of a stored piece, or the beginning of its id.")],
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Where to write it (.json).")] = None,
    version: Annotated[int | None, typer.Option("--version", help="As it was after so many entries.")] = None,
    force: ForceOption = False,
    json: Annotated[bool, typer.Option("--json", help="A project file is JSON anyway.")] = False,
) -> None:
    """Give out a stored piece as a project file, on standard output if no file is named."""
    with stored_piece(piece) as (services, found):
        text = services.pieces.export(found, version)
    if output is None:
        typer.echo(text, nl=False)
    else:
        write_file(output, text, force=force)
