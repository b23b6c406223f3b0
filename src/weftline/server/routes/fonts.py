"""The font of the pages, from its package."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from fastapi import APIRouter
from fastapi.responses import FileResponse, Response

from weftline.errors import OutOfPlaceError

router = APIRouter()
FILES = {"regular.ttf": "AtkinsonHyperlegible-Regular.ttf", "bold.ttf": "AtkinsonHyperlegible-Bold.ttf"}


@router.get("/fonts/{name}")
def font(name: str) -> Response:
    """Answer with a font file; without the package, pages fall back to the system's own."""
    spec = find_spec("fontpkg_atkinson_hyperlegible")
    if name not in FILES or spec is None or spec.origin is None:
        raise OutOfPlaceError("no font is called that")
    path = Path(spec.origin).parent / "files" / FILES[name]
    return FileResponse(path, media_type="font/ttf", headers={"cache-control": "private, max-age=604800"})
