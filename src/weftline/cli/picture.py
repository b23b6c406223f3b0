"""``weftline picture``: the face or the back of a piece as cloth (PNG) or as beads (SVG)."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_project, write_file

if TYPE_CHECKING:
    from weftline.core.piece.values import Project
    from weftline.drawing.wool import View

LIFE_SIZE_DPI = 96.0
"""Pixels an inch of a screen as the CSS reference pixel has it (W3C, CSS Values and Units)."""
PRINT_DPI = 150.0


def picture(
    project: ProjectArgument,
    back: Annotated[bool, typer.Option("--back", help="The back, as seen from behind.")] = False,
    dpi: Annotated[float | None, typer.Option("--dpi", help="Pixels an inch of cloth, 10 to 1200.")] = None,
    width: Annotated[int | None, typer.Option("--width", help="The whole picture so many pixels wide.")] = None,
    life_size: Annotated[bool, typer.Option("--life-size", help="Life size on a screen of 96 pixels an inch.")] = False,
    marks: Annotated[bool, typer.Option("--marks", help="Each yarn's mark on its beads.")] = False,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Where to write it (.png or .svg).")] = None,
    json: JsonOption = False,
) -> None:
    """Draw a piece as the cloth it will be, line 1 at the bottom; the file records its size or dpi."""
    from weftline.drawing.wool import View

    piece = read_project(project)
    target = output or Path(f"{project.stem}{'-back' if back else ''}.png")
    if sum((dpi is not None, width is not None, life_size)) > 1:
        raise typer.BadParameter("choose one of --dpi, --width and --life-size")
    if target.suffix.lower() == ".svg":
        told = _svg(piece, target, back=back)
    elif target.suffix.lower() == ".png":
        size = LIFE_SIZE_DPI if life_size else PRINT_DPI if width is None and dpi is None else dpi
        told = _png(piece, target, View(back=back, dpi=size, width_px=width, marks=marks, smooth=True))
    else:
        raise typer.BadParameter(f"{target} must end in .png or .svg", param_hint="-o")
    if json:
        answer_json({"file": str(target), "back": back, **told})
    else:
        say(f"{target}: {', '.join(f'{name} {value}' for name, value in told.items())}")


def _png(piece: Project, target: Path, view: View) -> dict[str, float]:
    from weftline.core.piece.cloth import expand
    from weftline.core.piece.settings import settings_of
    from weftline.drawing.wool import wool_picture
    from weftline.formats.png import to_png

    drawn = wool_picture(expand(piece), settings_of(piece), view=view)
    write_file(target, to_png(drawn.pixels, (drawn.dpi_x, drawn.dpi_y)))
    rows, columns = drawn.pixels.shape[:2]
    return {"width_px": columns, "height_px": rows, "dpi_x": round(drawn.dpi_x, 3), "dpi_y": round(drawn.dpi_y, 3)}


def _svg(piece: Project, target: Path, *, back: bool) -> dict[str, float]:
    from weftline.core.piece.cloth import expand
    from weftline.core.piece.settings import settings_of
    from weftline.drawing.bead_drawing import draw_beads
    from weftline.drawing.pens.svg import SvgPen

    pen = SvgPen()
    width_mm, height_mm = draw_beads(expand(piece), settings_of(piece), pen, back=back)
    write_file(target, pen.text())
    return {"width_mm": round(width_mm, 2), "height_mm": round(height_mm, 2)}
