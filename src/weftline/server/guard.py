"""The guard: only this machine's own pages are served, nothing too large is read, nothing foreign runs.

A page elsewhere may send a browser to an address on this machine (by a form, or by a name that it
lets point here); so a request names its host, its origin and its size before anything looks at it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders

from weftline.server.problems import refusal

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

OWN_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})
MAX_BODY = 6_000_000
"""A project file has at most 4 MB; a form around it needs a little more."""
READS = frozenset({"GET", "HEAD"})

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}


class TooMuchError(Exception):
    """A body that goes on beyond what is read."""


class Guard:
    """Refuses foreign requests and large bodies, and puts the safety headers on every answer."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        sending = _Sending(send)
        reason = _foreign(headers, scope["method"]) or _too_large(headers)
        if reason is not None:
            await refusal(scope, *reason)(scope, receive, sending)
            return
        counted = _Counted(receive)
        try:
            await self.app(scope, counted, sending)
        except TooMuchError:
            if not sending.begun:
                await refusal(scope, 413, _LARGE)(scope, receive, sending)


_LARGE = f"This is more than {MAX_BODY // 1_000_000} MB. A project file has at most 4 MB; choose another file."


def _foreign(headers: Headers, method: str) -> tuple[int, str] | None:
    host = headers.get("host", "")
    if _name(f"//{host}") not in OWN_NAMES:
        return 421, "This workbench answers only to this machine's own name. Open it at 127.0.0.1."
    origin = headers.get("origin")
    if origin is not None and origin != f"http://{host}":
        return 403, "Another site's page sent this, so nothing was done. Open the workbench itself and do it there."
    if method not in READS and headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return 403, "Another site's page sent this, so nothing was done. Open the workbench itself and do it there."
    return None


def _name(address: str) -> str | None:
    try:
        parts = urlsplit(address)
        _ = parts.port  # a host with a port that is no number is no host
    except ValueError:
        return None
    return None if "@" in address else parts.hostname


def _too_large(headers: Headers) -> tuple[int, str] | None:
    length = headers.get("content-length", "0")
    return (413, _LARGE) if not length.isdecimal() or len(length) > 12 or int(length) > MAX_BODY else None


class _Counted:
    """Hands the body on and stops where it becomes too much, whatever its length was said to be."""

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._seen = 0

    async def __call__(self) -> Message:
        message = await self._receive()
        self._seen += len(message.get("body", b""))
        if self._seen > MAX_BODY:
            raise TooMuchError
        return message


class _Sending:
    """Sends, with the safety headers on."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.begun = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
            headers.setdefault("cache-control", "no-store")
        await self._send(message)
