"""What a hand does on the cloth: changes as commands, mirrors looked at first, yarns swapped, motifs kept and used."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Depends, Form, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import ValidationError

from weftline.core.piece.commands import Set, Together, command_of
from weftline.core.piece.draft import ROOT
from weftline.errors import OutOfPlaceError, PieceError
from weftline.server import changes, swaps
from weftline.server.pages.frame import frame
from weftline.server.pages.history import history_view
from weftline.server.pages.swap import swap_view
from weftline.server.pictures import small_whole, whole
from weftline.server.routes.pictures import Wish, answer
from weftline.server.variants import middle_picture, swapped
from weftline.server.workbench import Bench, Device, HandOf, done, page

if TYPE_CHECKING:
    from weftline.core.piece.commands import Command, Single
    from weftline.server.workbench import Workbench

router = APIRouter(prefix="/pieces/{piece}")
Key = Annotated[str, Form(max_length=200)]
Many = Annotated[str, Form(max_length=1_000_000)]
Mirrored = Annotated[str, Query(pattern="^(none|lines|picks)$")]
MOTIFS = "motifs"
SWAP_PX = 300
LARGEST = 4_000_000


def _design(piece: str, at: str | None = None, where: str = "") -> str:
    return f"/pieces/{piece}/design" + (f"?at={at}" if at else "") + (f"#{where}" if where else "")


@router.post("/change")
def change(
    bench: Bench,
    piece: str,
    hand: HandOf,
    command: Annotated[str, Form(max_length=LARGEST)],
    name: Annotated[str, Form(max_length=200)] = "",
) -> Response:
    """Make a change that is written as a command."""
    try:
        wanted = command_of(json.loads(command))
    except (ValueError, ValidationError):
        raise PieceError("", "this change cannot be read; load the page again and make it once more") from None
    kept = bench.desk.change(piece, wanted, hand, name or None)
    return JSONResponse({"href": _design(piece), "seq": kept.seq})


@router.get("/bands/{band}/middle.webp")
async def middle(request: Request, bench: Bench, device: Device, piece: str, band: str, mirror: Mirrored) -> Response:
    """Draw a band's middle as it would come out."""

    def wish() -> Wish:
        draft, plan = bench.desk.sheet(piece, device).draft, bench.desk.plan(piece)
        key = ("middle", piece, bench.desk.sheet(piece, device).seq, band, mirror)
        return Wish(key, lambda: middle_picture(draft, band, mirror, plan.settings))

    return await answer(request, bench, wish)


# --- one yarn for another ---


def _exchange(bench: Workbench, piece: str, device: str, yarns: tuple[str, str], lines: str) -> Command:
    draft = bench.desk.sheet(piece, device).draft
    return swaps.exchange(draft, *yarns, [one for one in lines.split(",") if one])


@router.get("/swap")
def swap_sheet(
    request: Request,
    bench: Bench,
    device: Device,
    piece: str,
    yarn: Annotated[str, Query(max_length=40)] = "",
    lines: Annotated[str, Query(max_length=20_000)] = "",
) -> Response:
    """Show the piece in every other yarn, before one is chosen."""
    sheet, plan = bench.desk.sheet(piece, device), bench.desk.plan(piece)
    return page(request, "swap.html", frame=frame(sheet, plan, "design"), view=swap_view(sheet, plan, yarn, lines))


@router.get("/swapped.webp")
async def swapped_picture(
    request: Request,
    bench: Bench,
    device: Device,
    piece: str,
    yarn: Annotated[str, Query(max_length=40)],
    to: Annotated[str, Query(max_length=40)],
    lines: Annotated[str, Query(max_length=20_000)] = "",
) -> Response:
    """Draw the piece with a yarn swapped."""

    def wish() -> Wish:
        sheet, plan = bench.desk.sheet(piece, device), bench.desk.plan(piece)
        key = ("swapped", piece, sheet.seq, yarn, to, lines)

        def draw() -> bytes:
            command = _exchange(bench, piece, device, (yarn, to), lines)
            return whole(swapped(sheet.draft, command), plan.settings, SWAP_PX)

        return Wish(key, draw)

    return await answer(request, bench, wish)


@dataclass(frozen=True, slots=True)
class SwapForm:
    """Which yarn goes, which one comes, and in which written lines (ids, joined by commas; none for all)."""

    yarn: str
    to: str
    lines: str


def _swap_form(yarn: Key, to: Key, lines: Many = "") -> SwapForm:
    return SwapForm(yarn, to, lines)


@router.post("/swap")
def swap(
    request: Request, bench: Bench, piece: str, hand: HandOf, form: Annotated[SwapForm, Depends(_swap_form)]
) -> Response:
    """Swap a yarn."""
    command = _exchange(bench, piece, hand.device, (form.yarn, form.to), form.lines)
    bench.desk.change(piece, command, hand, "swap yarn")
    return done(request, _design(piece))


# --- history ---


