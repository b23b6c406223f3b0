"""What is given out: the project file, pictures, the steps as a table; the PDF stands with ``write_up``."""

from __future__ import annotations

import re
import unicodedata
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query
from fastapi.responses import Response

from weftline.drawing.bead_drawing import draw_beads
from weftline.drawing.pens.svg import SvgPen
from weftline.drawing.wool import View, wool_picture
from weftline.formats.png import to_png
from weftline.formats.steps_csv import csv_lines
from weftline.server.workbench import Bench

router = APIRouter(prefix="/pieces/{piece}/files")


def given_out(data: bytes | str, name: str, kind: str, media: str) -> Response:
    """Answer with a file; its name is the piece's, with nothing in it that a folder or a header could mistake."""
    plain = "".join(letter for letter in unicodedata.normalize("NFKD", name) if ord(letter) < 128)
    stem = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:60] or "piece"
    found = f"attachment; filename=\"{stem}.{kind}\"; filename*=UTF-8''{quote(f'{stem}.{kind}')}"
    return Response(data, media_type=media, headers={"content-disposition": found, "cache-control": "no-store"})


@router.get("/project.json")
def project(bench: Bench, piece: str) -> Response:
    """Give out the project file."""
    return given_out(bench.desk.file(piece), bench.desk.plan(piece).project.name, "json", "application/json")


@router.get("/picture.png")
def picture(
    bench: Bench, piece: str, back: bool = False, width: Annotated[int, Query(ge=100, le=4000)] = 1600
) -> Response:
    """Give out a picture of the face or the back."""
    plan = bench.desk.plan(piece)
    drawn = wool_picture(plan.cloth, plan.settings, view=View(width_px=width, back=back))
    name = f"{plan.project.name} {'back' if back else 'face'}"
    return given_out(to_png(drawn.pixels, (drawn.dpi_x, drawn.dpi_y)), name, "png", "image/png")


@router.get("/drawing.svg")
def drawing(bench: Bench, piece: str, back: bool = False) -> Response:
    """Give out the beads as a drawing."""
    plan, pen = bench.desk.plan(piece), SvgPen()
    draw_beads(plan.cloth, plan.settings, pen, back=back)
    return given_out(pen.text(), f"{plan.project.name} {'back' if back else 'face'}", "svg", "image/svg+xml")


@router.get("/steps.csv")
def steps(bench: Bench, piece: str) -> Response:
    """Give out every throw as a table."""
    plan = bench.desk.plan(piece)
    return given_out("".join(csv_lines(plan.steps())), f"{plan.project.name} steps", "csv", "text/csv; charset=utf-8")
