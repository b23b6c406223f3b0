"""Documents made for tests, and what they say."""

from pathlib import Path
from typing import Any

from tests.pieces import one_strip, read
from weftline.core.plan.plan import plan
from weftline.sheets.document import Document, document
from weftline.sheets.paper import PAPERS

DEMOS = Path(__file__).parents[2] / "examples"

DEMO_YARNS = {"o": {"name": "Oat", "size": "Nm 6/2", "strands": 2}, "s": {"name": "Slate", "size": "Nm 6/2"}}


def made(piece: dict[str, Any], paper: str = "a4", units: str = "metric") -> Document:
    """The document of a piece."""
    return document(plan(read(piece)), PAPERS[paper], units)


def pad(**keys: Any) -> dict[str, Any]:
    """A pad of 37 ends with the keys of a warp and loom of its own."""
    lines = {"name": "Ground", "lines": ["o o s *3", "- s s", "s o o back"], "times": 4}
    piece = one_strip(lines)
    return {**piece, "yarns": DEMO_YARNS, **keys}


def said(rich: Any) -> str:
    """A sentence with its figures, as it reads."""
    if isinstance(rich, str):
        return rich
    if isinstance(rich, dict):
        return str(rich["text"])
    return "".join(said(part) for part in rich)
