"""The application: routes, files of the front end, and the guard before them."""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING

from fastapi import FastAPI
from starlette.staticfiles import StaticFiles

from weftline.server.announcer import Announcer
from weftline.server.desk import Desk
from weftline.server.device import DeviceCookie
from weftline.server.guard import Guard
from weftline.server.pictures import Album
from weftline.server.problems import add_problems
from weftline.server.routes import api, design, files, fonts, making, pictures, rail, settings, shelves, stops
from weftline.server.workbench import Workbench, environment

if TYPE_CHECKING:
    from pathlib import Path

    from weftline.wiring import Services

ROUTERS = (rail, stops, design, making, pictures, files, shelves, settings, api, fonts)


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
    desk = Desk(services.pieces, services.designing, services.shelf, announcer)
    app = FastAPI(title="Weftline", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.workbench = Workbench(desk, Album(pictures_folder), announcer, environment(), nonce)
    for router in ROUTERS:
        app.include_router(router.router)
    static = resources.files("weftline.server") / "static"
    app.mount("/static", StaticFiles(directory=str(static)), name="static")
    add_problems(app)
    app.add_middleware(DeviceCookie)
    app.add_middleware(Guard)
    return app
