"""Yarns and looms: what lies on the shelves, and which piece takes of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import Response

from weftline.core.piece.commands import Set
from weftline.core.piece.draft import ROOT
from weftline.errors import OutOfPlaceError
from weftline.server.labels import LoomRecord, Words, YarnLabel
from weftline.server.pages.label_answers import label_answer
from weftline.server.pages.shelves import followers, loom_rows, yarn_shelf
from weftline.server.workbench import Bench, HandOf, done, page, preferences_of, workbench_of
from weftline.services.following import Place
from weftline.sheets.figures import Units

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Hand
    from weftline.server.workbench import Workbench
    from weftline.services.answers import Summary

router = APIRouter()
YARNS, LOOMS = "yarns", "looms"


def _documents(bench: Workbench, collection: str) -> Mapping[str, dict[str, Any]]:
    return bench.desk.shelf().documents.get(collection, {})


def _plans(bench: Workbench) -> list[tuple[Summary, Plan]]:
    return [(one, bench.desk.plan(one.id)) for one in bench.desk.summaries()]


@router.get("/yarns")
def yarns(request: Request, bench: Bench, at: str = "") -> Response:
    """Show the yarns."""
    plans, documents = _plans(bench), _documents(bench, YARNS)
    every = [one for one, _ in plans] + bench.desk.summaries(put_away=True)
    return page(request, "yarns.html", shelf="Yarns", rows=yarn_shelf(documents, plans), held=documents.get(at), at=at,
                pieces=[one for one, _ in plans], followers=followers(at, bench.desk.links(), every),
                told=label_answer(documents.get(at), Units(preferences_of(request).units == "imperial")))  # fmt: skip


@router.get("/looms")
def looms(request: Request, bench: Bench, at: str = "") -> Response:
    """Show the looms."""
    plans, documents = _plans(bench), _documents(bench, LOOMS)
    return page(request, "looms.html", shelf="Looms", rows=loom_rows(documents, plans), held=documents.get(at), at=at,
                pieces=[one for one, _ in plans])  # fmt: skip


# --- what is kept ---


@router.post("/yarns")
def keep_yarn(request: Request, hand: HandOf, label: Annotated[YarnLabel, Depends()], at: Words = "") -> Response:
    """Put a skein onto the shelf, or write its label anew; one whose label leaves a question is shown with it."""
    document = label.document()
    kept = _keep(request, hand, (YARNS, at), document)
    told = label_answer(document, Units(imperial=False))
    if told is None or not (told.question or told.trouble):
        return kept
    place = at if at in _documents(workbench_of(request), YARNS) else hand.entry
    return done(request, f"/yarns?at={quote(place, safe='')}#told")


@router.post("/looms")
def keep_loom(request: Request, hand: HandOf, record: Annotated[LoomRecord, Depends()], at: Words = "") -> Response:
    """Keep a loom."""
    return _keep(request, hand, (LOOMS, at), record.document())


def _keep(request: Request, hand: Hand, place: tuple[str, str], document: dict[str, Any]) -> Response:
    """Keep a document in the place of one that is there, else as a new one."""
    bench, (collection, at) = workbench_of(request), place
    bench.desk.put(collection, at if at in _documents(bench, collection) else hand.entry, document, hand)
    return done(request, f"/{collection}")


@router.post("/yarns/{at}/remove")
@router.post("/looms/{at}/remove", name="remove_loom")
def remove(request: Request, bench: Bench, hand: HandOf, at: str) -> Response:
    """Take a skein or a loom's record away; pieces keep what they have."""
    collection = LOOMS if request.url.path.startswith(f"/{LOOMS}/") else YARNS
    bench.desk.remove(collection, at, hand)
    return done(request, f"/{collection}")


# --- what pieces take ---


def _label(yarn: str) -> str:
    return f"/yarns?at={quote(yarn, safe='')}#label"


@router.post("/yarns/{yarn}/into")
def into_piece(
    request: Request, bench: Bench, hand: HandOf, yarn: str, piece: Words, key: Words,
    follow: Annotated[bool, Form()] = False,
) -> Response:  # fmt: skip
    """Copy a yarn of the shelf into a piece, under a letter; it may follow the shelf from then on."""
    bench.desk.take(yarn, Place(piece, key.strip()), hand, follow=follow)
    return done(request, _label(yarn) if follow else f"/pieces/{piece}/design")


@router.post("/yarns/{yarn}/unlink")
def unlink(request: Request, bench: Bench, hand: HandOf, yarn: str, piece: Words, key: Words) -> Response:
    """Let a yarn of a piece follow the shelf no longer; it stays as it is."""
    bench.desk.unlink(Place(piece, key.strip()), hand)
    return done(request, _label(yarn))


@router.post("/looms/{loom}/for")
def for_piece(request: Request, bench: Bench, hand: HandOf, loom: str, piece: Words) -> Response:
    """Plan a piece for a loom."""
    document = _documents(bench, LOOMS).get(loom)
    if document is None:
        raise OutOfPlaceError("this loom is no longer here")
    sheet = bench.desk.sheet(piece, hand.device)
    waste = sheet.draft.fields.get("loom", {}).get("waste_cm")
    value = {**document["loom"], **({} if waste is None else {"waste_cm": waste})}
    bench.desk.change(piece, Set(node=ROOT, field="loom", value=value or None), replace(hand, base=sheet.seq))
    return done(request, f"/pieces/{piece}/dress")
