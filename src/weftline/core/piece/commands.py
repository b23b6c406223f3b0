"""Commands: what changes a draft, and what undoes it again.

Four small verbs on nodes and one on picks cover every change: ``set`` a field, ``insert``,
``remove`` and ``move`` a node, ``lay`` a pick; ``together`` does several as one, ``become`` takes on
a whole tree (an earlier version). ``apply`` returns the new draft and the inverse command.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter

from weftline.core.piece.draft import KINDS, LINE, Node, path_to, tree_data, tree_of, walk, with_node
from weftline.core.piece.values import Value
from weftline.core.weave.line import WrittenLine, read_line
from weftline.errors import PieceError

Id = Annotated[str, Field(min_length=1, max_length=64)]


class NotThereError(PieceError):
    """A command speaks of a node that is no longer in the draft."""

    code = "node-not-there"


class Set(Value):
    """Set a field of a node; ``null`` takes it away. Dots reach into objects: ``warp.sett_per_cm``."""

    op: Literal["set"] = "set"
    node: Id
    field: Annotated[str, Field(min_length=1, max_length=200)]
    value: Any = None


class Lay(Value):
    """Lay a pick: put a yarn, ``a+b`` or ``-`` into one shed of a written line."""

    op: Literal["lay"] = "lay"
    line: Id
    pick: Annotated[int, Field(ge=1, le=64, description="Place of the shed in the order of the band's sheds.")]
    token: Annotated[str, Field(min_length=1, max_length=200)]


class Insert(Value):
    """Insert a node, with everything in it, after a sibling; after nothing means first."""

    op: Literal["insert"] = "insert"
    parent: Id
    after: Id | None = None
    node: dict[str, Any]


class Remove(Value):
    """Remove a node and everything in it."""

    op: Literal["remove"] = "remove"
    node: Id


class Move(Value):
    """Move a node behind another, here or under another parent of the same kind."""

    op: Literal["move"] = "move"
    node: Id
    parent: Id
    after: Id | None = None


class Become(Value):
    """Take on a whole tree."""

    op: Literal["become"] = "become"
    tree: dict[str, Any]


class Together(Value):
    """Several commands as one."""

    op: Literal["together"] = "together"
    ops: Annotated[tuple[Command, ...], Field(strict=False, min_length=1, max_length=10_000)]


Command = Annotated[Set | Lay | Insert | Remove | Move | Become | Together, Field(discriminator="op")]
Together.model_rebuild()
_COMMANDS: TypeAdapter[Command] = TypeAdapter(Command)


def command_of(data: Mapping[str, Any]) -> Command:
    """Read a command from data.

    Raises
    ------
    pydantic.ValidationError
        For data that is no command.
    """
    return _COMMANDS.validate_python(data)


def apply(draft: Node, command: Command) -> tuple[Node, Command]:
    """Apply a command.

    Returns
    -------
    draft : Node
        The changed draft; the old one stays as it was.
    inverse : Command
        What brings the old one back.

    Raises
    ------
    NotThereError
        For a node that is not in the draft.
    PieceError
        For a change that makes no sense: a line in a strip, a pick beyond the sheds of its line.
    """
    match command:
        case Set():
            return _set(draft, command)
        case Lay():
            return _lay(draft, command)
        case Insert():
            return _insert(draft, command)
        case Remove():
            return _remove(draft, command)
        case Move():
            return _move(draft, command)
        case Become():
            return tree_of(command.tree), Become(tree=tree_data(draft))
        case Together():
            inverses: list[Command] = []
            for one in command.ops:
                draft, inverse = apply(draft, one)
                inverses.append(inverse)
            return draft, Together(ops=tuple(reversed(inverses)))


def _found(draft: Node, node_id: str) -> tuple[Node, ...]:
    path = path_to(draft, node_id)
    if not path:
        raise NotThereError("", f"the part {node_id} is no longer in this piece")
    return path


def _set(draft: Node, command: Set) -> tuple[Node, Command]:
    path = _found(draft, command.node)
    fields, before = _with_field(path[-1].fields, command.field.split("."), command.value)
    changed = with_node(path, replace(path[-1], fields=fields))
    return changed, Set(node=command.node, field=command.field, value=before)


def _with_field(fields: Mapping[str, Any], names: list[str], value: Any) -> tuple[dict[str, Any], Any]:
    """Return fields with one changed, and what it was; objects left empty on the way go too."""
    name, rest = names[0], names[1:]
    before = fields.get(name)
    if rest:
        inner = before if isinstance(before, Mapping) else {}
        new, before = _with_field(inner, rest, value)
        value = new or None
    if value is None:
        return {key: old for key, old in fields.items() if key != name}, before
    return {**fields, name: value}, before


def _lay(draft: Node, command: Lay) -> tuple[Node, Command]:
    path = _found(draft, command.line)
    if path[-1].kind != LINE:
        raise PieceError("", f"{command.line} is a {path[-1].kind}, and only a line has picks")
    line = read_line(path[-1].fields["text"])
    if command.pick > len(line.tokens):
        raise PieceError("", f"this line has {len(line.tokens)} sheds, so there is no pick {command.pick}")
    place = command.pick - 1
    tokens = (*line.tokens[:place], command.token, *line.tokens[place + 1 :])
    text = WrittenLine(tokens, line.back, line.times).text()
    changed = with_node(path, replace(path[-1], fields={"text": text}))
    return changed, Lay(line=command.line, pick=command.pick, token=line.tokens[place])


def _place_after(parent: Node, after: str | None) -> int:
    if after is None:
        return 0
    places = [place for place, child in enumerate(parent.children) if child.id == after]
    if not places:
        raise NotThereError("", f"the part {after} is no longer in this piece")
    return places[0] + 1


def _with_child(draft: Node, parent_id: str, after: str | None, child: Node) -> Node:
    path = _found(draft, parent_id)
    parent = path[-1]
    if KINDS.index(child.kind) != KINDS.index(parent.kind) + 1:
        raise PieceError("", f"a {child.kind} cannot stand in a {parent.kind}")
    place = _place_after(parent, after)
    return with_node(path, replace(parent, children=(*parent.children[:place], child, *parent.children[place:])))


def _insert(draft: Node, command: Insert) -> tuple[Node, Command]:
    node = tree_of(command.node)
    known = {one.id for one in walk(draft)}
    new = [one.id for one in walk(node)]
    if len(set(new)) != len(new) or known.intersection(new):
        raise PieceError("", "a part is put in under an id that is taken; give it a fresh one")
    return _with_child(draft, command.parent, command.after, node), Remove(node=node.id)


def _without(draft: Node, node_id: str) -> tuple[Node, Node, str, str | None]:
    """Return the draft without a node, the node, its parent's id and the sibling before it."""
    path = _found(draft, node_id)
    if len(path) == 1:
        raise PieceError("", "the piece itself cannot be taken away or moved")
    parent, node = path[-2], path[-1]
    place = parent.children.index(node)
    before = parent.children[place - 1].id if place else None
    left = replace(parent, children=(*parent.children[:place], *parent.children[place + 1 :]))
    return with_node(path[:-1], left), node, parent.id, before


def _remove(draft: Node, command: Remove) -> tuple[Node, Command]:
    changed, node, parent, before = _without(draft, command.node)
    return changed, Insert(parent=parent, after=before, node=tree_data(node))


def _move(draft: Node, command: Move) -> tuple[Node, Command]:
    without, node, parent, before = _without(draft, command.node)
    changed = _with_child(without, command.parent, command.after, node)
    return changed, Move(node=command.node, parent=parent, after=before)
