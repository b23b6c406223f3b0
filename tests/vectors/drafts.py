"""Commands one after the other on drafts: what Python makes of them, and what it refuses with which words."""

import json
import random
from typing import Any, Final

from tests.random_commands import random_command
from tests.strategies import YARNS, random_project
from tests.vectors.strips import draft
from weftline.core.piece.commands import apply, command_data, command_of
from weftline.core.piece.draft import Node, path_to, tree_data, walk
from weftline.errors import PieceError

LINE: Final = {"id": "new", "kind": "line", "fields": {"text": "o"}, "children": []}
BAND: Final = {"id": "band", "kind": "band", "fields": {}, "children": [LINE]}


def _of(kind: str, tree: Node, place: int = 0) -> str:
    return [node.id for node in walk(tree) if node.kind == kind][place]


def _odd(tree: Node) -> list[dict[str, Any]]:
    """Return commands that make no sense, or only just."""
    section, strip, band, line = (_of(kind, tree) for kind in ("section", "strip", "band", "line"))
    inner = {"op": "insert", "parent": band}
    nodes: list[Any] = [
        {},
        {**LINE, "kind": "pick"},
        {**LINE, "kind": None},
        {**LINE, "kind": True},
        {**LINE, "kind": "it's a very long kind of part"},
        {**LINE, "id": ""},
        {**LINE, "id": 5},
        {**LINE, "id": "x" * 65},
        {**LINE, "id": "😀" * 64},
        {**LINE, "id": "piece"},
        {**LINE, "id": line},
        {**LINE, "fields": None},
        {**LINE, "fields": []},
        {**LINE, "fields": {"text": 4}},
        {**LINE, "fields": {"text": "o", "name": "x"}},
        {**LINE, "fields": {}},
        {**LINE, "children": [LINE]},
        {**LINE, "children": "parts"},
        {**LINE, "children": {}},
        {**LINE, "children": None},
        {**BAND, "children": ["o o o"]},
        {**BAND, "children": [LINE, LINE]},
        {**BAND, "children": [{**BAND, "id": "other"}]},
        {**BAND, "fields": {"lines": ["o"]}},
        {**BAND, "fields": {"lines": []}},
        BAND,
        LINE,
    ]
    return [
        *({**inner, "node": node} for node in nodes),
        {**inner, "parent": "gone", "node": LINE},
        {**inner, "after": "gone", "node": {**LINE, "id": "again"}},
        {**inner, "parent": line, "node": {**LINE, "id": "again"}},
        {"op": "insert", "parent": strip, "node": {**BAND, "id": "b1", "children": [{**LINE, "id": "l1"}]}},
        {"op": "insert", "parent": strip, "after": "b1", "node": {**BAND, "id": "b2", "children": []}},
        {"op": "set", "node": "gone", "field": "name", "value": "x"},
        {"op": "set", "node": line, "field": "text"},
        {"op": "set", "node": line, "field": "text", "value": 4},
        {"op": "set", "node": line, "field": "name", "value": "x"},
        {"op": "set", "node": band, "field": "lines", "value": []},
        {"op": "set", "node": "piece", "field": "sections.0", "value": []},
        {"op": "set", "node": band, "field": "lines_per_cm", "value": 4},
        {"op": "set", "node": "piece", "field": "a.b.c", "value": [1]},
        {"op": "set", "node": "piece", "field": "a.b.d", "null": True},
        {"op": "set", "node": "piece", "field": "a.b.x", "value": 0, "before": "c"},
        {"op": "set", "node": "piece", "field": "a.b.y", "value": "", "before": "gone"},
        {"op": "set", "node": "piece", "field": "a.b.z.q", "tidy": 2},
        {"op": "set", "node": "piece", "field": "a.b.c.e", "value": False},
        {"op": "set", "node": "piece", "field": "toString.name", "value": "x"},
        {"op": "set", "node": "piece", "field": "p.q.r", "value": 1},
        {"op": "set", "node": "piece", "field": "p.q.r", "tidy": 1},
        {"op": "set", "node": "piece", "field": "p.q.r", "value": 1},
        {"op": "set", "node": "piece", "field": "p.q.r", "tidy": 2},
        {"op": "lay", "line": band, "pick": 1, "token": "o"},
        {"op": "lay", "line": "gone", "pick": 1, "token": "o"},
        {"op": "lay", "line": line, "pick": 9, "token": "o"},
        {"op": "lay", "line": line, "pick": 1, "token": "o s"},
        {"op": "lay", "line": line, "pick": 1, "token": "bakc"},
        {"op": "remove", "node": "gone"},
        {"op": "remove", "node": "piece"},
        {"op": "move", "node": "piece", "parent": section},
        {"op": "move", "node": line, "parent": "gone"},
        {"op": "move", "node": line, "parent": band, "after": line},
        {"op": "move", "node": line, "parent": strip},
        {"op": "move", "node": band, "parent": strip, "after": "gone"},
        {"op": "move", "node": band, "parent": band},
        {"op": "together", "ops": [{"op": "remove", "node": "l1"}, {"op": "remove", "node": "l1"}]},
        {"op": "become", "tree": BAND},
        {"op": "become", "tree": {"id": "piece", "kind": "piece", "fields": {"weftline": 1}, "children": []}},
    ]


def _step(tree: Node, data: dict[str, Any]) -> tuple[Node, dict[str, Any]]:
    try:
        return apply(tree, command_of(data))[0], {"command": data}
    except PieceError as cause:
        return tree, {"command": data, "error": str(cause), "code": cause.code}


def _run(tree: Node, commands: list[dict[str, Any]]) -> dict[str, Any]:
    start, steps = tree_data(tree), []
    for data in commands:
        tree, step = _step(tree, data)
        steps.append(step)
    return {"tree": start, "steps": steps, "after": tree_data(tree)}


def _random_run(rng: random.Random, number: int) -> dict[str, Any]:
    tree = draft({**random_project(rng), "name": "Mat", "warp": {"edge": "none"}, "yarns": dict(YARNS)})
    start, steps = tree_data(tree), []
    for at in range(25):
        data = command_data(random_command(rng, tree, f"r{number}-{at}"))
        changed, step = _step(tree, json.loads(json.dumps(data)))
        tree = changed
        steps.append(step)
        if not any(node.kind == "band" for node in walk(tree)) or not path_to(tree, "piece"):
            break
    return {"tree": start, "steps": steps, "after": tree_data(tree)}


def drafts() -> dict[str, Any]:
    """Return drafts, commands one after the other, and what comes of them."""
    rng = random.Random(3)
    odd = draft({**random_project(rng), "name": "Mat"})
    return {"runs": [_run(odd, _odd(odd)), *(_random_run(rng, number) for number in range(24))]}
