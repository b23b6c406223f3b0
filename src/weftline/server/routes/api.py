"""For programs and scripts: health, new entries as they come, commands and entries as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Body, Query
from fastapi.responses import JSONResponse, Response, StreamingResponse

from weftline._version import __version__
from weftline.formats.plan_json import plan_data
from weftline.server.desk import Hand
from weftline.server.workbench import Bench, Device
from weftline.services.requests import change_of

if TYPE_CHECKING:
    from weftline.core.piece.entries import Entry

router = APIRouter()
MOST_ENTRIES = 2000


@router.get("/health")
def health(bench: Bench) -> Response:
    """Say that the workbench is here, and which one."""
    return JSONResponse({"status": "here", "weftline": __version__, "nonce": bench.nonce})


@router.get("/events")
async def events(bench: Bench) -> Response:
    """Tell of new entries as they come, as server-sent events."""
    headers = {"cache-control": "no-store", "x-accel-buffering": "no"}
    return StreamingResponse(bench.announcer.stream(), media_type="text/event-stream", headers=headers)


@router.get("/api/pieces")
def pieces(bench: Bench) -> Response:
    """List the pieces."""
    found = [
        {"id": one.id, "name": one.name, "updated": one.updated, "put_away": one.put_away, "seq": one.seq}
        for away in (False, True)
        for one in bench.desk.summaries(put_away=away)
    ]
    return JSONResponse(found)


@router.get("/api/pieces/{piece}/plan")
def plan(bench: Bench, piece: str) -> Response:
    """Answer with everything computed from a piece."""
    return JSONResponse(plan_data(bench.desk.plan(piece)))


@router.get("/api/pieces/{piece}/entries")
def entries(
    bench: Bench, piece: str, after: Annotated[int, Query(ge=0, le=2**53)] = 0, limit: Annotated[int, Query(ge=1)] = 500
) -> Response:
    """Answer with the entries after a place."""
    found = bench.desk.entries_after(piece, after, min(limit, MOST_ENTRIES))
    return JSONResponse([_entry(entry) for entry in found])


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "seq": entry.seq,
        "id": entry.id,
        "kind": entry.kind,
        "base_seq": entry.base_seq,
        "device": entry.device,
        "at": entry.at,
        "payload": dict(entry.payload),
    }


@router.post("/api/pieces/{piece}/commands")
def command(bench: Bench, device: Device, piece: str, data: Annotated[dict[str, Any], Body()]) -> Response:
    """Change a piece; sent again under the same id it answers with the same place."""
    change = change_of({**data, "device": device})
    hand = Hand(device, change.id, change.base_seq)
    kept = bench.desk.change(piece, change.command, hand, change.name)
    return JSONResponse({"seq": kept.seq, "new": kept.is_new}, 201 if kept.is_new else 200)
