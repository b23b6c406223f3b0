"""``weftline picture``: the face or the back of a piece as PNG."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_project, write_file


def picture(
    project: ProjectArgument,
    back: Annotated[bool, typer.Option("--back", help="The back, as seen from behind.")] = False,
    dpi: Annotated[float, typer.Option("--dpi", help="Pixels an inch of cloth, 10 to 1200.")] = 150.0,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Where to write it (.png).")] = None,
    json: JsonOption = False,
) -> None:
    """Draw a piece at true proportion, line 1 at the bottom; the file records its dpi."""
    from weftline.core.piece.cloth import expand
    from weftline.core.piece.settings import settings_of
    from weftline.drawing.plain import plain_picture
    from weftline.formats.png import to_png

    piece = read_project(project)
    target = output or Path(f"{project.stem}{'-back' if back else ''}.png")
    if target.suffix.lower() != ".png":
        raise typer.BadParameter(f"{target} must end in .png", param_hint="-o")
    drawn = plain_picture(expand(piece), settings_of(piece), back=back, dpi=dpi)
    write_file(target, to_png(drawn.pixels, (dpi, dpi)))
    rows, columns = drawn.pixels.shape[:2]
    if json:
        answer_json({"file": str(target), "width_px": columns, "height_px": rows, "dpi": dpi, "back": back})
    else:
        say(f"{target}: {columns} x {rows} pixels, {dpi:g} dpi")
