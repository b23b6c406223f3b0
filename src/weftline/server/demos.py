"""The demo pieces, with their plans."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING

from weftline.core.plan.plan import plan
from weftline.errors import OutOfPlaceError
from weftline.formats.native import loads

if TYPE_CHECKING:
    from weftline.core.piece.values import Project
    from weftline.core.plan.plan import Plan


@lru_cache(maxsize=1)
def _every() -> dict[str, Project]:
    folder = resources.files("weftline") / "examples"
    files = sorted((file for file in folder.iterdir() if file.name.endswith(".json")), key=lambda file: file.name)
    return {file.name.removesuffix(".json"): loads(file.read_bytes()) for file in files}


def demo_projects(wanted: str | None = None) -> dict[str, Project]:
    """Return the demo pieces by name.

    Raises
    ------
    OutOfPlaceError
        When the wanted one is not among them.
    """
    found = _every()
    if wanted is not None and wanted not in found:
        raise OutOfPlaceError(f"no demo is called that; there are {', '.join(found)}")
    return found


@lru_cache(maxsize=16)
def demo_plan(name: str) -> Plan:
    """Return the plan of a demo piece."""
    return plan(demo_projects(name)[name])
