"""Pieces to start from: a bare warp, and a piece of a wished size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.geometry.sett import sett_advice
from weftline.core.piece.values import Project
from weftline.core.plan.foretold import first_facts
from weftline.core.plan.plan import plan
from weftline.core.weave.technique import find_technique
from weftline.core.weave.threading import balanced_counts, is_balanced, thread
from weftline.errors import PieceError

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan

ENDS = 33
WOOLS: dict[str, dict[str, Any]] = {
    "w": {"name": "Seine twine", "fibre": "cotton", "size": "NeC 12/6", "colour": "#d6cfbd"},
    "o": {"name": "Oat", "fibre": "wool", "size": "Nm 6/2", "colour": "#e8dfc8", "strands": 2},
    "r": {"name": "Madder", "fibre": "wool", "size": "Nm 6/2", "colour": "#a8332e", "strands": 2},
    "s": {"name": "Slate", "fibre": "wool", "size": "Nm 6/2", "colour": "#3f4d5c", "strands": 2},
    "d": {"name": "Weld", "fibre": "wool", "size": "Nm 6/2", "colour": "#d99a2b", "strands": 2},
    "l": {"name": "Lichen", "fibre": "wool", "size": "Nm 6/2", "colour": "#a9b07e", "strands": 2},
}
"""A warp and five wools, the light one as ground."""


def _piece(
    name: str, technique: str, units: str, ends: int, bands: list[dict[str, Any]], sett_per_cm: float | None = None
) -> Project:
    strip: dict[str, Any] = {"ends": ends, **({"bands": bands} if bands else {})}
    return Project.model_validate(
        {
            "weftline": 1,
            "name": name,
            "units": units,
            "weave": {"technique": technique},
            "yarns": WOOLS,
            "ground": "o",
            "warp": {"yarn": "w"} if sett_per_cm is None else {"yarn": "w", "sett_per_cm": sett_per_cm},
            "sections": [{"strips": [strip]}],
        }
    )


def bare_warp(units: str) -> Project:
    """Return a bare warp of 33 ends with five wools."""
    return _piece("Bare warp", "krokbragd", units, ENDS, [])


def from_size(name: str, size_mm: tuple[float, float], technique: str, units: str) -> Project:
    """Return a piece that finishes as near to a size as balanced ends and whole lines let it.

    Raises
    ------
    PieceError
        For a size that no piece can have.
    """
    known = find_technique(technique)
    if known is None:
        raise PieceError("", f"no technique is called {technique[:40]}; choose one from the list")
    ground = " ".join("o" * len(known.sheds))
    sett = _best_sett(name, technique, units, ground)
    trial = plan(_piece(name, technique, units, ENDS, [{"lines": [f"{ground} *100"]}], sett))
    width, length = _extent(trial)
    ends = max(1, round(ENDS * size_mm[0] / width))
    if not is_balanced(thread(known.threading, ends)):
        ends = min(balanced_counts(known.threading, ends) or (ends,), key=lambda count: abs(count - ends))
    lines = max(1, round(100 * size_mm[1] / length))
    return _piece(name, technique, units, ends, [{"name": "Ground", "lines": [f"{ground} *{lines}"]}], sett)


def _best_sett(name: str, technique: str, units: str, ground: str) -> float:
    """Return the sett that these wools ask for, ends per cm to a tenth."""
    facts = first_facts(plan(_piece(name, technique, units, ENDS, [{"lines": [ground]}])))
    if facts is None:
        raise RuntimeError("the wools of a new piece have no size")
    return round(sett_advice(facts.warp, facts.weft, facts.technique, None).best.value, 1)


def _extent(found: Plan) -> tuple[float, float]:
    size = found.sections[0].size
    return size.across.finished_mm.value, size.lengths.finished_mm.value
