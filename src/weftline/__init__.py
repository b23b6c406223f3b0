"""Weftline: from a box of wool and a bare loom to a finished, written-up cloth.

>>> import weftline
>>> piece = weftline.loads('{"weftline": 1, "yarns": {"o": {}, "s": {}}, "sections": [{"strips":'
...     ' [{"ends": 37, "bands": [{"lines": ["s o o", "o o o"]}]}]}]}')
>>> weftline.plan(piece).sections[0].picks
6
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

from weftline._version import __version__

if TYPE_CHECKING:
    from weftline.core.findings import Finding, Quantity
    from weftline.core.piece.cloth import expand
    from weftline.core.piece.settings import settings_of
    from weftline.core.piece.values import Project
    from weftline.core.plan.plan import Plan, plan
    from weftline.core.weave.back import back_columns
    from weftline.core.weave.face import face_columns
    from weftline.core.weave.hang import hangs_together
    from weftline.core.weave.picks import drawdown
    from weftline.core.yarn import read_size
    from weftline.drawing.wool import View, wool_picture
    from weftline.errors import WeftlineError
    from weftline.formats.native import dumps, loads, schema

__all__ = [
    "Finding",
    "Plan",
    "Project",
    "Quantity",
    "View",
    "WeftlineError",
    "__version__",
    "back_columns",
    "drawdown",
    "dumps",
    "expand",
    "face_columns",
    "hangs_together",
    "loads",
    "plan",
    "read_size",
    "schema",
    "settings_of",
    "wool_picture",
]

_HOMES = {
    "Finding": "core.findings",
    "Plan": "core.plan.plan",
    "Project": "core.piece.values",
    "Quantity": "core.findings",
    "View": "drawing.wool",
    "WeftlineError": "errors",
    "back_columns": "core.weave.back",
    "drawdown": "core.weave.picks",
    "dumps": "formats.native",
    "expand": "core.piece.cloth",
    "face_columns": "core.weave.face",
    "hangs_together": "core.weave.hang",
    "loads": "formats.native",
    "plan": "core.plan.plan",
    "read_size": "core.yarn",
    "schema": "formats.native",
    "settings_of": "core.piece.settings",
    "wool_picture": "drawing.wool",
}


def __getattr__(name: str) -> Any:
    """Fetch a public name when it is first asked for, so that ``--version`` loads nothing."""
    if name not in _HOMES:
        raise AttributeError(f"module 'weftline' has no attribute {name!r}")
    return getattr(import_module(f"weftline.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return list(__all__)


def _show_in_notebooks() -> None:
    ipython = sys.modules.get("IPython")
    shell = ipython.get_ipython() if ipython is not None else None
    if shell is not None:
        import_module("weftline.notebook").load_ipython_extension(shell)


_show_in_notebooks()
