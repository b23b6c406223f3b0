"""Random commands for a draft: most of them make sense, some take a piece apart."""

import random
from typing import Any

from weftline.core.piece.commands import Command, Insert, Lay, Move, Remove, Set, Together, apply, command_of
from weftline.core.piece.draft import BAND, LINE, PIECE, ROOT, STRIP, Node, path_to, walk
from weftline.core.weave.line import read_line
from weftline.errors import PieceError

FIELDS: dict[str, list[tuple[str, list[Any]]]] = {
    PIECE: [
        ("name", ["Mat", "", "A/B"]),
        ("ground", ["o", None]),
        ("warp.sett_per_cm", [2, 2.5, None]),
        ("warp.edge", ["none", {"kind": "floating", "ends": 2}]),
        ("warp.edge.ends", [1, 3, None]),
        ("loom.kind", ["floor", None]),
        ("yarns.m.colour", ["#203040", None]),
        ("yarns.m.pack.price", [3, 4.5, None]),
        ("yarns.new", [{"colour": "#ffffff"}, None]),
        ("yarns.s", [None, {"strands": 3}]),
        ("beat", [{"lines_per_cm": 4}, None]),
    ],
    "section": [("name", ["Rug", None]), ("pieces", [1, 4])],
    STRIP: [("ends", [31, 37]), ("name", ["Left", None])],
    BAND: [("name", ["Teeth", None]), ("times", [1, 3]), ("mirror", ["picks", "none", None])],
    LINE: [("text", ["o o o", "s s o  *2", "m - o back"])],
}


def random_command(rng: random.Random, draft: Node, fresh: str) -> Command:
    """Return a command for a part of this draft; ``fresh`` begins the ids of new parts."""
    if rng.random() < 0.15:
        return _together(rng, draft, fresh)
    nodes = walk(draft)
    lines = [node for node in nodes if node.kind == LINE]
    verb = rng.choice(("lay", "lay", "set", "set", "insert", "remove", "move"))
    if verb == "lay" and lines:
        line = rng.choice(lines)
        picks = len(read_line(line.fields["text"]).tokens)
        return Lay(line=line.id, pick=rng.randint(1, picks), token=rng.choice(["o", "s", "m", "-", "o+s"]))
    if verb == "set" or len(nodes) == 1:
        node = rng.choice([rng.choice(nodes), draft])
        field, values = rng.choice(FIELDS[node.kind])
        value = rng.choice(values)
        return Set(node=node.id, field=field, value=value, null=value is None and rng.random() < 0.2)
    node = rng.choice([node for node in nodes if node.id != ROOT])
    parent = path_to(draft, node.id)[-2]
    if verb == "remove":
        return Remove(node=node.id)
    if verb == "move":
        homes = [home for home in nodes if home.kind == parent.kind]
        home = rng.choice(homes)
        after = rng.choice([None, *(child.id for child in home.children if child.id != node.id)])
        return Move(node=node.id, parent=home.id, after=after)
    after = rng.choice([None, *(child.id for child in parent.children)])
    return Insert(parent=parent.id, after=after, node=_copy(node, fresh))


def _copy(node: Node, fresh: str) -> dict[str, Any]:
    children = [_copy(child, f"{fresh}.{place}") for place, child in enumerate(node.children)]
    return {"id": fresh, "kind": node.kind, "fields": dict(node.fields), "children": children}


def _together(rng: random.Random, draft: Node, fresh: str) -> Command:
    ops: list[Any] = []
    for number in range(rng.randint(1, 5)):
        one = random_command(rng, draft, f"{fresh}-{number}")
        if isinstance(one, Together):
            continue
        try:
            draft = apply(draft, one)[0]
        except PieceError:
            continue
        ops.append(one)
    return Together(ops=tuple(ops)) if ops else command_of({"op": "set", "node": ROOT, "field": "name", "value": "x"})
