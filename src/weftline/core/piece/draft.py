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
    fields = {name: value for name, value in data.items() if name != key}
    node_id = own_id()
    return Node(node_id, kind, fields, tuple(_node(child, below, new_id, new_id) for child in data.get(key, ())))


def file_data(node: Node) -> Json:
    """Return a node as it stands in the project file; ids are left out."""
    if node.kind == LINE:
        return node.fields["text"]
    children = [file_data(child) for child in node.children]
    bare = node.kind == STRIP and not children
    return {**node.fields, **({} if bare else {CHILDREN[node.kind]: children})}


def tree_data(node: Node) -> dict[str, Json]:
    """Return a node as data with its ids and kinds."""
    return {
        "id": node.id,
        "kind": node.kind,
        "fields": dict(node.fields),
        "children": [tree_data(child) for child in node.children],
    }


def tree_of(data: Mapping[str, Json]) -> Node:
    """Return the node of ``tree_data``.

    Raises
    ------
    PieceError
        For kinds that do not stand in each other.
    """
    kind = data["kind"]
    children = tuple(tree_of(child) for child in data.get("children", ()))
    if kind not in KINDS or any(KINDS.index(child.kind) != KINDS.index(kind) + 1 for child in children):
        raise PieceError("", f"a {kind} cannot hold what stands in it here")
    return Node(data["id"], kind, dict(data["fields"]), children)


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
        below = path_to(child, node_id)
        if below:
            return (root, *below)
    return ()


def with_node(path: tuple[Node, ...], node: Node) -> Node:
    """Return the root with the last node of a path exchanged for another."""
    for above, old in zip(path[-2::-1], path[:0:-1], strict=True):
        place = above.children.index(old)
        node = replace(above, children=(*above.children[:place], node, *above.children[place + 1 :]))
    return node
