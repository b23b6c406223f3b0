"""What a change meets when it arrives late: clashes, and places whose neighbour is gone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.piece.clashes import FIELD, PICK, clashing, touches
from weftline.core.piece.commands import (
    Command,
    Insert,
    Lay,
    Move,
    Set,
    Together,
    apply,
    command_of,
    singles,
)
from weftline.core.piece.draft import Node, path_to, tree_data
from weftline.core.weave.line import read_line
from weftline.errors import PieceError
from weftline.services.answers import Difference

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weftline.core.piece.clashes import Touch
    from weftline.core.piece.entries import Entry


@dataclass(frozen=True, slots=True)
class Done:
    """A change that was made: its entry, the command and what undoes it."""

    entry: Entry
    op: Command
    inverse: Command


def done_in(entries: Iterable[Entry]) -> list[Done]:
    """Return the changes among entries."""
    return [
        Done(entry, command_of(entry.payload["op"]), command_of(entry.payload["inverse"]))
        for entry in entries
        if entry.payload.get("op") is not None
    ]


@dataclass(frozen=True, slots=True)
class Merge:
    """How a change comes out in the piece as it is now.

    Parameters
    ----------
    op, inverse : Command or None
        As applied; ``None`` where it cannot be, and ``trouble`` says why.
    draft : Node
        The piece afterwards.
    trouble : PieceError or None
    theirs : tuple of Entry
        Other devices' changes that clash with it.
    values : tuple of Difference
        Both values of everything that clashes.
    """

    op: Command
    inverse: Command | None
    draft: Node
    trouble: PieceError | None
    theirs: tuple[Entry, ...]
    values: tuple[Difference, ...]


def merge(draft: Node, command: Command, since: Sequence[Done], device: str, seen: int = 0) -> Merge:
    """Return what a change comes to.

    Parameters
    ----------
    draft : Node
        The piece as it is now.
    command : Command
        Made for the piece as it was before ``since``.
    since : sequence of Done
        Every change after that, of all devices.
    device : str
        Whose command it is; its own changes never clash.
    seen : int
        Changes up to this place were looked at already and do not clash either.
    """
    op, inverse, after, trouble = command, None, draft, None
    try:
        after, op, inverse = _apply(draft, command, _taken_out(since))
    except PieceError as cause:
        trouble = cause
    mine = touches(op, inverse)
    theirs: list[Entry] = []
    both: dict[Touch, None] = {}
    for done in since:
        if done.entry.device != device and done.entry.seq > seen:
            found = clashing(mine, touches(done.op, done.inverse))
            if found:
                theirs.append(done.entry)
                both.update(dict.fromkeys(found))
    values = tuple(_difference(draft, op, touch) for touch in both)
    return Merge(op, inverse, after, trouble, tuple(theirs), values)


Places = dict[tuple[str, str], str | None]
"""By parent and part: the sibling that it stood behind when it was last taken out of there."""


def _taken_out(since: Iterable[Done]) -> Places:
    places: Places = {}
    for done in since:
        for inverse in reversed(singles(done.inverse)):
            if isinstance(inverse, Insert):
                places[inverse.parent, inverse.node["id"]] = inverse.after
            elif isinstance(inverse, Move):
                places[inverse.parent, inverse.node] = inverse.after
    return places


def _apply(draft: Node, command: Command, places: Places) -> tuple[Node, Command, Command]:
    """Apply with every place settled; returns the draft, the command as applied and its inverse."""
    if not isinstance(command, Together):
        settled = _settled(draft, command, places)
        after, inverse = apply(draft, settled)
        return after, settled, inverse
    ops: list[Any] = []
    inverses: list[Any] = []
    for one in command.ops:
        draft, settled, inverse = _apply(draft, one, places)
        ops.append(settled)
        inverses.append(inverse)
    return draft, Together(ops=tuple(ops)), Together(ops=tuple(reversed(inverses)))


def _settled(draft: Node, command: Command, places: Places) -> Command:
    """Return the command with its sibling exchanged for the nearest earlier one that still stands there."""
    if not isinstance(command, Insert | Move) or command.after is None:
        return command
    path = path_to(draft, command.parent)
    if not path:
        return command
    siblings = [child.id for child in path[-1].children]
    if isinstance(command, Move) and command.node in siblings:
        place = siblings.index(command.node)
        places = {**places, (command.parent, command.node): siblings[place - 1] if place else None}
        siblings.remove(command.node)
    after: str | None = command.after
    passed: set[str | None] = set()
    while after is not None and after not in siblings:
        if after in passed or (command.parent, after) not in places:
            return command
        passed.add(after)
        after = places[command.parent, after]
    return command.model_copy(update={"after": after})


def _difference(draft: Node, command: Command, touch: Touch) -> Difference:
    path = path_to(draft, touch.node)
    now = path[-1] if path else None
    made = _last(command, touch)
    asked: Any = None
    if isinstance(made, Lay):
        return Difference(PICK, touch.node, touch.key[0], _token(now, made.pick), made.token)
    if isinstance(made, Set):
        return Difference(FIELD, touch.node, made.field, _value(now, touch.key), made.value)
    if isinstance(made, Move):
        asked = {"parent": made.parent, "after": made.after}
        return Difference(touch.what, made.node, "", _place(path_to(draft, made.node)), asked)
    if isinstance(made, Insert):
        asked = dict(made.node)
    return Difference(touch.what, touch.node, "", None if now is None else tree_data(now), asked)


def _last(command: Command, touch: Touch) -> Command | None:
    """Return the last of the commands that made this touch."""
    return next((one for one in reversed(singles(command)) if touch in touches(one)), None)


def _token(line: Node | None, pick: int) -> str | None:
    tokens = () if line is None else read_line(line.fields["text"]).tokens
    return tokens[pick - 1] if pick <= len(tokens) else None


def _value(node: Node | None, names: tuple[str, ...]) -> Any:
    value: Any = {} if node is None else node.fields
    for name in names:
        value = value.get(name) if isinstance(value, dict) else None
    return value


def _place(path: tuple[Node, ...]) -> dict[str, str | None] | None:
    if len(path) < 2:
        return None
    siblings = [child.id for child in path[-2].children]
    place = siblings.index(path[-1].id)
    return {"parent": path[-2].id, "after": siblings[place - 1] if place else None}
