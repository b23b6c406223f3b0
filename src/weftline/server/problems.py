"""What is answered when something cannot be done: one shape for programs (RFC 9457), one plain page for people."""

from __future__ import annotations

import logging
import secrets
from html import escape
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException

from weftline.errors import OutOfPlaceError, PieceTooLargeError, WeftlineError

if TYPE_CHECKING:
    from starlette.types import Scope

LOG = logging.getLogger("weftline.server")
MEDIA = "application/problem+json"
TITLES = {
    400: "That cannot be read",
    403: "Not from here",
    404: "There is no such page",
    405: "That is not done here",
    409: "Both changed the same place",
    413: "Too large",
    421: "Another name",
    422: "That cannot be followed",
    500: "The workbench stumbled",
}


def refusal(scope: Scope, status: int, detail: str, **more: Any) -> Response:
    """Return the answer to something that cannot be done, as the asker can read it."""
    title = TITLES.get(status, HTTPStatus(status).phrase)
    if wants_page(scope):
        return HTMLResponse(_page(title, detail), status)
    content = {"type": "about:blank", "title": title, "status": status, "detail": detail, **more}
    return JSONResponse(content, status, media_type=MEDIA)


def wants_page(scope: Scope) -> bool:
    """Return whether people read the answer, not a program."""
    return "text/html" in Headers(scope=scope).get("accept", "") and not scope["path"].startswith("/api/")


def _page(title: str, detail: str) -> str:
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Weftline</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="stylesheet" href="/static/css/tokens.css"><link rel="stylesheet" href="/static/css/base.css">'
        f'</head><body><main class="page stack"><h1>{escape(title)}</h1><p>{escape(detail)}</p>'
        '<p class="line"><a class="btn btn-main" href="/">To the pieces</a></p></main></body></html>'
    )


def told(cause: WeftlineError) -> str:
    """Return what an error of ours says, with its next step, as a sentence."""
    text = str(cause) if cause.hint is None else f"{cause} ({cause.hint})"
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?")) else f"{text}."


def status_of(cause: WeftlineError) -> int:
    """Return the HTTP status of an error of ours."""
    if isinstance(cause, OutOfPlaceError):
        return 404
    if isinstance(cause, PieceTooLargeError):
        return 413
    return {"clash": 409}.get(cause.code, 422)


def add_problems(app: FastAPI) -> None:
    """Answer every error of the application in one shape."""

    def ours(request: Request, cause: Exception) -> Response:
        if not isinstance(cause, WeftlineError):
            raise cause
        more = {"code": cause.code}
        return refusal(request.scope, status_of(cause), told(cause), **more)

    def call(request: Request, cause: Exception) -> Response:
        fields = cause.errors() if isinstance(cause, RequestValidationError) else []
        names = ", ".join(dict.fromkeys(str(field["loc"][-1]) for field in fields)) or "what was sent"
        return refusal(request.scope, 422, f"This does not fit: {names}. Go back, look at it and send it again.")

    def known(request: Request, cause: Exception) -> Response:
        status = cause.status_code if isinstance(cause, HTTPException) else 500
        detail = {
            404: "Nothing hangs here. The piece may have another address now.",
            405: "This address is for something else.",
        }
        return refusal(
            request.scope, status, detail.get(status, "This was not understood. Go back and try another way.")
        )

    def unforeseen(request: Request, cause: Exception) -> Response:
        mark = secrets.token_hex(4)
        LOG.error("request %s %s failed, noted as %s", request.method, request.url.path, mark, exc_info=cause)
        text = f"Something went wrong inside, noted as {mark}. Everything kept so far is safe; load the page again."
        return refusal(request.scope, 500, text, mark=mark)

    app.add_exception_handler(WeftlineError, ours)
    app.add_exception_handler(RequestValidationError, call)
    app.add_exception_handler(HTTPException, known)
    app.add_exception_handler(Exception, unforeseen)
