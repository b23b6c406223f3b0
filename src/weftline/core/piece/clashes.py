"""Which changes of two devices clash and must be asked about; all others merge.

Two changes clash when both change the same pick or the same field, or when one lays a pick of a
line that the other rewrote, moved or took away (or works inside a part that the other took away).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.piece.commands import Become, Insert, Lay, Move, Remove, Set, Together
from weftline.core.piece.draft import ROOT, path_to

if TYPE_CHECKING:
    from weftline.core.piece.commands import Command
    from weftline.core.piece.draft import Node

PICK, FIELD, PLACE, GONE, ALL = "pick", "field", "place", "gone", "all"


@dataclass(frozen=True, slots=True)
class Touch:
    """What a command changes.

    Parameters
    ----------
    what : str
        ``pick``, ``field``, ``place`` (moved), ``gone`` (taken away) or ``all``.
    node : str
        Id of the part.
    key : tuple of str
        Number of the pick or names of the field.
    inside : frozenset of str
        Ids of the part and of everything that it stands in.
    """

    what: str
    node: str
    key: tuple[str, ...]
    inside: frozenset[str]


def touches(draft: Node, command: Command) -> tuple[Touch, ...]:
    """Return what a command touches in the draft that it was made for."""
    match command:
        case Set():
            return (_touch(draft, FIELD, command.node, tuple(command.field.split("."))),)
        case Lay():
            return (_touch(draft, PICK, command.line, (str(command.pick),)),)
        case Insert():
            return (_touch(draft, "into", command.parent, ()),)
        case Remove():
            return (_touch(draft, GONE, command.node, ()),)
        case Move():
            return (_touch(draft, PLACE, command.node, ()), _touch(draft, "into", command.parent, ()))
        case Become():
            return (_touch(draft, ALL, ROOT, ()),)
        case Together():
            return tuple(touch for one in command.ops for touch in touches(draft, one))


def _touch(draft: Node, what: str, node: str, key: tuple[str, ...]) -> Touch:
    return Touch(what, node, key, frozenset(step.id for step in path_to(draft, node)) | {node})


def clash(one: Touch, other: Touch) -> bool:
    """Return whether two touches of different devices must be asked about."""
    if ALL in (one.what, other.what):
        return True
    if one.what == GONE and one.node in other.inside:
        return True
    if other.what == GONE and other.node in one.inside:
        return True
    if one.node != other.node:
        return False
    kinds = {one.what, other.what}
    if kinds == {PICK}:
        return one.key == other.key
    if kinds == {FIELD}:
        shorter = min(len(one.key), len(other.key))
        return one.key[:shorter] == other.key[:shorter]
    return kinds in ({PLACE}, {PICK, PLACE}, {PICK, FIELD})
