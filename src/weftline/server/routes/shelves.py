"""Yarns, looms and samples: what lies on the shelves, and which piece takes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import Response
from pydantic import ValidationError

from weftline.core.piece.commands import Set
from weftline.core.piece.draft import ROOT
from weftline.core.piece.values import Loom, Yarn
from weftline.errors import OutOfPlaceError, PieceError
from weftline.server.pages.shelves import loom_rows, sample_rows, yarn_shelf
from weftline.server.workbench import Bench, HandOf, done, page

router = APIRouter()
Words = Annotated[str, Form(max_length=200)]
Number = Annotated[str, Form(max_length=20)]


@router.get("/yarns")
def yarns(request: Request, bench: Bench, at: str = "") -> Response:
    """Show the yarns."""
    plans = [(one, bench.desk.plan(one.id)) for one in bench.desk.summaries()]
    documents = bench.desk.shelf().documents.get("yarns", {})
    return page(request, "yarns.html", shelf="Yarns", rows=yarn_shelf(documents, plans), held=documents.get(at), at=at,
                pieces=[one for one, _ in plans])  # fmt: skip


@dataclass(frozen=True, slots=True)
class YarnForm:
    """What a skein's label says."""

    document: dict[str, Any]


def _yarn_form(
    name: Words = "",
    size: Words = "",
    fibre: Words = "",
    colour: Words = "",
    lot: Words = "",
    on_hand: Number = "",
    pack: Number = "",
) -> YarnForm:
    found: dict[str, Any] = {"name": name.strip() or "Yarn"}
    found |= {key: text.strip() for key, text in (("size", size), ("fibre", fibre), ("lot", lot)) if text.strip()}
    if colour:
        found["colour"] = colour.lower()
    hand, mass = _figure("On hand", on_hand), _figure("A pack", pack)
    if hand is not None:
        found["on_hand_g"] = hand
    if mass is not None:
        found["pack"] = {"mass_g": mass}
    return YarnForm(found)


def _figure(what: str, text: str) -> float | None:
    text = text.strip().replace(",", ".")
    try:
        return float(text) if text else None
    except ValueError:
        raise PieceError("", f"{what} is a number in figures, not {text}") from None


def _checked(kind: type[Yarn | Loom], document: dict[str, Any]) -> dict[str, Any]:
    try:
        kind.model_validate(document)
    except ValidationError as cause:
        field = ".".join(str(part) for part in cause.errors()[0]["loc"]).replace("_", " ")
        raise PieceError("", f"{field} does not fit; look at it and write it as the label does") from None
    return document


@router.post("/yarns")
def keep_yarn(
    request: Request, bench: Bench, hand: HandOf, form: Annotated[YarnForm, Depends(_yarn_form)], at: Words = ""
) -> Response:
    """Put a skein onto the shelf, or write its label anew."""
    known = bench.desk.shelf().documents.get("yarns", {})
    bench.desk.put("yarns", at if at in known else hand.entry, _checked(Yarn, form.document), hand)
    return done(request, "/yarns")


@router.post("/yarns/{yarn}/remove")
def remove_yarn(request: Request, bench: Bench, hand: HandOf, yarn: str) -> Response:
    """Take a skein from the shelf; copies in pieces stay."""
    bench.desk.remove("yarns", yarn, hand)
    return done(request, "/yarns")


@router.post("/yarns/{yarn}/into")
def into_piece(request: Request, bench: Bench, hand: HandOf, yarn: str, piece: Words, key: Words) -> Response:
    """Copy a yarn of the shelf into a piece, under a letter; a letter that is taken follows the shelf."""
    document = bench.desk.shelf().documents.get("yarns", {}).get(yarn)
    if document is None:
        raise OutOfPlaceError("this yarn is no longer on the shelf")
    letter = key.strip()
    if "." in letter or not letter:
        raise PieceError("", "a yarn has a letter, or a short word of letters and digits")
    sheet = bench.desk.sheet(piece, hand.device)
    own = sheet.draft.fields.get("yarns", {}).get(letter, {})
    kept = {name: own[name] for name in ("strands",) if name in own}
    hand = type(hand)(hand.device, hand.entry, sheet.seq)
    bench.desk.change(piece, Set(node=ROOT, field=f"yarns.{letter}", value={**document, **kept}), hand)
    return done(request, f"/pieces/{piece}/design")


@router.get("/looms")
def looms(request: Request, bench: Bench, at: str = "") -> Response:
    """Show the looms."""
    plans = [(one, bench.desk.plan(one.id)) for one in bench.desk.summaries()]
    documents = bench.desk.shelf().documents.get("looms", {})
    return page(request, "looms.html", shelf="Looms", rows=loom_rows(documents, plans), held=documents.get(at), at=at,
                pieces=[one for one, _ in plans])  # fmt: skip


@dataclass(frozen=True, slots=True)
class LoomForm:
    """What a loom is."""

    name: str
    loom: dict[str, Any]


def _loom_form(
    name: Words = "",
    kind: Words = "",
    shed: Words = "",
    shafts: Number = "",
    treadles: Number = "",
    reed: Number = "",
    width: Number = "",
) -> LoomForm:
    found: dict[str, Any] = {key: text for key, text in (("kind", kind), ("shed", shed)) if text}
    for key, what, text in (("shafts", "Shafts", shafts), ("treadles", "Treadles", treadles)):
        value = _figure(what, text)
        if value is not None:
            found[key] = int(value)
    for key, what, text in (("reed_dents_per_10cm", "The reed", reed), ("weaving_width_cm", "The width", width)):
        value = _figure(what, text)
        if value is not None:
            found[key] = value
    return LoomForm(name.strip() or "Loom", found)


@router.post("/looms")
def keep_loom(
    request: Request, bench: Bench, hand: HandOf, form: Annotated[LoomForm, Depends(_loom_form)], at: Words = ""
) -> Response:
    """Keep a loom."""
    known = bench.desk.shelf().documents.get("looms", {})
    document = {"name": form.name, "loom": _checked(Loom, form.loom)}
    bench.desk.put("looms", at if at in known else hand.entry, document, hand)
    return done(request, "/looms")


@router.post("/looms/{loom}/remove")
def remove_loom(request: Request, bench: Bench, hand: HandOf, loom: str) -> Response:
    """Take a loom's record away; pieces keep what they have."""
    bench.desk.remove("looms", loom, hand)
    return done(request, "/looms")


@router.post("/looms/{loom}/for")
def for_piece(request: Request, bench: Bench, hand: HandOf, loom: str, piece: Words) -> Response:
    """Plan a piece for a loom."""
    document = bench.desk.shelf().documents.get("looms", {}).get(loom)
    if document is None:
        raise OutOfPlaceError("this loom is no longer here")
    sheet = bench.desk.sheet(piece, hand.device)
    waste = sheet.draft.fields.get("loom", {}).get("waste_cm")
    value = {**document["loom"], **({} if waste is None else {"waste_cm": waste})}
    hand = type(hand)(hand.device, hand.entry, sheet.seq)
    bench.desk.change(piece, Set(node=ROOT, field="loom", value=value or None), hand)
    return done(request, f"/pieces/{piece}/dress")


@router.get("/samples")
def samples(request: Request, bench: Bench) -> Response:
    """Show what the pieces rest on."""
    plans = [(one, bench.desk.plan(one.id)) for one in bench.desk.summaries()]
    return page(request, "samples.html", shelf="Samples", rows=sample_rows(plans))
