"""A piece in another size: asked, shown beside the piece as it is, and made a piece of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import Response

from weftline.core.compose.resize import resize
from weftline.core.plan.plan import plan
from weftline.core.plan.risk import piece_risk, surely_on_hand
from weftline.errors import WeftlineError
from weftline.server.pages.frame import finished_size, frame
from weftline.server.pages.resize import empty_view, resize_view
from weftline.server.resizing import Asked, sent
from weftline.server.routes.pictures import Wish, answer, whole_of
from weftline.server.workbench import Bench, Device, HandOf, done, page
from weftline.services.learned import learned

if TYPE_CHECKING:
    from weftline.core.compose.wish import Resized
    from weftline.core.plan.plan import Plan
    from weftline.server.workbench import Workbench

router = APIRouter(prefix="/pieces/{piece}")
AskedOf = Annotated[Asked, Depends()]


def _resized(bench: Workbench, piece: str, asked: Asked) -> Resized:
    old = bench.desk.plan(piece)
    wish = asked.wish(old.project)
    if wish.from_wool:
        wish = replace(wish, on_hand_g=surely_on_hand(old, piece_risk(old, learned(bench.desk.shelf()).belief)))
    found = resize(old.project, wish)
    return replace(found, project=found.project.model_copy(update={"name": _named(plan(found.project))}))


def _named(new: Plan) -> str:
    """Return the name of the piece in another size: ``Mat, 40 × 149 cm``."""
    size = finished_size(new)
    name = new.project.name
    return name if size is None else f"{name[:150]}, {size.text}"


@router.get("/resize")
def another_size(request: Request, bench: Bench, device: Device, piece: str, asked: AskedOf) -> Response:
    """Show the piece in another size, beside as it is."""
    sheet, old = bench.desk.sheet(piece, device), bench.desk.plan(piece)
    view = empty_view(old, asked)
    if not asked.is_empty:
        try:
            found = _resized(bench, piece, asked)
            section = asked.wish(old.project).section
            view = resize_view(sheet, asked, (old, plan(found.project)), found, section)
        except WeftlineError as cause:
            view = empty_view(old, asked, str(cause))
    return page(request, "resize.html", frame=frame(sheet, old, "design"), view=view)


@router.get("/resized.webp")
async def picture(
    request: Request,
    bench: Bench,
    piece: str,
    asked: AskedOf,
    place: Annotated[int, Query(ge=0, le=1000)] = 0,
    px: Annotated[int, Query(ge=16, le=2000)] = 300,
) -> Response:
    """Draw one section of the piece in another size."""

    def wish() -> Wish:
        found = plan(_resized(bench, piece, asked).project)
        return whole_of(found, min(4000, 2 * px), min(place, len(found.sections) - 1))

    return await answer(request, bench, wish)


@router.post("/resized")
def make(request: Request, bench: Bench, hand: HandOf, piece: str, asked: Annotated[Asked, Depends(sent)]) -> Response:
    """Make the piece in another size a piece of its own; the one that it came from stays."""
    made = bench.desk.create(_resized(bench, piece, asked).project, hand)
    return done(request, f"/pieces/{made}/design")
