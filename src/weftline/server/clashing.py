"""Answers to a clash: a page with both versions for people without scripts, the two versions as data for scripts."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from weftline.server.desk import ClashError
from weftline.server.pages.clash import clash_view
from weftline.server.pages.frame import frame
from weftline.server.problems import refusal, told, wants_page
from weftline.server.workbench import device_of, page, workbench_of
from weftline.services.shelf import SHELF

if TYPE_CHECKING:
    from fastapi import FastAPI, Request
    from fastapi.responses import Response

CLASH = 409


async def _clash(request: Request, cause: Exception) -> Response:
    if not isinstance(cause, ClashError):
        raise cause
    asked = cause.asked
    if not wants_page(request.scope) or asked.stream == SHELF:
        values = [asdict(one) for one in asked.values]
        return refusal(request.scope, CLASH, told(cause), code=cause.code, seq=asked.seq, values=values)
    desk = workbench_of(request).desk
    sheet, plan = desk.sheet(asked.stream, device_of(request)), desk.plan(asked.stream)
    form = await request.form()
    sent = [(name, value) for name, value in form.multi_items() if isinstance(value, str)]
    view = clash_view(asked, sheet.draft, plan.project, request.url.path, sent)
    return page(request, "clash.html", CLASH, frame=frame(sheet, plan, "design"), view=view)


def add_clashes(app: FastAPI) -> None:
    """Answer clashes of the application."""
    app.add_exception_handler(ClashError, _clash)
