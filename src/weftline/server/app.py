"""The application: routes, files of the front end, and the guard before them."""

from __future__ import annotations

from contextlib import asynccontextmanager
from importlib import resources
from typing import TYPE_CHECKING

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from weftline.server.announcer import Announcer
from weftline.server.clashing import add_clashes
from weftline.server.desk import Desk
from weftline.server.device import DeviceCookie
from weftline.server.guard import Guard
from weftline.server.pictures import Album
from weftline.server.problems import add_problems
from weftline.server.routes import (
    api,
    cloth,
    design,
    files,
    fonts,
    making,
    painting,
    pictures,
    piece_yarns,
    rail,
    resizing,
    samples,
    settings,
    shelves,
    stops,
    weaving,
    write_up,
)
from weftline.server.watcher import watched
from weftline.server.workbench import Workbench, environment

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from weftline.wiring import Services

ROUTERS = (
    rail,
    stops,
    weaving,
    samples,
    piece_yarns,
    resizing,
    design,
    painting,
    making,
    pictures,
    files,
    write_up,
    shelves,
    settings,
    api,
    cloth,
    fonts,
)


def create_app(services: Services, *, nonce: str = "", pictures_folder: Path | None = None) -> FastAPI:
    """Return the application.

    Parameters
    ----------
    services : Services
    nonce : str
        What ``/health`` proves this very workbench with.
    pictures_folder : Path, optional
        Where pictures are kept from one start to the next.
    """
    announcer = Announcer()
    desk = Desk(services, announcer)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        async with watched(desk, services.watch):
            yield

    app = FastAPI(title="Weftline", docs_url=None, redoc_url=None, openapi_url=None, lifespan=lifespan)
    app.state.workbench = Workbench(desk, Album(pictures_folder), Album(None), announcer, environment(), nonce)
    for router in ROUTERS:
        app.include_router(router.router)
    static = resources.files("weftline.server") / "static"
    app.mount("/static", StaticFiles(directory=str(static)), name="static")
    add_problems(app)
    add_clashes(app)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=9)
    app.add_middleware(DeviceCookie)
    app.add_middleware(Guard)
    return app
