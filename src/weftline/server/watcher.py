"""The watcher: what other processes write reaches the open pages as if it had been written here."""

from __future__ import annotations

import asyncio
import logging
from contextlib import asynccontextmanager, suppress
from typing import TYPE_CHECKING

from starlette.concurrency import run_in_threadpool

from weftline.errors import WeftlineError

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from weftline.server.desk import Desk
    from weftline.services.ports import Watch

LOG = logging.getLogger("weftline.server")
EVERY_S = 0.25
"""So often the store is asked whether anybody wrote to it."""
AGAIN_S = 5.0
"""So long it is left alone when it could not be asked."""


def look(desk: Desk, watch: Watch) -> bool:
    """Announce what was written since the last look; return whether anything had been."""
    changed = watch.changed()
    if changed:
        desk.tell_news()
    return changed


@asynccontextmanager
async def watched(desk: Desk, watch: Watch | None) -> AsyncIterator[None]:
    """Look a few times a second as long as this is open; nothing runs any more afterwards."""
    if watch is None:
        yield
        return
    task = asyncio.create_task(_watch(desk, watch))
    try:
        yield
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task


async def _watch(desk: Desk, watch: Watch) -> None:
    while True:
        try:
            await run_in_threadpool(look, desk, watch)
            pause = EVERY_S
        except WeftlineError as cause:
            LOG.warning("new entries of other programs are not seen for now: %s", cause)
            pause = AGAIN_S
        await asyncio.sleep(pause)