@router.get("/history")
def history(
    request: Request, bench: Bench, device: Device, piece: str, before: Annotated[int, Query(ge=0, le=2**53)] = 0
) -> Response:
    """Show what happened to a piece."""
    sheet, plan = bench.desk.sheet(piece, device), bench.desk.plan(piece)
    view = history_view(sheet, bench.desk.history(piece), before)
    return page(request, "history.html", frame=frame(sheet, plan, "design"), view=view)


@router.get("/then.webp")
async def then(request: Request, bench: Bench, piece: str, seq: Annotated[int, Query(ge=1, le=2**53)]) -> Response:
    """Draw a piece as it was."""

    def wish() -> Wish:
        plan = bench.desk.then(piece, seq)
        return Wish(("then", piece, seq), lambda: small_whole(plan))

    return await answer(request, bench, wish)


@router.post("/restore")
def restore(
    request: Request, bench: Bench, piece: str, hand: HandOf, seq: Annotated[int, Form(ge=1, le=2**53)]
) -> Response:
    """Make a piece what it was."""
    bench.desk.restore(piece, seq, hand)
    return done(request, _design(piece))


# --- motifs ---


@router.post("/motifs")
def keep_motif(
    request: Request, bench: Bench, device: Device, piece: str, hand: HandOf, lines: Many, name: Key = ""
) -> Response:
    """Keep lines as a motif."""
    draft = bench.desk.sheet(piece, device).draft
    texts = changes.texts_of(lines)
    if not texts:
        raise PieceError("", "select the lines to keep first")
    roles = swaps.roles_of(texts, draft.fields.get("ground"))
    fallback = f"Motif of {len(texts)} {'line' if len(texts) == 1 else 'lines'}"
    bench.desk.put(MOTIFS, hand.entry, {"name": name.strip() or fallback, "lines": roles}, hand)
    return done(request, _design(piece, where="motifs"))


@router.post("/motifs/{motif}/remove")
def remove_motif(request: Request, bench: Bench, piece: str, motif: str, hand: HandOf) -> Response:
    """Take a motif from the shelf."""
    bench.desk.remove(MOTIFS, motif, hand)
    return done(request, _design(piece, where="motifs"))


@router.post("/motifs/{motif}/use")
async def use_motif(request: Request, bench: Bench, device: Device, piece: str, motif: str, hand: HandOf) -> Response:
    """Put a motif above a line, in this piece's yarns."""
    form = await request.form()
    kept = bench.desk.shelf().documents.get(MOTIFS, {}).get(motif)
    if kept is None:
        raise OutOfPlaceError("this motif is no longer on the shelf")
    yarns = {key.removeprefix("yarn-"): str(value) for key, value in form.items() if key.startswith("yarn-")}
    texts = swaps.in_yarns(kept["lines"], yarns)
    draft = bench.desk.sheet(piece, device).draft
    command, first = swaps.put_above(draft, str(form.get("at", "")), texts)
    bench.desk.change(piece, command, hand, "use motif")
    return done(request, _design(piece, first))


# --- warp and beat, with the cloth following ---


@dataclass(frozen=True, slots=True)
class WarpForm:
    """Ends of a strip and where its threading starts; sett and beat of the piece."""

    ends: int
    start: int
    sett_per_cm: float | None
    lines_per_cm: float | None


def _warp_form(
    ends: Annotated[int, Form(ge=1, le=4000)],
    start: Annotated[int, Form(ge=1, le=4000)] = 1,
    sett_per_cm: Annotated[float | None, Form(ge=0.1, le=60)] = None,
    lines_per_cm: Annotated[float | None, Form(ge=0.05, le=200)] = None,
) -> WarpForm:
    return WarpForm(ends, start, sett_per_cm, lines_per_cm)


@router.post("/strips/{strip}")
def keep_warp(
    request: Request,
    bench: Bench,
    piece: str,
    strip: str,
    hand: HandOf,
    form: Annotated[WarpForm, Depends(_warp_form)],
) -> Response:
    """Change a strip's ends and where the threading starts, and the piece's sett and beat."""
    draft = bench.desk.sheet(piece, hand.device).draft
    node = changes.found(draft, strip)[-1]
    start = form.start if form.start != 1 or "start" in node.fields else None
    ops: list[Single] = [
        Set(node=strip, field=name, value=value)
        for name, value in (("ends", form.ends), ("start", start))
        if node.fields.get(name) != value
    ]
    root = {"warp.sett_per_cm": form.sett_per_cm, "beat.lines_per_cm": form.lines_per_cm}
    for field, value in root.items():
        group, own = field.split(".")
        if value is not None and draft.fields.get(group, {}).get(own) != value:
            ops.append(Set(node=ROOT, field=field, value=value))
    if ops:
        bench.desk.change(piece, ops[0] if len(ops) == 1 else Together(ops=tuple(ops)), hand)
    return done(request, _design(piece, where="warp"))
