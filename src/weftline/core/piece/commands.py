"""Commands: what changes a draft, and what undoes it again.

Four small verbs on nodes and one on picks cover every change: ``set`` a field, ``insert``,
``remove`` and ``move`` a node, ``lay`` a pick; ``together`` does several as one, ``become`` takes on
a whole tree (an earlier version). ``apply`` returns the new draft and the inverse command.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter

from weftline.core.piece.draft import (
    CHILDREN,
    KINDS,
    LINE,
    MAX_ID,
    PIECE,
    Node,
    path_to,
    place_of,
    tree_data,
    tree_of,
    walk,
    with_node,
)
from weftline.core.piece.fields import FieldChange, changed_field
from weftline.core.piece.values import Value
from weftline.core.weave.line import LineTextError, read_line
from weftline.errors import PieceError

Id = Annotated[str, Field(min_length=1, max_length=MAX_ID)]
_WORD = re.compile(r"\S+")


class NotThereError(PieceError):
    """A command speaks of a node that is no longer in the draft."""

    code = "node-not-there"


class Set(Value):
    """Set a field of a node; no value takes it away. Dots reach into objects: ``warp.sett_per_cm``."""

    op: Literal["set"] = "set"
    node: Id
    field: Annotated[str, Field(min_length=1, max_length=200)]
    value: Any = None
    null: bool = Field(False, description="Without a value: write null instead of taking the field away.")
    tidy: Annotated[int, Field(ge=0, le=20)] = Field(0, description="So many objects around it go too if left empty.")
    before: Annotated[str, Field(max_length=200)] | None = Field(
        None, description="Key in front of which a new one goes."
    )


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


Single = Annotated[Set | Lay | Insert | Remove | Move, Field(discriminator="op")]


class Together(Value):
    """Several commands as one."""

    op: Literal["together"] = "together"
    ops: Annotated[tuple[Single, ...], Field(strict=False, min_length=1, max_length=10_000)]


Command = Annotated[Set | Lay | Insert | Remove | Move | Become | Together, Field(discriminator="op")]
_COMMANDS: TypeAdapter[Command] = TypeAdapter(Command)


def command_of(data: Mapping[str, Any]) -> Command:
    """Read a command from data.

    Raises
    ------
    pydantic.ValidationError
        For data that is no command.
    """
    return _COMMANDS.validate_python(data)


def command_data(command: Command) -> dict[str, Any]:
    """Return a command as data, without what stands at its default."""
    if isinstance(command, Together):
        return {"op": command.op, "ops": [command_data(one) for one in command.ops]}
    return {"op": command.op, **command.model_dump(exclude_defaults=True)}


def singles(command: Command) -> tuple[Command, ...]:
    """Return the commands that are done as one, or the command alone."""
    return command.ops if isinstance(command, Together) else (command,)


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
            tree = tree_of(command.tree)
            if tree.kind != PIECE:
                raise PieceError("", f"a piece cannot become a {tree.kind}")
            return tree, Become(tree=tree_data(draft))
        case Together():
            inverses: list[Any] = []
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
    node, names = path[-1], tuple(command.field.split("."))
    if node.kind == LINE and (names != ("text",) or not isinstance(command.value, str)):
        raise PieceError("", "a line has its text and nothing else")
    if names[0] == CHILDREN.get(node.kind):
        raise PieceError("", f"the {names[0]} of a {node.kind} are parts of their own: insert, move or remove them")
    change = FieldChange(names, command.value, command.null, command.tidy, command.before)
    fields, back = changed_field(node.fields, change)
    undone = Set(
        node=node.id, field=".".join(back.names), value=back.value, null=back.null, tidy=back.tidy, before=back.before
    )
    return with_node(path, replace(node, fields=fields)), undone


def _lay(draft: Node, command: Lay) -> tuple[Node, Command]:
    """Exchange one word of the line, so that everything else in it stays as its weaver wrote it."""
    path = _found(draft, command.line)
    if path[-1].kind != LINE:
        raise PieceError("", f"{command.line} is a {path[-1].kind}, and only a line has picks")
    text = path[-1].fields["text"]
    try:
        tokens = read_line(text).tokens
        if command.pick > len(tokens):
            raise PieceError("", f"this line has {len(tokens)} sheds, so there is no pick {command.pick}")
        place = command.pick - 1
        word = list(_WORD.finditer(text))[place]
        laid = text[: word.start()] + command.token + text[word.end() :]
        if read_line(laid).tokens != (*tokens[:place], command.token, *tokens[place + 1 :]):
            raise PieceError("", f"{command.token[:20]!r} cannot be laid in one shed; lay a yarn, 'a+b' or '-'")
    except LineTextError as cause:
        raise PieceError("", str(cause)) from None
    changed = with_node(path, replace(path[-1], fields={"text": laid}))
    return changed, Lay(line=command.line, pick=command.pick, token=tokens[place])


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
    if any(one.id in known for one in walk(node)):
        raise PieceError("", "a part is put in under an id that is taken; give it a fresh one")
    return _with_child(draft, command.parent, command.after, node), Remove(node=node.id)


def _without(draft: Node, node_id: str) -> tuple[Node, Node, str, str | None]:
    """Return the draft without a node, the node, its parent's id and the sibling before it."""
    path = _found(draft, node_id)
    if len(path) == 1:
        raise PieceError("", "the piece itself cannot be taken away or moved")
    parent, node = path[-2], path[-1]
    place = place_of(parent, node)
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
