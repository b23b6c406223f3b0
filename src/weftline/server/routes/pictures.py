"""Pictures of cloth: hung on the rail, close, whole, on the loom; of demos, of a bare warp, of a yarn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from weftline.core.plan.plan import plan as plan_of
from weftline.errors import OutOfPlaceError
from weftline.formats.native import dumps
from weftline.server.demos import demo_plan
from weftline.server.pages.design import LINE_PX
from weftline.server.pages.rail import extent_px, picks_woven
from weftline.server.pictures import Part, at_fell, bare_warp_picture, close_up, swatch, whole
from weftline.server.starts import bare_warp
from weftline.server.workbench import Bench

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.piece.cloth import Cloth
    from weftline.core.plan.plan import Plan
    from weftline.server.workbench import Workbench

router = APIRouter()
BARE_LONGER = 4.0
"""A bare warp hangs so many times longer than it is wide; pages show as much of it as they need."""
FOREVER = "private, max-age=31536000, immutable"
MOST_LINES, MOST_ENDS = 200, 400
Small = Annotated[int, Query(ge=0, le=100)]
Number = Annotated[int, Query(ge=1, le=1_000_000)]


@dataclass(frozen=True, slots=True)
class Wish:
    """A picture that is asked for: what tells it from others, how it is drawn, whether its address lasts."""

    key: tuple[object, ...]
    draw: Callable[[], bytes]
    lasts: bool = True


async def answer(request: Request, bench: Workbench, wish: Callable[[], Wish]) -> Response:
    """Answer with a picture; one that nobody waits for any more is not drawn."""
    found = await run_in_threadpool(wish)

    async def is_wanted() -> bool:
        return not await request.is_disconnected()

    data = await bench.album.picture(found.key, found.draw, is_wanted)
    if data is None:
        return Response(status_code=503)
    headers = {"cache-control": FOREVER if found.lasts else "no-cache"}
    return Response(data, media_type="image/webp", headers=headers)


def _text(plan: Plan) -> str:
    """Return what tells one cloth from another; a name does not."""
    return dumps(plan.project.model_copy(update={"name": ""}))


def _section(cloth: Cloth, section: int) -> Cloth:
    return replace(cloth, sections=(cloth.sections[min(section, len(cloth.sections) - 1)],))


def whole_of(plan: Plan, width: int, section: int | None = None, *, back: bool = False, lasts: bool = True) -> Wish:
    """Return the wish for a picture of a whole piece, or of one of its sections."""
    cloth = plan.cloth if section is None else _section(plan.cloth, section)
    key = ("whole", _text(plan), width, section, back)
    if not cloth.sections[0].picks.line_count:
        return Wish(key, lambda: bare_warp_picture(plan, width, BARE_LONGER), lasts)
    return Wish(key, lambda: whole(cloth, plan.settings, width, back=back), lasts)


@router.get("/pieces/{piece}/hung.webp")
async def hung(request: Request, bench: Bench, piece: str) -> Response:
    """Draw a piece as it hangs on the rail; one that is being woven with its bare warp above the fell."""

    def wish() -> Wish:
        plan, woven = bench.desk.plan(piece), bench.desk.progress(piece).woven
        width = 2 * max(16, extent_px(plan)[0])
        if not 0 < woven < plan.throws:
            return whole_of(plan, width)
        picks, _, _ = picks_woven(plan, woven)
        key = ("hung", _text(plan), width, picks)
        return Wish(key, lambda: whole(plan.cloth, plan.settings, width, woven=picks), lasts=False)

    return await answer(request, bench, wish)


@router.get("/demos/{name}/hung.webp")
async def demo(request: Request, bench: Bench, name: str) -> Response:
    """Draw a demo as it hangs on the rail."""

    def wish() -> Wish:
        plan = demo_plan(name)
        return whole_of(plan, 2 * max(16, extent_px(plan)[0]), lasts=False)

    return await answer(request, bench, wish)


@router.get("/pieces/{piece}/whole.webp")
async def whole_picture(
    request: Request,
    bench: Bench,
    piece: str,
    width: Annotated[int, Query(ge=16, le=4000)] = 800,
    section: Small = 0,
    back: bool = False,
) -> Response:
    """Draw one section of a piece whole."""
    return await answer(
        request, bench, lambda: whole_of(bench.desk.plan(piece), min(4000, 2 * width), section, back=back)
    )


@router.get("/pieces/{piece}/close.webp")
async def close(request: Request, bench: Bench, piece: str, first: Number, last: Number, ends: Number) -> Response:
    """Draw some lines of a strip close."""
    asked = request.query_params
    back, marks, fine = (asked.get(name) == "1" for name in ("back", "marks", "fine"))
    place = _small(asked.get("section")), _small(asked.get("strip"))

    def wish() -> Wish:
        plan = bench.desk.plan(piece)
        part = _part(plan, place, (first, last), ends)
        line_px = LINE_PX * (2 if fine else 1)
        key = ("close", _text(plan), part, back, marks, fine)
        return Wish(key, lambda: close_up(plan.cloth, plan.settings, part, line_px, back=back, marks=marks))

    return await answer(request, bench, wish)


def _part(plan: Plan, place: tuple[int, int], lines: tuple[int, int], ends: int) -> Part:
    """Return a part that is really there, and not too large."""
    section = min(place[0], len(plan.cloth.sections) - 1)
    strip = min(place[1], len(plan.cloth.sections[section].strips) - 1)
    weaving = plan.cloth.sections[section].strips[strip].weaving
    there = weaving.picks.line_count
    if not there:
        raise OutOfPlaceError("nothing is woven here yet")
    first = min(lines[0], there)
    last = max(first, min(lines[1], there, first + MOST_LINES - 1))
    return Part(section, strip, first, last, min(ends, len(weaving.ends), MOST_ENDS))


def _small(text: str | None) -> int:
    return int(text) if text is not None and text.isdecimal() and len(text) < 4 else 0


@router.get("/pieces/{piece}/loom.webp")
async def on_loom(request: Request, bench: Bench, piece: str) -> Response:
    """Draw a piece on the loom around its fell, for the top of the rail."""
    return await answer(request, bench, lambda: _fell(bench, piece, (1600, 384)))


@router.get("/pieces/{piece}/fell.webp")
async def fell(request: Request, bench: Bench, piece: str) -> Response:
    """Draw a piece on the loom around its fell."""
    return await answer(request, bench, lambda: _fell(bench, piece, (1600, 640)))


def _fell(bench: Workbench, piece: str, size: tuple[int, int]) -> Wish:
    plan = bench.desk.plan(piece)
    picks, _, _ = picks_woven(plan, bench.desk.progress(piece).woven)
    key = ("fell", _text(plan), picks, size)
    if not plan.throws:
        return Wish(key, lambda: bare_warp_picture(plan, size[0], size[1] / size[0]), lasts=False)
    return Wish(key, lambda: at_fell(plan.cloth, plan.settings, picks, size), lasts=False)


@router.get("/bare-warp.webp")
async def bare(request: Request, bench: Bench) -> Response:
    """Draw the bare warp that a piece starts from."""
    return await answer(request, bench, lambda: whole_of(plan_of(bare_warp("metric")), 164, lasts=False))


@router.get("/swatches/{colour}.webp")
async def yarn(request: Request, bench: Bench, colour: Annotated[str, Path(pattern="^[0-9a-fA-F]{6}$")]) -> Response:
    """Draw a yarn as a bit of cloth."""
    return await answer(request, bench, lambda: Wish(("swatch", colour.lower()), lambda: swatch(f"#{colour}")))
