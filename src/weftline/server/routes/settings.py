"""Settings: units, paper, theme, keys, and life size by the ruler."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from weftline.server.desk import Hand, fresh_id
from weftline.server.workbench import PAPERS, SCREEN_PX_PER_MM, THEMES, UNITS, Bench, Chosen, HandOf, done, page

router = APIRouter(prefix="/settings")
RULER_PX = 400
"""Length of the bar that is held to a ruler."""


@router.get("")
def show(request: Request, chosen: Chosen) -> Response:
    """Show the settings."""
    ruler = RULER_PX / chosen.px_per_mm
    return page(request, "settings.html", shelf="Settings", ruler_px=RULER_PX, ruler_mm=f"{ruler:.1f}")


@router.post("")
def keep(
    request: Request,
    bench: Bench,
    hand: HandOf,
    units: Annotated[str, Form()],
    paper: Annotated[str, Form()],
    theme: Annotated[str, Form()],
    keys: Annotated[str, Form()] = "",
) -> Response:
    """Keep what was chosen."""
    shared = {
        "units": units if units in UNITS else UNITS[0],
        "paper": paper if paper in PAPERS else PAPERS[0],
    }
    own = bench.desk.shelf().documents.get("settings", {}).get(hand.device, {})
    mine = {**own, "theme": theme if theme in THEMES else THEMES[0], "keys": keys == "on"}
    bench.desk.put("settings", "all", shared, hand)
    bench.desk.put("settings", hand.device, mine, Hand(hand.device, fresh_id(), 0))
    return done(request, "/settings")


@router.post("/ruler")
def ruler(
    request: Request,
    bench: Bench,
    hand: HandOf,
    length: Annotated[float, Form(gt=0, le=5000)],
    unit: Annotated[str, Form()],
) -> Response:
    """Keep how long the bar is on this screen."""
    millimetres = length * (25.4 if unit == "in" else 1.0)
    scale = RULER_PX / millimetres
    if not 0.5 <= scale <= 60:
        scale = SCREEN_PX_PER_MM
    own = bench.desk.shelf().documents.get("settings", {}).get(hand.device, {})
    bench.desk.put("settings", hand.device, {**own, "px_per_mm": scale}, hand)
    return done(request, "/settings#life")
