"""The announcer: tells every open page of new entries, as server-sent events."""

from __future__ import annotations

import asyncio
import json
from contextlib import suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

BREATH_S = 15.0
"""A line of nothing goes out so often, so that a lost connection is noticed."""
MOST_WAITING = 256


@dataclass(eq=False)
class _Listener:
    """One open page; safe to tell from any thread."""

    loop: asyncio.AbstractEventLoop
    queue: asyncio.Queue[str | None] = field(default_factory=lambda: asyncio.Queue(MOST_WAITING))

    def tell(self, text: str | None) -> None:
        with suppress(RuntimeError):  # the loop is closed: the server ends
            self.loop.call_soon_threadsafe(self._put, text)

    def _put(self, text: str | None) -> None:
        if self.queue.full():
            self.queue.get_nowait()  # a page that is told of a later entry asks for everything anyway
        self.queue.put_nowait(text)


@dataclass(eq=False)
class Announcer:
    """Keeps the open pages; ``close`` sends all of them home so that the server can end."""

    listeners: list[_Listener] = field(default_factory=list)
    closed: bool = False
    told: dict[str, int] = field(default_factory=dict)

    def tell(self, piece: str, seq: int) -> None:
        """Say that a piece, or a shelf, has a new entry; what was said already is not said again."""
        if seq > self.told.get(piece, 0):
            self.told[piece] = seq
            self.tell_again(piece, seq)

    def tell_again(self, piece: str, seq: int) -> None:
        """Say it whether it was said or not: there is more to see of this entry now."""
        text = f"event: entry\ndata: {json.dumps({'piece': piece, 'seq': seq})}\n\n"
        for listener in list(self.listeners):
            listener.tell(text)

    def close(self) -> None:
        """End every stream, and let no new one begin."""
        self.closed = True
        for listener in list(self.listeners):
            listener.tell(None)

    async def stream(self) -> AsyncIterator[str]:
        """Yield events until the page or the server goes."""
        listener = _Listener(asyncio.get_running_loop())
        self.listeners.append(listener)
        try:
            yield "retry: 1000\nevent: here\ndata: {}\n\n"
            while not self.closed:
                try:
                    text = await asyncio.wait_for(listener.queue.get(), BREATH_S)
                except TimeoutError:
                    text = ": still here\n\n"
                if text is None:
                    return
                yield text
        finally:
            self.listeners.remove(listener)
