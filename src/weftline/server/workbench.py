"""What every route has at hand: the desk, the album of pictures, the templates, and how pages are answered."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated, Any, Literal, cast

from fastapi import Depends, Form, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from jinja2 import Environment, PackageLoader, StrictUndefined

from weftline.core.findings import Basis
from weftline.server.desk import Desk, Hand, fresh_id
from weftline.server.pages.words import BASIS, shown

if TYPE_CHECKING:
    from weftline.server.announcer import Announcer
    from weftline.server.pictures import Album

THEMES = ("system", "light", "dark")
PAPERS = ("a4", "letter")
UNITS = ("metric", "imperial")
SCREEN_PX_PER_MM = 96 / 25.4
"""What a pixel is taken for until a ruler says otherwise (CSS Values 3: 96 to the inch)."""


@dataclass(frozen=True, slots=True)
class Preferences:
    """What the weaver chose; units and paper for everything, the rest for this device.

    Parameters
    ----------
    units, paper, theme : str
    keys : bool
        Whether single letters act.
    px_per_mm : float
        Pixels a millimetre on this screen, by the ruler.
    """

    units: str = "metric"
    paper: str = "a4"
    theme: str = "system"
    keys: bool = True
    px_per_mm: float = SCREEN_PX_PER_MM


@dataclass(frozen=True, slots=True)
class Workbench:
    """Everything that the routes need.

    ``prints`` holds set patterns and their pages, for as long as the workbench runs; they have a turn
    of their own, so that no picture of cloth waits for the typesetter.
    """

    desk: Desk
    album: Album
    prints: Album
    announcer: Announcer
    templates: Environment
    nonce: str


def environment() -> Environment:
    """Return the templates; every value is escaped, a name that is not given is a mistake."""
    found = Environment(
        loader=PackageLoader("weftline.server"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["shown"] = shown
    found.filters["basis"] = lambda basis: BASIS[Basis(basis)]
    found.globals["fresh"] = fresh_id
    return found


def workbench_of(request: Request) -> Workbench:
    """Return the workbench that a request came to."""
    return cast("Workbench", request.app.state.workbench)


def device_of(request: Request) -> str:
    """Return which device's browser asks."""
    return cast("str", request.state.device)


def preferences_of(request: Request) -> Preferences:
    """Return what the weaver chose."""
    documents = workbench_of(request).desk.shelf().documents.get("settings", {})
    chosen = {**documents.get("all", {}), **documents.get(device_of(request), {})}
    known = asdict(Preferences())
    return Preferences(**{name: chosen.get(name, value) for name, value in known.items()})


def page(request: Request, template: str, status: int = 200, **values: Any) -> Response:
    """Answer with a page."""
    bench = workbench_of(request)
    values.setdefault("frame", None)
    text = bench.templates.get_template(template).render(settings=preferences_of(request), **values)
    return HTMLResponse(text, status, headers={"cache-control": "no-store"})


def done(request: Request, href: str) -> Response:
    """Answer that something is kept: onwards to a page, or its address for a script."""
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse({"href": href})
    return RedirectResponse(href, 303)


def hand(
    request: Request,
    entry: Annotated[str, Form(min_length=1, max_length=200)],
    base: Annotated[int, Form(ge=0, le=2**53)] = 0,
    choice: Annotated[Literal["mine", "theirs"] | None, Form()] = None,
) -> Hand:
    """Return who changes something, from a form."""
    return Hand(device_of(request), entry, base, choice)


Bench = Annotated[Workbench, Depends(workbench_of)]
HandOf = Annotated[Hand, Depends(hand)]
Device = Annotated[str, Depends(device_of)]
Chosen = Annotated[Preferences, Depends(preferences_of)]
