"""Changes of a piece's cloth: lines and bands as text, moved and removed; undo and redo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import Response

from weftline.errors import PieceError
from weftline.server import changes
from weftline.server.workbench import Bench, HandOf, done

if TYPE_CHECKING:
    from weftline.core.piece.commands import Command
    from weftline.core.piece.draft import Node
    from weftline.server.desk import Hand
    from weftline.server.workbench import Workbench

router = APIRouter(prefix="/pieces/{piece}")
Text = Annotated[str, Form(max_length=400)]
Long = Annotated[str, Form(max_length=1_000_000)]
VERBS = ("up", "down", "double", "remove")


def _draft(bench: Workbench, piece: str, hand: Hand) -> Node:
    return bench.desk.sheet(piece, hand.device).draft


def _keep(bench: Workbench, piece: str, command: Command | None, hand: Hand) -> None:
    if command is not None:
        bench.desk.change(piece, command, hand)


def _design(piece: str, at: str | None = None, where: str = "") -> str:
    return f"/pieces/{piece}/design" + (f"?at={at}#{where}" if at else "")


@router.post("/undo")
def undo(request: Request, bench: Bench, piece: str, hand: HandOf) -> Response:
    """Take back this device's last change."""
    bench.desk.undo(piece, hand)
    return done(request, _from(request, piece))


@router.post("/redo")
def redo(request: Request, bench: Bench, piece: str, hand: HandOf) -> Response:
    """Do again what this device took back."""
    bench.desk.redo(piece, hand)
    return done(request, _from(request, piece))


def _from(request: Request, piece: str) -> str:
    """Return the page of this piece that the form stands on."""
    path = request.headers.get("referer", "").partition("://")[2].partition("/")[2]
    own = f"pieces/{piece}/"
    return f"/{path}" if path.startswith(own) and "//" not in path else _design(piece)


@router.post("/lines/{line}")
def write_line(request: Request, bench: Bench, piece: str, line: str, hand: HandOf, text: Text) -> Response:
    """Write a line anew."""
    changes.found(_draft(bench, piece, hand), line)
    _keep(bench, piece, changes.write_line(line, text), hand)
    return done(request, _design(piece, line, "line-card"))


@router.post("/lines/{line}/above")
def insert_line(request: Request, bench: Bench, piece: str, line: str, hand: HandOf, text: Text) -> Response:
    """Insert a line above."""
    command, fresh = changes.insert_line(_draft(bench, piece, hand), line, text)
    _keep(bench, piece, command, hand)
    return done(request, _design(piece, fresh, "line-card"))


@dataclass(frozen=True, slots=True)
class BandForm:
    """What a band's form says."""

    name: str
    mirror: str
    times: int
    middle: str
    joint: str
    resume: bool


def _band_form(
    name: Annotated[str, Form(max_length=200)] = "",
    mirror: Annotated[str, Form(pattern="^(none|lines|picks)$")] = "none",
    times: Annotated[int, Form(ge=1, le=1000)] = 1,
    middle: Annotated[str, Form(pattern="^(single|double)$")] = "single",
    joint: Annotated[str, Form(pattern="^(|single|double)$")] = "",
    resume: Annotated[str, Form(max_length=8)] = "",
) -> BandForm:
    return BandForm(name.strip(), mirror, times, middle, joint, resume == "yes")


@router.post("/bands")
def insert_band(
    request: Request, bench: Bench, piece: str, hand: HandOf, strip: Text, text: Long, name: Text = ""
) -> Response:
    """Insert a band on top."""
    texts = changes.texts_of(text)
    if not texts:
        raise PieceError("", "a band needs a line; write one yarn for each shed")
    command, band = changes.insert_band(_draft(bench, piece, hand), strip, name.strip(), texts)
    _keep(bench, piece, command, hand)
    return done(request, _design(piece, band, f"band-{band}"))


@router.post("/bands/{band}")
def keep_band(
    request: Request, bench: Bench, piece: str, band: str, hand: HandOf, form: Annotated[BandForm, Depends(_band_form)]
) -> Response:
    """Keep a band's name, its mirror and how often it comes."""
    draft = _draft(bench, piece, hand)
    path = changes.found(draft, band)
    place = path[-2].children.index(path[-1]) if len(path) > 1 else 0
    wanted: dict[str, Any] = {"resume": form.resume or None, "times": form.times if form.times > 1 else None}
    wanted["mirror"] = None if form.mirror == "none" else form.mirror
    wanted["middle"] = None if form.middle == "single" else form.middle
    wanted["joint"] = form.joint or None
    if form.name and form.name != f"Band {place + 1}":
        wanted["name"] = form.name
    _keep(bench, piece, changes.set_fields(path[-1], _as_written(path[-1], wanted)), hand)
    return done(request, _design(piece, band, f"band-{band}"))


def _as_written(band: Node, wanted: dict[str, Any]) -> dict[str, Any]:
    """Leave a value that the file says although it need not."""
    stands = {"times": 1, "mirror": "none", "middle": "single", "resume": False}
    return {
        name: value
        for name, value in wanted.items()
        if not (value is None and band.fields.get(name) == stands.get(name, object()))
    }


@router.post("/bands/{band}/lines")
def write_lines(request: Request, bench: Bench, piece: str, band: str, hand: HandOf, text: Long) -> Response:
    """Write all lines of a band anew."""
    texts = changes.texts_of(text)
    if not texts:
        raise PieceError("", "a band needs a line; remove the band if it is to go")
    path = changes.found(_draft(bench, piece, hand), band)
    _keep(bench, piece, changes.write_lines(path[-1], texts), hand)
    return done(request, _design(piece, band, f"band-{band}"))


@router.post("/lines/{node}/{verb}")
@router.post("/bands/{node}/{verb}", name="move_band")
def move(request: Request, bench: Bench, piece: str, node: str, verb: str, hand: HandOf) -> Response:
    """Move a line or a band up or down, double it or remove it."""
    draft = _draft(bench, piece, hand)
    path = changes.found(draft, node)
    stays = True
    if verb in ("up", "down"):
        _keep(bench, piece, changes.step_up(draft, node, down=verb == "down"), hand)
    elif verb == "double":
        _keep(bench, piece, changes.double(draft, node), hand)
    elif verb == "remove":
        _keep(bench, piece, changes.remove(draft, node), hand)
        stays = False
    else:
        raise PieceError("", f"a part can be moved up or down, doubled or removed, not {verb[:20]}")
    if not stays:
        return done(request, _design(piece))
    return done(request, _design(piece, node, "line-card" if path[-1].kind == "line" else f"band-{node}"))
