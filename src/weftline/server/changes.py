"""What forms ask for, as commands on the nodes of a piece."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any

from weftline.core.piece.commands import Insert, Move, Remove, Set, Together
from weftline.core.piece.draft import Node, path_to, tree_data
from weftline.errors import OutOfPlaceError
from weftline.server.desk import fresh_id

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.commands import Command, Single

MOST_LINES = 5000


def found(draft: Node, node: str) -> tuple[Node, ...]:
    """Return the way to a node.

    Raises
    ------
    OutOfPlaceError
        When it is no longer there.
    """
    path = path_to(draft, node)
    if not path:
        raise OutOfPlaceError("this part is no longer in the piece; load the page again")
    return path


def write_line(node: str, text: str) -> Command:
    """Write a line anew."""
    return Set(node=node, field="text", value=" ".join(text.split()))


def insert_line(draft: Node, below: str, text: str) -> tuple[Command, str]:
    """Insert a line above another; returns the new line's id too."""
    path = found(draft, below)
    line = _line(text)
    return Insert(parent=path[-2].id, after=below, node=line), line["id"]


def _line(text: str) -> dict[str, Any]:
    return {"id": fresh_id(), "kind": "line", "fields": {"text": " ".join(text.split())}, "children": []}


def texts_of(text: str) -> list[str]:
    """Return the lines that were written one below the other, empty ones left out."""
    lines = [" ".join(line.split()) for line in text.replace("\r", "\n").split("\n")]
    return [line for line in lines if line][:MOST_LINES]


def write_lines(band: Node, texts: Sequence[str]) -> Command | None:
    """Write the lines of a band anew, so that lines that stay keep their ids; None where all stay."""
    old = [line.fields["text"] for line in band.children]
    ops: list[Single] = []
    after: str | None = None
    for kind, a0, a1, b0, b1 in difflib.SequenceMatcher(None, old, list(texts), autojunk=False).get_opcodes():
        if kind == "equal":
            after = band.children[a1 - 1].id
            continue
        both = min(a1 - a0, b1 - b0)
        for line, text in zip(band.children[a0 : a0 + both], texts[b0 : b0 + both], strict=True):
            ops.append(Set(node=line.id, field="text", value=text))
            after = line.id
        ops += [Remove(node=line.id) for line in band.children[a0 + both : a1]]
        for text in texts[b0 + both : b1]:
            node = _line(text)
            ops.append(Insert(parent=band.id, after=after, node=node))
            after = node["id"]
    return _together(ops)


def insert_band(draft: Node, strip: str, name: str, texts: Sequence[str]) -> tuple[Command, str]:
    """Insert a band on top of a strip; returns its id too."""
    node = found(draft, strip)[-1]
    fields = {"name": name} if name else {}
    band = {"id": fresh_id(), "kind": "band", "fields": fields, "children": [_line(text) for text in texts]}
    return Insert(parent=strip, after=node.children[-1].id if node.children else None, node=band), str(band["id"])


def set_fields(node: Node, wanted: Mapping[str, Any]) -> Command | None:
    """Set what differs; a value of None takes the field away."""
    ops: list[Single] = []
    for name, value in wanted.items():
        now: Any = node.fields
        for part in name.split("."):
            now = now.get(part) if isinstance(now, dict) else None
        if now != value:
            ops.append(Set(node=node.id, field=name, value=value))
    return _together(ops)


def remove(draft: Node, node: str) -> Command:
    """Remove a node; the last line of a band takes the band with it."""
    path = found(draft, node)
    alone = path[-1].kind == "line" and len(path[-2].children) == 1
    return Remove(node=path[-2].id if alone else node)


def step_up(draft: Node, node: str, *, down: bool = False) -> Command | None:
    """Move a node past its neighbour; None at the end of the way."""
    path = found(draft, node)
    parent = path[-2]
    at = parent.children.index(path[-1])
    to = at - 1 if down else at + 1
    if not 0 <= to < len(parent.children):
        return None
    behind = to - 1 if down else to
    return Move(node=node, parent=parent.id, after=parent.children[behind].id if behind >= 0 else None)


def double(draft: Node, node: str) -> Command:
    """Put a copy above a node."""
    path = found(draft, node)
    return Insert(parent=path[-2].id, after=node, node=_fresh(tree_data(path[-1])))


def _fresh(data: dict[str, Any]) -> dict[str, Any]:
    return {**data, "id": fresh_id(), "children": [_fresh(child) for child in data["children"]]}


def _together(ops: list[Single]) -> Command | None:
    if not ops:
        return None
    return ops[0] if len(ops) == 1 else Together(ops=tuple(ops))
