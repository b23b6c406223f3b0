"""Serving: one workbench a data folder, on loopback, until somebody ends it."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

import uvicorn

from weftline.server.app import create_app
from weftline.server.demos import demo_projects
from weftline.server.desk import Hand, fresh_id
from weftline.server.running import HOST, find_running, last_port, listen, noted, only_one
from weftline.wiring import Settings, make_data_folder, opened

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import FrameType

    from fastapi import FastAPI

    from weftline.server.workbench import Workbench

PATIENCE_S = 8.0
"""How long a start waits for another one, that holds the lock already, to answer."""


@dataclass(frozen=True, slots=True)
class Wish:
    """How the workbench is to be served.

    Parameters
    ----------
    settings : Settings
    port : int or None
        This one and no other; any free one if left out.
    demos : bool
        Whether an untouched store gets the demo pieces.
    """

    settings: Settings
    port: int | None = None
    demos: bool = False


class _Server(uvicorn.Server):
    """Sends the open pages home first, so that an interrupt ends at once."""

    def __init__(self, config: uvicorn.Config, bench: Workbench) -> None:
        super().__init__(config)
        self._bench = bench

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        self._bench.announcer.close()
        self._bench.album.close()
        self._bench.prints.close()
        super().handle_exit(sig, frame)


def serve(wish: Wish, ready: Callable[[int, bool], None]) -> None:
    """Serve until interrupted; where a workbench runs for this folder already, only say so.

    Parameters
    ----------
    wish : Wish
    ready : callable
        Told the port, and whether it is a workbench that ran already.
    """
    folder = wish.settings.data
    make_data_folder(folder)
    with only_one(folder) as alone:
        if not alone:
            port = find_running(folder, PATIENCE_S)
            if port is not None:
                ready(port, True)
                return
        _serve(wish, ready)


def _serve(wish: Wish, ready: Callable[[int, bool], None]) -> None:
    folder = wish.settings.data
    with listen(wish.port, last_port(folder)) as listening:
        port: int = listening.getsockname()[1]
        with noted(folder, port) as nonce, opened(wish.settings) as services:
            app = create_app(services, nonce=nonce, pictures_folder=folder / "pictures")
            if wish.demos:
                hang_demos(app)
            config = uvicorn.Config(app, host=HOST, port=port, log_level="warning", timeout_graceful_shutdown=2)
            ready(port, False)
            with contextlib.suppress(KeyboardInterrupt):
                _Server(config, app.state.workbench).run(sockets=[listening])


def hang_demos(app: FastAPI) -> None:
    """Make a piece of every demo where no piece was ever made."""
    desk = app.state.workbench.desk
    if desk.summaries() or desk.summaries(put_away=True):
        return
    for project in reversed(demo_projects().values()):
        desk.create(project, Hand("demo", fresh_id(), 0))
