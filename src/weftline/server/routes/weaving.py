"""The weaver's log as JSON: what is woven and what comes, entries as they are made, taking over the weaving."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Body, Query, Request
from fastapi.responses import JSONResponse, Response

from weftline.errors import EntryError, WeftlineError
from weftline.formats.log_json import account_data, laid_data, planned_throw_data
from weftline.server.problems import refusal, status_of, told
from weftline.server.workbench import Bench, Device
from weftline.services.log_requests import log_entry_of

if TYPE_CHECKING:
    from weftline.server.workbench import Workbench
    from weftline.services.log_answers import Noted

router = APIRouter(prefix="/api/pieces/{piece}/log")
MOST_SENT = 2000
"""Entries in one request."""

Few = Annotated[int, Query(ge=0, le=2000)]


@router.get("")
def log(bench: Bench, device: Device, piece: str, coming: Few = 24, recent: Few = 24) -> Response:
    """Answer with how far the weaving has come, the last throws and the next ones."""
    weaving = bench.desk.weaving
    seq, account = weaving.seq(piece), weaving.account(piece)
    following = [] if account.next is None else account.plan.coming(account.next.ordinal, coming)
    return JSONResponse(
        {
            "seq": seq,
            "plan_seq": account.stand.plan.seq,
            "weaves_here": account.device in (None, device),
            **account_data(account),
            "coming": [planned_throw_data(account.plan, one) for one in following],
            "recent": [laid_data(laid) for laid in weaving.woven(piece).last(recent)],
        }
    )


@router.post("")
def record(
    request: Request, bench: Bench, device: Device, piece: str, data: Annotated[dict[str, Any], Body()]
) -> Response:
    """Keep entries in the order sent; one sent again under the same id answers with its first place.

    The first that is refused ends it: those before it are kept and named in the answer.
    """
    sent = data.get("entries")
    if not isinstance(sent, list) or not 1 <= len(sent) <= MOST_SENT:
        raise EntryError(f"entries: a list of 1 to {MOST_SENT} entries is sent")
    kept: list[dict[str, Any]] = []
    for one in sent:
        try:
            kept.append(_kept(bench, device, piece, one))
        except WeftlineError as cause:
            return refusal(request.scope, status_of(cause), told(cause), code=cause.code, entries=kept)
    status = 201 if any(one["new"] for one in kept) else 200
    return JSONResponse({"seq": kept[-1]["seq"], "entries": kept}, status)


@router.post("/weave-here")
def weave_here(bench: Bench, device: Device, piece: str, data: Annotated[dict[str, Any], Body()]) -> Response:
    """Let this device weave from now on."""
    kept = _kept(bench, device, piece, {**data, "kind": "weave-here"})
    return JSONResponse({"seq": kept["seq"], "entries": [kept]}, 201 if kept["new"] else 200)


def _kept(bench: Workbench, device: str, piece: str, one: Any) -> dict[str, Any]:
    if not isinstance(one, dict):
        raise EntryError("an entry of the log is an object with id and kind")
    return _answer(bench.desk.record(piece, log_entry_of({**one, "device": device})))


def _answer(noted: Noted) -> dict[str, Any]:
    return {
        "id": noted.id,
        "seq": noted.seq,
        "new": noted.is_new,
        "held": noted.held,
        "woven_picks": noted.woven_picks,
    }
