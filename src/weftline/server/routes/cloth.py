"""The cloth as data: a piece with its tree, and the rows without colour that a page lays its yarns into."""

from __future__ import annotations

import gzip
import hashlib
import re
from typing import TYPE_CHECKING, Annotated, cast

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field

from weftline._version import __version__
from weftline.errors import PictureError, quoted
from weftline.server.baking import MOST_BANDS, Bakery, BakeWish
from weftline.server.pages.cloth import cloth_data
from weftline.server.workbench import Bench, Device, workbench_of

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.server.workbench import Workbench

router = APIRouter(prefix="/api/pieces/{piece}")
FOREVER = "private, max-age=31536000, immutable"
BANDS = re.compile(r"\d{1,7}(-\d{1,7})?(,\d{1,7}(-\d{1,7})?)*", re.ASCII)
QUICK = 5
"""Level of compression."""


@router.get("/cloth")
def cloth(bench: Bench, device: Device, piece: str) -> Response:
    """Answer with a piece as a tree and what is needed to paint it."""
    return JSONResponse(cloth_data(*_sheet_with_plan(bench, piece, device)))


def _sheet_with_plan(bench: Workbench, piece: str, device: str) -> tuple[Sheet, Plan]:
    """Return a piece and the plan of the same entry, also while somebody changes it."""
    sheet = bench.desk.sheet(piece, device)
    while True:
        plan = bench.desk.plan(piece)
        again = bench.desk.sheet(piece, device)
        if again.seq == sheet.seq:
            return sheet, plan
        sheet = again


def bakery_of(request: Request) -> Bakery:
    """Return the bakery of this workbench."""
    state = request.app.state
    if not hasattr(state, "bakery"):
        state.bakery = Bakery(workbench_of(request).desk)
    return cast("Bakery", state.bakery)


class BakeQuery(BaseModel):
    """What is asked for, as it stands in the address."""

    seq: Annotated[int, Field(ge=1, le=2**53)]
    ends: int
    line_px: float
    bands: str
    section: Annotated[int, Field(ge=0)] = 0
    strip: Annotated[int, Field(ge=0)] = 0
    back: bool = False
    stock: bool = False


def _wish(asked: Annotated[BakeQuery, Query()]) -> BakeWish:
    return BakeWish(
        asked.seq,
        asked.section,
        asked.strip,
        asked.ends,
        asked.line_px,
        asked.back,
        _bands(asked.bands),
        asked.stock,
    )


def _bands(text: str) -> tuple[int, ...]:
    """Return the bands that are asked for, rising, each once.

    Raises
    ------
    PictureError
    """
    if not BANDS.fullmatch(text):
        raise PictureError(f"bands are written as 0-40,77-90, not {quoted(text)}")
    found: set[int] = set()
    for part in text.split(","):
        first, _, last = part.partition("-")
        low, high = int(first), int(last or first)
        if low > high:
            raise PictureError(f"bands are written rising, {high}-{low}, not {part}")
        if high - low >= MOST_BANDS or len(found) > MOST_BANDS:
            raise PictureError(f"ask for at most {MOST_BANDS} bands at once; {quoted(text)} are more")
        found.update(range(low, high + 1))
    return tuple(sorted(found))


@router.get("/bakes")
def bakes(
    request: Request,
    bakery: Annotated[Bakery, Depends(bakery_of)],
    piece: str,
    wish: Annotated[BakeWish, Depends(_wish)],
) -> Response:
    """Answer with some bands of a strip, colourless."""
    mark = f'"{hashlib.sha256(repr((__version__, piece, wish)).encode()).hexdigest()[:32]}"'
    headers = {"cache-control": FOREVER, "etag": mark, "vary": "accept-encoding"}
    if mark in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    data = bakery.bakes(piece, wish)
    if "gzip" in request.headers.get("accept-encoding", ""):
        data = gzip.compress(data, QUICK, mtime=0)
        headers["content-encoding"] = "gzip"
    return Response(data, media_type="application/octet-stream", headers=headers)
