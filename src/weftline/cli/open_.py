"""``weftline open``: the workbench in the browser; without a command, the same with the demo pieces there."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from weftline.cli.answers import say


def open_workbench(
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open it in the browser.")] = True,
    port: Annotated[
        int | None, typer.Option("--port", min=1, max=65535, help="This port and no other; any free one if left out.")
    ] = None,
) -> None:
    """Open the workbench, for this machine alone; where it runs already, that one is opened. Ctrl-C ends it."""
    start(browser=browser, port=port, demos=False)


def start(*, browser: bool, port: int | None = None, demos: bool = False) -> None:
    """Serve until interrupted and say where."""
    from weftline.server.running import address
    from weftline.server.serving import Wish, serve
    from weftline.wiring import Settings, data_folder

    def ready(at: int, ran_already: bool) -> None:
        say(f"The workbench {'runs already' if ran_already else 'is open'} at {address(at)}")
        if not ran_already:
            say("Ctrl-C ends it; everything is kept.")
        if browser and _has_screen():
            import webbrowser

            webbrowser.open(address(at))

    serve(Wish(Settings(data_folder()), port, demos), ready)


def _has_screen() -> bool:
    """Return whether a browser could be seen; without a screen a terminal's browser would take over the terminal."""
    return sys.platform == "darwin" or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
