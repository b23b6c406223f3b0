"""What a change is called in plain words, as undo and the history say it: lay pick, write line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.piece.commands import Become, Insert, Lay, Move, Remove, Set, Together
from weftline.core.piece.draft import LINE, PIECE, path_to
from weftline.core.piece.entries import BRING_BACK, CREATE, PUT_AWAY, REDO, UNDO
from weftline.core.weaving.log import (
    CHOSEN,
    HAPPENED,
    LEFT,
    MEASURED,
    NOTE,
    PHOTOGRAPH,
    REJOINED,
    SKIPPED,
    THROWN,
    UNWOVEN,
    WEAVE_HERE,
)

if TYPE_CHECKING:
    from weftline.core.piece.commands import Command
    from weftline.core.piece.draft import Node
    from weftline.core.piece.entries import Entry

OF_PIECE = {
    "weave": "technique",
    "yarns": "yarn",
    "warp": "warp",
    "beat": "beat",
    "loom": "loom",
    "allowances": "allowances",
    "limits": "float limits",
    "pace": "pace",
}
"""What the objects of a piece are called."""
LIFE = {CREATE: "make piece", PUT_AWAY: "put away", BRING_BACK: "bring back"}


def change_name(draft: Node, command: Command) -> str:
    """Return a short phrase for a change of this draft.

    Examples
    --------
    >>> from weftline.core.piece.draft import ROOT, Node
    >>> change_name(Node(ROOT, "piece", {}), Set(node=ROOT, field="yarns.o.colour", value="#203040"))
    'change yarn'
    """
    match command:
        case Lay():
            return "lay pick"
        case Set():
            return _set_name(draft, command)
        case Insert():
            return f"insert {command.node.get('kind', 'part')}"
        case Remove():
            return f"remove {_kind(draft, command.node)}"
        case Move():
            return f"move {_kind(draft, command.node)}"
        case Become():
            return "restore version"
        case Together():
            names = list(dict.fromkeys(change_name(draft, one) for one in command.ops))
            if len(names) > 1:
                return "several changes"
            return names[0] if len(command.ops) == 1 else f"{names[0]}s"


def _kind(draft: Node, node: str) -> str:
    path = path_to(draft, node)
    return path[-1].kind if path else "part"


def _set_name(draft: Node, command: Set) -> str:
    kind, field = _kind(draft, command.node), command.field.split(".")[0]
    if kind == LINE:
        return "write line"
    if field == "name":
        return f"rename {kind}"
    if kind == PIECE:
        return f"change {OF_PIECE.get(field, field)}"
    return f"change {kind}"


def entry_name(entry: Entry) -> str:
    """Return what an entry is called in the history."""
    name = str(entry.payload.get("name", ""))
    if entry.kind == UNDO:
        return f"undo {name}" if entry.payload.get("op") is not None else f"leave {name}"
    if entry.kind == REDO:
        return f"redo {name}"
    return LIFE.get(entry.kind) or name or log_name(entry) or entry.kind


def log_name(entry: Entry) -> str:
    """Return what an entry of the log is called, empty for others.

    Examples
    --------
    >>> from weftline.core.piece.entries import Entry
    >>> log_name(Entry("mat", 2, "a", "unwoven", 1, "phone", "", {"throws": 3}))
    'unweave 3 throws'
    """
    throws = entry.payload.get("throws", 1)
    count = throws if isinstance(throws, int) else len(throws)
    what = "1 throw" if count == 1 else f"{count} throws"
    known = {
        THROWN: f"weave {what}",
        UNWOVEN: f"unweave {what}",
        SKIPPED: f"skip {what}",
        LEFT: "leave the plan",
        REJOINED: "follow the plan again",
        WEAVE_HERE: "weave here",
        CHOSEN: "choose what was woven",
        MEASURED: "measure",
        NOTE: "note",
        PHOTOGRAPH: "photograph",
        HAPPENED: str(entry.payload.get("what", "")),
    }
    return known.get(entry.kind, "")
