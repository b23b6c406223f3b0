"""Write up: the page, its pictures of the pattern's pages, and the PDF that they are taken from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from weftline.server.leaves import Print, leaf, parts, printed
from weftline.server.pages.frame import frame
from weftline.server.pages.write_up import write_up_view
from weftline.server.routes.files import given_out
from weftline.server.routes.pictures import FOREVER
from weftline.server.workbench import PAPERS, UNITS, Bench, Chosen, Device, page

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.pictures import Wanted
    from weftline.server.workbench import Workbench

router = APIRouter(prefix="/pieces/{piece}")


def _print(chosen: Chosen, paper: str | None = None, units: str | None = None) -> Print:
    """Return how the weaver wants it printed: as asked, else as the settings say."""
    return Print(
        paper if paper is not None and paper in PAPERS else chosen.paper,
        units if units is not None and units in UNITS else chosen.units,
    )


PrintOf = Annotated[Print, Depends(_print)]


@router.get("/write-up")
def write_up(request: Request, bench: Bench, device: Device, piece: str, wish: PrintOf) -> Response:
    """Show the pattern page by page, and what can be given out.

    Where the pages are not set yet, the first one's picture has them set. The page then says of itself that it is
    one entry behind; so it is shown anew, with all of them, when it is told that they are there.
    """
    sheet, plan = bench.desk.sheet(piece, device), bench.desk.plan(piece)
    kept = bench.prints.kept(wish.key(plan))
    view = write_up_view(sheet, plan, wish, None if kept is None else parts(kept)[0])
    around = frame(sheet, plan, "write-up")
    if not view.is_set:
        around = replace(around, seq=sheet.seq - 1)
    return page(request, "write-up.html", frame=around, view=view, plan=plan, wish=wish)


@router.get("/leaves/{number}.webp")
async def picture(request: Request, bench: Bench, piece: str, number: int, wish: PrintOf) -> Response:
    """Draw a page of the pattern."""
    plan = await run_in_threadpool(bench.desk.plan, piece)
    kept = await _kept(request, bench, piece, plan, wish)
    if kept is None:
        return Response(status_code=503)
    key = ("leaf", number, *wish.key(plan))
    data = await bench.prints.picture(key, lambda: leaf(kept, number, wish.paper), _wanted(request))
    if data is None:
        return Response(status_code=503)
    return Response(data, media_type="image/webp", headers={"cache-control": FOREVER})


@router.get("/files/pattern.pdf")
async def pattern(request: Request, bench: Bench, piece: str, wish: PrintOf) -> Response:
    """Make the PDF."""
    plan = await run_in_threadpool(bench.desk.plan, piece)
    kept = await _kept(request, bench, piece, plan, wish)
    if kept is None:
        return Response(status_code=503)
    return given_out(parts(kept)[1], plan.project.name, "pdf", "application/pdf")


async def _kept(request: Request, bench: Workbench, piece: str, plan: Plan, wish: Print) -> bytes | None:
    """Return a print; where it is set only now, open pages hear of it. None when nobody waits any more."""
    key = wish.key(plan)
    found = bench.prints.kept(key)
    if found is None:
        found = await bench.prints.picture(key, lambda: printed(plan, wish), _wanted(request))
        if found is not None:
            sheet = await run_in_threadpool(bench.desk.sheet, piece, request.state.device)
            bench.announcer.tell_again(piece, sheet.seq)
    return found


def _wanted(request: Request) -> Wanted:
    async def is_wanted() -> bool:
        return not await request.is_disconnected()

    return is_wanted
