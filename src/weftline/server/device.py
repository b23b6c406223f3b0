"""The device: every browser gets a name of its own once, so that undo takes back its own strokes and no other's."""

from __future__ import annotations

import re
import secrets
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING

from starlette.datastructures import Headers, MutableHeaders

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

COOKIE = "weftline-device"
TEN_YEARS_S = 315_360_000
NAME = re.compile(r"[A-Za-z0-9_-]{8,64}")


class DeviceCookie:
    """Reads the device's name into ``request.state.device``, and gives one to a browser that has none."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Name the device and go on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        known = _known(Headers(scope=scope).get("cookie", ""))
        device = known or f"browser-{secrets.token_urlsafe(9)}"
        scope.setdefault("state", {})["device"] = device

        async def name(message: Message) -> None:
            if message["type"] == "http.response.start" and known is None and _is_page(scope):
                cookie = f"{COOKIE}={device}; Path=/; Max-Age={TEN_YEARS_S}; SameSite=Strict; HttpOnly"
                MutableHeaders(scope=message).append("set-cookie", cookie)
            await send(message)

        await self.app(scope, receive, name)


def _is_page(scope: Scope) -> bool:
    """Return whether a browser keeps what is set here: pictures and scripts come many at once."""
    path = scope["path"]
    return not path.startswith(("/static/", "/fonts/", "/health", "/events")) and not path.endswith(".webp")


def _known(header: str) -> str | None:
    try:
        morsel = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return None
    return morsel.value if morsel is not None and NAME.fullmatch(morsel.value) else None
