"""The draft: a piece as a tree of nodes with stable ids, which is what commands change.

The project file has no ids; a draft is the same piece with an id on every section, strip, band and
written line, so that two devices mean the same line whatever was put in before it. The root holds
the file's other keys as fields. Drafts are immutable: a change copies the path to the changed node.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from weftline.errors import PieceError

Json = Any
NewId = Callable[[], str]

PIECE, SECTION, STRIP, BAND, LINE = KINDS = ("piece", "section", "strip", "band", "line")
CHILDREN = {PIECE: "sections", SECTION: "strips", STRIP: "bands", BAND: "lines"}
"""The key of the file that holds the next kind's nodes."""
ROOT = "piece"
"""Id of the root node of every draft."""
MAX_ID = 64


@dataclass(frozen=True, slots=True)
class Node:
    """A part of a piece.

    Parameters
    ----------
    id : str
        Stable for the part's life, unique in its draft.
    kind : str
        ``piece``, ``section``, ``strip``, ``band`` or ``line``.
    fields : mapping
        Its keys as in the project file, without the children; a line's only field is ``text``.
    children : tuple of Node
        Sections of the piece, strips of a section, bands of a strip, lines of a band.
    """

    id: str
    kind: str
    fields: Mapping[str, Json]
    children: tuple[Node, ...] = ()


def draft_of(data: Mapping[str, Json], new_id: NewId) -> Node:
    """Return the draft of a project file's data, with fresh ids.

    Examples
    --------
    >>> ids = iter("abcdef")
    >>> bands = [{"lines": ["o o o"]}]
    >>> draft = draft_of({"weftline": 1, "sections": [{"strips": [{"ends": 5, "bands": bands}]}]}, lambda: next(ids))
    >>> [step.kind for step in path_to(draft, "d")]
    ['piece', 'section', 'strip', 'band', 'line']
    """
    return _node(data, PIECE, lambda: ROOT, new_id)


def _node(data: Json, kind: str, own_id: NewId, new_id: NewId) -> Node:
    if kind == LINE:
        return Node(own_id(), LINE, {"text": data})
    key = CHILDREN[kind]
    below = KINDS[KINDS.index(kind) + 1]
    fields = {name: value for name, value in data.items() if name != key or value == []}
    node_id = own_id()
    return Node(node_id, kind, fields, tuple(_node(child, below, new_id, new_id) for child in data.get(key, ())))


def file_data(node: Node) -> Json:
    """Return a node as it stands in the project file; ids are left out.

    Notes
    -----
    A strip without bands has no key for them, unless the file wrote its empty list: the list is
    then among the strip's fields, so that a file comes back as it was.
    """
    if node.kind == LINE:
        return node.fields["text"]
    if node.kind == STRIP and not node.children:
        return dict(node.fields)
    return {**node.fields, CHILDREN[node.kind]: [file_data(child) for child in node.children]}


def tree_data(node: Node) -> dict[str, Json]:
    """Return a node as data with its ids and kinds."""
    return {
        "id": node.id,
        "kind": node.kind,
        "fields": dict(node.fields),
        "children": [tree_data(child) for child in node.children],
    }


def tree_of(data: Json) -> Node:
    """Return the node of ``tree_data``; whatever is in it, it is a proper tree or refused.

    Raises
    ------
    PieceError
        For what is no part of a piece, parts that do not stand in each other, ids that are none or
        come twice.
    """
    node = _proper(data, None)
    ids = [one.id for one in walk(node)]
    if len(set(ids)) != len(ids):
        raise PieceError("", "two parts have the same id; give each its own")
    return node


def _proper(data: Json, above: str | None) -> Node:
    if not isinstance(data, Mapping):
        raise PieceError("", "a part of a piece is an object with id, kind, fields and children")
    node_id, kind, fields, below = (data.get(key) for key in ("id", "kind", "fields", "children"))
    if kind not in KINDS or (above is not None and KINDS.index(kind) != KINDS.index(above) + 1):
        raise PieceError(
            "", f"a {above or 'piece'} cannot hold {str(kind)[:20]!r}; it holds {CHILDREN[above or PIECE]}"
        )
    if not isinstance(node_id, str) or not 1 <= len(node_id) <= MAX_ID or (node_id == ROOT) != (kind == PIECE):
        raise PieceError("", f"a {kind} needs an id of its own, 1 to {MAX_ID} characters")
    if not isinstance(fields, Mapping) or not isinstance(below or [], list | tuple):
        raise PieceError("", f"a {kind} has its fields in an object and its parts in a list")
    if kind == LINE and (below or fields.keys() != {"text"} or not isinstance(fields["text"], str)):
        raise PieceError("", "a line has its text and nothing else")
    if fields.get(CHILDREN.get(kind, ""), []) != []:
        raise PieceError("", f"the {CHILDREN[kind]} of a {kind} are its children, not a field")
    return Node(node_id, kind, dict(fields), tuple(_proper(child, kind) for child in below or ()))


def walk(node: Node) -> list[Node]:
    """Return a node and everything in it, in the order of the file."""
    found = [node]
    for child in node.children:
        found += walk(child)
    return found


def path_to(root: Node, node_id: str) -> tuple[Node, ...]:
    """Return the nodes from the root down to this one; empty if it is not there."""
    if root.id == node_id:
        return (root,)
    for child in root.children:
        if child.id == node_id:
            return (root, child)
        if child.children:
            below = path_to(child, node_id)
            if below:
                return (root, *below)
    return ()


def place_of(parent: Node, child: Node) -> int:
    """Return the place of a child among its siblings, counted from 0."""
    return next(place for place, one in enumerate(parent.children) if one is child)


def with_node(path: tuple[Node, ...], node: Node) -> Node:
    """Return the root with the last node of a path exchanged for another."""
    for above, old in zip(path[-2::-1], path[:0:-1], strict=True):
        place = place_of(above, old)
        node = replace(above, children=(*above.children[:place], node, *above.children[place + 1 :]))
    return node
