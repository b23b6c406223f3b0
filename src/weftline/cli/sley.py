"""``weftline sley``: ends in each dent for a sett in a reed, and where each strip starts."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption
from weftline.cli.files import read_project
from weftline.errors import OutOfPlaceError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.looms.sleying import Sleying, StripInReed, StripWanted
    from weftline.core.piece.values import Project

SETT = "Working ends, with the unit: 6/in, 2.4/cm, 24/10cm."
REED = "Dents of the reed, with the unit: 8/in, 8-dent, 30/10cm."
PROJECT = "A piece whose strips, sett and reed are taken; path of a file, or name of a stored project."


def sley(
    sett: Annotated[str | None, typer.Option("--sett", help=SETT)] = None,
    reed: Annotated[str | None, typer.Option("--reed", help=REED)] = None,
    ends: Annotated[int | None, typer.Option("--ends", help="Working ends, for where to start.")] = None,
    width: Annotated[str | None, typer.Option("--width", help="Width in the reed instead: 53 cm, 21 in.")] = None,
    reed_width: Annotated[
        str | None, typer.Option("--reed-width", help="Width of the whole reed: 70 cm, 28 in.")
    ] = None,
    double_edges: Annotated[
        int, typer.Option("--double-edges", help="Outermost dents at each side that take twice the ends.")
    ] = 0,
    project: Annotated[Path | None, typer.Option("--project", metavar="PROJECT", help=PROJECT)] = None,
    json: JsonOption = False,
) -> None:
    """Say how many ends go into each dent, how true that is to the sett, and in which dent each strip starts."""
    from weftline.core.looms.densities import density_per_cm, length_cm
    from weftline.core.looms.sleying import StripWanted, ends_for_width, sleying
    from weftline.formats.numbers_json import sley_data

    piece = None if project is None else read_project(project)
    per_cm = density_per_cm(sett, "sett") if sett is not None else _sett_of(piece)
    dents = density_per_cm(reed, "reed") if reed is not None else _reed_of(piece)
    if ends is not None and width is not None:
        raise OutOfPlaceError("--ends and --width say the same thing twice; give one of them")
    asked: list[list[StripWanted]] = [[]]
    if ends is not None or width is not None:
        asked = [[StripWanted("Warp", ends_for_width(length_cm(width, "width"), per_cm) if width else ends or 0)]]
    elif piece is not None:
        asked = _strips_of(piece)
    whole = length_cm(reed_width, "width") if reed_width else _loom_width(piece)
    found = [sleying(per_cm, dents, strips, double_edges, whole) for strips in asked]
    if json:
        more = {"sections": [sley_data(one)["strips"] for one in found]} if piece is not None and len(found) > 1 else {}
        answer_json(sley_data(found[0]) | more)
        return
    for line in order_lines(found[0]):
        say(line)
    for one in found:
        for line in strip_lines(one):
            say(line)


def _sett_of(piece: Project | None) -> Fraction:
    from weftline.core.piece.settings import settings_of

    if piece is None:
        raise OutOfPlaceError("no sett is given; add --sett 6/in or --sett 2.4/cm, or --project PIECE")
    return Fraction(str(round(settings_of(piece).sett_per_mm.value * 10, 9)))


def _reed_of(piece: Project | None) -> Fraction:
    if piece is None or piece.loom.reed_dents_per_10cm is None:
        whose = "no reed is given" if piece is None else "the piece names no reed"
        raise OutOfPlaceError(f"{whose}; add --reed 8/in or --reed 30/10cm")
    return Fraction(str(piece.loom.reed_dents_per_10cm)) / 10


def _loom_width(piece: Project | None) -> Fraction | None:
    return None if piece is None or piece.loom.weaving_width_cm is None else Fraction(str(piece.loom.weaving_width_cm))


def _strips_of(piece: Project) -> list[list[StripWanted]]:
    """Return the strips of each section with the gaps between them."""
    from weftline.core.looms.sleying import StripWanted
    from weftline.core.piece.names import section_name, strip_name

    several = len(piece.sections) > 1
    found = []
    for place, section in enumerate(piece.sections):
        before = f"{section_name(section, place)}, " if several else ""
        last = len(section.strips) - 1
        found.append(
            [
                StripWanted(
                    before + strip_name(strip, number),
                    strip.ends,
                    Fraction(str(strip.gap_after_cm)) if number < last else Fraction(0),
                )
                for number, strip in enumerate(section.strips)
            ]
        )
    return found


def order_lines(found: Sleying) -> Iterator[str]:
    """Yield the order of ends, and how true it is."""
    order = found.sley.order
    if len(order) == 1:
        yield f"{order[0]} end{'' if order[0] == 1 else 's'} in every dent."
    else:
        yield f"{'-'.join(map(str, order))}, again and again: {sum(order)} ends in {len(order)} dents."
    per_inch, per_cm = float(found.actual_per_cm) * 2.54, float(found.actual_per_cm)
    said = f"{per_inch:.2f} ends per inch, {per_cm:.2f} per cm"
    if found.sley.is_exact:
        yield f"{said}: just the sett."
    else:
        off = found.deviation * 100
        yield (
            f"{said}: the nearest short order, {abs(off):.1f} % {'closer' if off > 0 else 'more open'} than "
            f"{float(found.wanted_per_cm) * 2.54:.2f} per inch ({float(found.wanted_per_cm):.2f} per cm)."
        )


def strip_lines(found: Sleying) -> Iterator[str]:
    """Yield where each strip stands."""
    for strip in found.strips:
        edges = f" and {strip.edge_ends} more at its doubled edges" if strip.edge_ends else ""
        yield f"{strip.name}: {strip.ends} ends{edges}, {float(strip.width_cm):.1f} cm, {strip.dents} dents; {_start(strip)}."


def _start(strip: StripInReed) -> str:
    if strip.first_dent is not None:
        return f"dents {strip.first_dent} to {strip.last_dent} from the left end of the reed"
    if strip.left_of_middle > 0:
        return f"it starts in dent {strip.left_of_middle} left of the middle of the reed"
    return f"it starts in dent {1 - strip.left_of_middle} right of the middle of the reed"
