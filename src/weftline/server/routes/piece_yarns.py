"""The yarns of a piece: labels and amounts written, a skein taken from the shelf, a new one added."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import Response

from weftline.core.piece.commands import Set
from weftline.core.piece.draft import ROOT
from weftline.core.plan.risk import piece_risk
from weftline.core.weave.line import is_yarn_key
from weftline.errors import OutOfPlaceError, PieceError, quoted
from weftline.server.labels import Words, YarnLabel
from weftline.server.pages.frame import frame
from weftline.server.pages.piece_yarns import piece_yarns
from weftline.server.workbench import Bench, Device, HandOf, done, page
from weftline.services.following import Place
from weftline.services.learned import learned

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.server.desk import Hand
    from weftline.server.workbench import Workbench

router = APIRouter(prefix="/pieces/{piece}/yarns")
Strands = Annotated[int, Form(ge=1, le=40)]


@router.get("")
def yarns(request: Request, bench: Bench, device: Device, piece: str) -> Response:
    """Show the yarns of a piece with their labels."""
    sheet, plan, shelf = bench.desk.sheet(piece, device), bench.desk.plan(piece), bench.desk.shelf()
    view = piece_yarns(plan, piece_risk(plan, learned(shelf).belief), shelf.documents.get("yarns", {}))
    return page(request, "piece-yarns.html", frame=frame(sheet, plan, "design"), view=view)


def _written(label: YarnLabel, strands: int, before: Mapping[str, Any]) -> dict[str, Any]:
    """Return a yarn as the piece holds it: what the form says, with what it does not ask left as it was."""
    kept = {name: before[name] for name in ("m_per_kg",) if name in before and label.size == before.get("size", "")}
    fields = {**kept, **label.document()}
    price = before.get("pack", {}).get("price")
    if price is not None and "pack" in fields:
        fields["pack"] = {**fields["pack"], "price": price}
    return {**fields, "strands": strands} if strands != 1 else fields


@router.post("")
def add(
    request: Request,
    bench: Bench,
    hand: HandOf,
    piece: str,
    key: Words,
    label: Annotated[YarnLabel, Depends()],
    strands: Strands = 1,
) -> Response:
    """Add a yarn under a letter that is free."""
    key = key.strip()
    taken = bench.desk.plan(piece).project.yarns
    if not is_yarn_key(key) or key in taken:
        why = "is another yarn's" if key in taken else "cannot stand in a line"
        raise PieceError("", f"the letter {quoted(key, 12)} {why}; choose one that is free, like z")
    _keep(bench, piece, key, _written(label, strands, {}), hand)
    return done(request, f"/pieces/{piece}/yarns")


@router.post("/take")
def take(
    request: Request, bench: Bench, hand: HandOf, piece: str, yarn: Words, key: Words, follow: Words = ""
) -> Response:
    """Take a skein of the shelf into the piece, under a letter of its own or in the place of a yarn that is there."""
    bench.desk.take(yarn, Place(piece, key.strip()), hand, follow=bool(follow))
    return done(request, f"/pieces/{piece}/yarns")


@router.post("/{key}")
def write(
    request: Request,
    bench: Bench,
    hand: HandOf,
    piece: str,
    key: str,
    label: Annotated[YarnLabel, Depends()],
    strands: Strands = 1,
) -> Response:
    """Write a yarn's label, strands and amount anew."""
    before = bench.desk.plan(piece).project.yarns.get(key)
    if before is None:
        raise OutOfPlaceError("this yarn is no longer in the piece; load the page again")
    old = before.model_dump(mode="json", exclude_unset=True)
    fields = _written(label, strands, old)
    if fields != old:
        _keep(bench, piece, key, fields, hand)
    return done(request, f"/pieces/{piece}/yarns")


def _keep(bench: Workbench, piece: str, key: str, fields: dict[str, Any], hand: Hand) -> None:
    bench.desk.change(piece, Set(node=ROOT, field=f"yarns.{key}", value=fields), hand, f"write yarn {key}")
