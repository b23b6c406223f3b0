"""Four of the six stops of a piece's path, each a page; sample and write-up have files of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from weftline.server.pages.design import place_of
from weftline.server.pages.design_view import Seen, design_view
from weftline.server.pages.dress import dress_view
from weftline.server.pages.finish import finish_view
from weftline.server.pages.frame import frame
from weftline.server.pages.weave import weave_view
from weftline.server.routes import weave_page
from weftline.server.workbench import Bench, Chosen, Device, page, workbench_of
from weftline.services.learned import learned

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet

router = APIRouter()
SCALES = ("close", "life", "whole")
Count = Annotated[int, Query(ge=0, le=1_000_000)]


def _opened(request: Request, piece: str) -> tuple[Sheet, Plan]:
    desk = workbench_of(request).desk
    return desk.sheet(piece, request.state.device), desk.plan(piece)


def _page(request: Request, piece: str, stop: str, values: Any) -> Response:
    sheet, plan = _opened(request, piece)
    view = values(sheet, plan)
    return page(request, f"{stop}.html", frame=frame(sheet, plan, stop), view=view, plan=plan)


@router.get("/pieces/{piece}")
def piece_itself(piece: str) -> Response:
    """Go to the cloth."""
    return RedirectResponse(f"/pieces/{piece}/design", 303)


@router.get("/pieces/{piece}/design")
def design(request: Request, bench: Bench, device: Device, chosen: Chosen, piece: str) -> Response:
    """Show the cloth."""
    sheet, plan, asked = bench.desk.sheet(piece, device), bench.desk.plan(piece), request.query_params
    place = place_of(
        sheet,
        plan,
        _number(asked.get("section")),
        _number(asked.get("strip")),
        _number(asked.get("from")),
        asked.get("at"),
    )
    scale = asked.get("scale", "close")
    part = asked.get("part") == "beside"
    seen = Seen(scale if scale in SCALES else "close", asked.get("back") == "1", asked.get("marks") == "1", part)
    shelf = bench.desk.shelf()
    view = design_view(sheet, plan, place, seen, chosen, shelf.documents.get("motifs", {}), learned(shelf).belief)
    return page(request, "design.html", frame=frame(sheet, plan, "design"), view=view)


def _number(text: str | None) -> int:
    return int(text) if text is not None and text.isdecimal() and len(text) < 8 else 0


@router.get("/pieces/{piece}/dress")
def dress(request: Request, piece: str) -> Response:
    """Show how the loom is dressed."""
    return _page(request, piece, "dress", dress_view)


@router.get("/pieces/{piece}/weave")
def weave(request: Request, piece: str) -> Response:
    """Show what is thrown next."""
    weaving = workbench_of(request).desk.weaving
    return _page(request, piece, "weave", lambda sheet, plan: weave_view(sheet, plan, weaving))


router.include_router(weave_page.router)


@router.get("/pieces/{piece}/finish")
def finish(request: Request, piece: str) -> Response:
    """Show sizes, edges and what is done at the end."""
    return _page(request, piece, "finish", finish_view)
