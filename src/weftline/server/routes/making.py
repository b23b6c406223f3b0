"""Ticks of threading and weaving, and the numbers that a weaver writes: beat, edges, allowances, loom, yarns."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import Response

from weftline.errors import PieceError
from weftline.server import changes
from weftline.server.pages.finish import ALLOWANCES
from weftline.server.workbench import Bench, HandOf, done

router = APIRouter(prefix="/pieces/{piece}")
CM_PER_INCH = 2.54


@router.post("/threaded")
def threaded(
    request: Request, bench: Bench, piece: str, hand: HandOf, ends: Annotated[int, Form(ge=0, le=4000)]
) -> Response:
    """Note that so many ends are threaded, counted from the left."""
    total = bench.desk.plan(piece).warp.threaded_ends
    bench.desk.tick(piece, hand, threaded=min(ends, total))
    return done(request, f"/pieces/{piece}/dress#thread")


@router.post("/woven")
def woven(
    request: Request, bench: Bench, piece: str, hand: HandOf, throws: Annotated[int, Form(ge=0, le=10_000_000)]
) -> Response:
    """Note that so many throws are woven."""
    bench.desk.tick(piece, hand, woven=min(throws, bench.desk.plan(piece).throws))
    return done(request, f"/pieces/{piece}/weave#next")


Length = Annotated[str, Form(max_length=20)]


def _lengths(
    heading: Length = "", fringe: Length = "", between: Length = "", sample: Length = "", waste: Length = ""
) -> tuple[str, ...]:
    return heading, fringe, between, sample, waste


@router.post("/allowances")
def allowances(
    request: Request,
    bench: Bench,
    piece: str,
    hand: HandOf,
    lengths: Annotated[tuple[str, ...], Depends(_lengths)],
    edge: Annotated[str, Form(pattern="^(none|floating|doubled)$")],
) -> Response:
    """Keep the edge and the lengths of the warp that the weaver chooses; only those that were changed are written."""
    plan = bench.desk.plan(piece)
    unit = CM_PER_INCH if plan.project.units == "imperial" else 1.0
    wanted: dict[str, Any] = {}
    for (field, words, name), text in zip(ALLOWANCES, lengths, strict=True):
        now = getattr(plan.settings, name).value / 10.0
        value = _length(words, text, unit)
        if value is None or abs(value - now) > 0.006 * unit:
            wanted[field] = value
    old = plan.project.warp.edge
    if edge != (old if isinstance(old, str) else old.kind):
        wanted["warp.edge"] = edge
    command = changes.set_fields(bench.desk.sheet(piece, hand.device).draft, wanted)
    if command is not None:
        bench.desk.change(piece, command, hand, "change allowances")
    return done(request, f"/pieces/{piece}/finish")


def _length(words: str, text: str, unit: float) -> float | None:
    """Return a length in cm; nothing written means common practice again."""
    text = text.strip().replace(",", ".")
    if not text:
        return None
    try:
        return round(float(text) * unit, 3)
    except ValueError:
        raise PieceError("", f"{words} is a length in figures, not {text}") from None
