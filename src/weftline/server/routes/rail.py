"""Pieces: the rail, the ways to a new piece, and what is done with a whole one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, UploadFile
from fastapi.responses import Response

from weftline.formats.native import MAX_BYTES, loads, refuse_size
from weftline.server.demos import demo_plan, demo_projects
from weftline.server.pages.rail import hung, next_words, on_loom
from weftline.server.starts import bare_warp, from_size
from weftline.server.workbench import Bench, Chosen, Device, HandOf, done, page

router = APIRouter()
BARE_WIDTH, BARE_HEIGHT = 82, 330


@router.get("/")
def rail(request: Request, bench: Bench, device: Device) -> Response:
    """Show the rail."""
    summaries = bench.desk.summaries()
    pieces, loom = [], None
    for one in summaries:
        plan, sheet = bench.desk.plan(one.id), bench.desk.sheet(one.id, device)
        words, stop = next_words(sheet, plan)
        if loom is None:
            loom = on_loom(sheet, plan, f"/pieces/{one.id}/loom.webp?seq={sheet.seq}")
        picture = f"/pieces/{one.id}/hung.webp?seq={sheet.seq}"
        pieces.append(hung(plan, f"/pieces/{one.id}/{stop}", picture, one.id, words))
    demos = [] if pieces else _demos()
    away = len(bench.desk.summaries(put_away=True))
    bare = {"width": BARE_WIDTH, "height": BARE_HEIGHT}
    return page(request, "pieces.html", shelf="Pieces", hung=pieces, loom=loom, demos=demos, away=away, bare=bare)


def _demos() -> list[object]:
    return [hung(demo_plan(name), f"/demos/{name}", f"/demos/{name}/hung.webp", name, "") for name in demo_projects()]


@router.get("/demos")
def demos(request: Request) -> Response:
    """Show the demo pieces."""
    return page(request, "demos.html", shelf="Pieces", demos=_demos())


@router.get("/put-away")
def put_away_list(request: Request, bench: Bench, device: Device) -> Response:
    """Show what was put away."""
    pieces = [
        hung(
            bench.desk.plan(one.id), f"/pieces/{one.id}/design", f"/pieces/{one.id}/hung.webp?seq={one.seq}", one.id, ""
        )
        for one in bench.desk.summaries(put_away=True)
    ]
    return page(request, "put-away.html", shelf="Pieces", hung=pieces)


@router.get("/new")
def new(request: Request, chosen: Chosen) -> Response:
    """Show the form of a piece from its size."""
    return page(request, "new.html", shelf="Pieces", units=chosen.units)


@router.get("/find")
def find(request: Request, bench: Bench, q: str = "") -> Response:
    """Show pieces and yarns by a part of their names."""
    wanted = q.strip().casefold()[:80]
    every = bench.desk.summaries() + bench.desk.summaries(put_away=True)
    pieces = [one for one in every if wanted and wanted in one.name.casefold()]
    shelf = bench.desk.shelf().documents.get("yarns", {})
    yarns = [
        (key, one.get("name", ""))
        for key, one in shelf.items()
        if wanted and wanted in str(one.get("name", "")).casefold()
    ]
    return page(request, "find.html", shelf="Pieces", q=q[:80], pieces=pieces, yarns=yarns)


@router.post("/pieces/bare-warp")
def start_bare(request: Request, bench: Bench, hand: HandOf, chosen: Chosen) -> Response:
    """Make a piece of a bare warp."""
    return done(request, f"/pieces/{bench.desk.create(bare_warp(chosen.units), hand)}/design")


@dataclass(frozen=True, slots=True)
class Wished:
    """A size to start from, in the weaver's units."""

    width: float
    length: float
    name: str
    technique: str


def _wished(
    width: Annotated[float, Form(gt=0, le=1000)],
    length: Annotated[float, Form(gt=0, le=10_000)],
    name: Annotated[str, Form(max_length=200)] = "",
    technique: Annotated[str, Form(max_length=80)] = "krokbragd",
) -> Wished:
    return Wished(width, length, name.strip() or "From a size", technique)


@router.post("/pieces/from-size")
def start_size(
    request: Request, bench: Bench, hand: HandOf, chosen: Chosen, wished: Annotated[Wished, Depends(_wished)]
) -> Response:
    """Make a piece of a wished size: balanced ends, lines of ground."""
    factor = 25.4 if chosen.units == "imperial" else 10.0
    size = wished.width * factor, wished.length * factor
    project = from_size(wished.name, size, wished.technique, chosen.units)
    return done(request, f"/pieces/{bench.desk.create(project, hand)}/design")


@router.post("/pieces/from-demo")
def start_demo(request: Request, bench: Bench, hand: HandOf, demo: Annotated[str, Form(max_length=80)]) -> Response:
    """Make a piece of a demo."""
    return done(request, f"/pieces/{bench.desk.create(demo_projects(demo)[demo], hand)}/design")


@router.post("/pieces/from-file")
def start_file(request: Request, bench: Bench, hand: HandOf, file: UploadFile) -> Response:
    """Make a piece of a project file."""
    data = file.file.read(MAX_BYTES + 1)
    refuse_size(file.size or len(data))
    return done(request, f"/pieces/{bench.desk.create(loads(data), hand)}/design")


@router.post("/pieces/{piece}/rename")
def rename(
    request: Request, bench: Bench, piece: str, hand: HandOf, name: Annotated[str, Form(min_length=1, max_length=200)]
) -> Response:
    """Give a piece another name."""
    bench.desk.rename(piece, name.strip() or "Untitled", _now(bench, piece, hand))
    return done(request, "/")


@router.post("/pieces/{piece}/duplicate")
def duplicate(request: Request, bench: Bench, piece: str, hand: HandOf) -> Response:
    """Make a piece like this one."""
    bench.desk.duplicate(piece, hand)
    return done(request, "/")


@router.post("/pieces/{piece}/put-away")
def put_away(request: Request, bench: Bench, piece: str, hand: HandOf) -> Response:
    """Put a piece away."""
    bench.desk.put_away(piece, hand)
    return done(request, "/")


@router.post("/pieces/{piece}/bring-back")
def bring_back(request: Request, bench: Bench, piece: str, hand: HandOf) -> Response:
    """Bring a piece back."""
    bench.desk.bring_back(piece, hand)
    return done(request, "/")


def _now(bench: Bench, piece: str, hand: HandOf) -> HandOf:
    """Return the hand with the last entry as its base, for forms that show no version."""
    return type(hand)(hand.device, hand.entry, hand.base or bench.desk.sheet(piece, hand.device).seq)
