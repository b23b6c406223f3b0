"""``weftline demo``: the demo pieces, as files to start from, or all of them planned and drawn."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import ForceOption, JsonOption
from weftline.cli.files import write_file
from weftline.errors import OutOfPlaceError

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable


def demo_files() -> dict[str, Traversable]:
    """Return the demo pieces by name."""
    folder = resources.files("weftline") / "examples"
    found = sorted((file for file in folder.iterdir() if file.name.endswith(".json")), key=lambda file: file.name)
    return {file.name.removesuffix(".json"): file for file in found}


def demo(
    name: Annotated[str | None, typer.Argument(help="Which demo piece; all are listed if left out.")] = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Where to write it (.json).")] = None,
    force: ForceOption = False,
    json: JsonOption = False,
    every: Annotated[bool, typer.Option("--all", help="Plan and draw all of them into the data folder.")] = False,
) -> None:
    """List the demo pieces, or write one of them as a project file."""
    from weftline.formats.native import loads

    if every:
        show_all()
        return
    files = demo_files()
    if name is None:
        titles = {key: loads(file.read_bytes()).name for key, file in files.items()}
        if json:
            answer_json([{"demo": key, "name": title} for key, title in titles.items()])
        else:
            for key, title in titles.items():
                say(f"{key:24} {title}")
        return
    if name not in files:
        raise OutOfPlaceError(f"no demo piece is called {name}; there are {', '.join(files)}")
    target = output or Path(f"{name}.json")
    write_file(target, files[name].read_bytes(), force=force)
    if json:
        answer_json({"file": str(target)})
    else:
        say(f"{target}: plan it with weftline plan {target}")


def show_all() -> None:
    """Plan and draw every demo piece into a folder, and say where."""
    from weftline.cli.plan import plan_lines
    from weftline.core.plan.plan import plan as plan_of
    from weftline.drawing.wool import View, wool_picture
    from weftline.formats.native import loads
    from weftline.formats.png import to_png
    from weftline.wiring import data_folder, make_data_folder

    data = data_folder()
    make_data_folder(data)
    folder = data / "demo pieces"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as cause:
        raise OutOfPlaceError(f"{folder} cannot be made: {cause.strerror or cause}") from None
    for key, file in demo_files().items():
        piece = loads(file.read_bytes())
        found = plan_of(piece)
        write_file(folder / f"{key}.json", file.read_bytes())
        write_file(folder / f"{key}.txt", "\n".join(plan_lines(found, piece.units)) + "\n")
        for back in (False, True):
            drawn = wool_picture(found.cloth, found.settings, view=View(back=back, width_px=800, smooth=True))
            write_file(folder / f"{key}{'-back' if back else ''}.png", to_png(drawn.pixels, (drawn.dpi_x, drawn.dpi_y)))
        say(f"{piece.name}: plan, face and back")
    say(f"All in {folder}")
