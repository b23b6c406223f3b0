"""What the Weave page fetches: facts for every prompt, the fell's rows of cloth, and yarn large."""

from __future__ import annotations

import gzip
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field

from weftline.errors import PictureError
from weftline.server.fell import FellWish, fell_bakes, yarn_large
from weftline.server.pages.weave_facts import weave_facts
from weftline.server.routes.pictures import FOREVER, Wish, answer
from weftline.server.workbench import Bench, Device

router = APIRouter()
QUICK = 1
"""Level of compression: the first fell is waited for."""
Numbers = Annotated[str, Field(pattern=r"^\d{1,5}(\.\d{1,5}){0,99}$")]


@router.get("/pieces/{piece}/weave/facts")
def facts(bench: Bench, device: Device, piece: str) -> Response:
    """Answer with what a page needs to prompt every pick by itself."""
    sheet, plan = bench.desk.sheet(piece, device), bench.desk.plan(piece)
    return JSONResponse(weave_facts(sheet, plan, bench.desk.weaving, device), headers={"cache-control": "no-store"})


class FellQuery(BaseModel):
    """The last picks, as they stand in the address; numbers with dots between them."""

    line_px: int
    sheds: Numbers
    lines: Numbers
    wound: Numbers
    section: Annotated[int, Field(ge=0)] = 0
    strip: Annotated[int, Field(ge=0)] = 0
    back: bool = False
    plan: Annotated[int, Field(ge=0)] = 0
    """The version of the plan that the page knows; with it, the answer stays the same."""


def _wish(asked: Annotated[FellQuery, Query()]) -> FellWish:
    def numbers(text: str) -> tuple[int, ...]:
        found = tuple(int(one) for one in text.split("."))
        if max(found) > 0xFFFF:
            raise PictureError(f"a shed is a number up to {0xFFFF}, not {max(found)}")
        return found

    return FellWish(
        asked.section,
        asked.strip,
        asked.line_px,
        asked.back,
        numbers(asked.sheds),
        numbers(asked.lines),
        numbers(asked.wound),
    )


@router.get("/pieces/{piece}/weave/fell")
def fell(request: Request, bench: Bench, piece: str, wish: Annotated[FellWish, Depends(_wish)]) -> Response:
    """Answer with the rows of cloth at a fell, colourless."""
    plan = bench.desk.plan(piece)
    data, headers = fell_bakes(plan.cloth, plan.settings, wish), {"cache-control": FOREVER, "vary": "accept-encoding"}
    if "gzip" in request.headers.get("accept-encoding", ""):
        data = gzip.compress(data, QUICK, mtime=0)
        headers["content-encoding"] = "gzip"
    return Response(data, media_type="application/octet-stream", headers=headers)


@router.get("/weave/yarns/{colour}.webp")
async def yarn(request: Request, bench: Bench, colour: Annotated[str, Path(pattern="^[0-9a-fA-F]{6}$")]) -> Response:
    """Draw a yarn as a thumb's width of cloth."""
    wish = Wish(("yarn large", colour.lower()), lambda: yarn_large(f"#{colour.lower()}"))
    return await answer(request, bench, lambda: wish)
