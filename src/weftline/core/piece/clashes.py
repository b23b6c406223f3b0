"""Which changes of two devices clash and must be asked about; all others merge.

Two changes clash when both change the same pick or the same field, or when one lays a pick of a
line that the other rewrote, moved or took away (or works inside a part that the other took away).
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.piece.commands import Become, Insert, Lay, Move, Remove, Set, Together, singles
from weftline.core.piece.draft import ROOT, tree_of, walk

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weftline.core.piece.commands import Command

PICK, FIELD, PLACE, INTO, GONE, ALL = "pick", "field", "place", "into", "gone", "all"


@dataclass(frozen=True, slots=True)
class Touch:
    """What a command changes.

    Parameters
    ----------
    what : str
        ``pick``, ``field``, ``place`` (moved), ``into`` (its parts became more or fewer), ``gone``
        (taken away) or ``all``.
    node : str
        Id of the part.
    key : tuple of str
        Number of the pick or names of the field.
    within : frozenset of str
        Of a part that was taken away: ids of everything in it, its own too.
    """

    what: str
    node: str
    key: tuple[str, ...] = ()
    within: frozenset[str] = frozenset()


def touches(command: Command, inverse: Command | None = None) -> tuple[Touch, ...]:
    """Return what a command touches.

    Parameters
    ----------
    command : Command
    inverse : Command, optional
        What undid it where it was applied: it knows what went with a part that was taken away.
    """
    ones = singles(command)
    backs: Sequence[Command | None] = [None] * len(ones) if inverse is None else singles(inverse)[::-1]
    return tuple(touch for one, back in zip(ones, backs, strict=True) for touch in _touches(one, back))


def _touches(command: Command, inverse: Command | None) -> tuple[Touch, ...]:
    match command:
        case Set():
            return (Touch(FIELD, command.node, tuple(command.field.split("."))),)
        case Lay():
            return (Touch(PICK, command.line, (str(command.pick),)),)
        case Insert():
            return (Touch(INTO, command.parent),)
        case Remove():
            return _taken_away(command, inverse)
        case Move():
            old = (Touch(INTO, inverse.parent),) if isinstance(inverse, Move) else ()
            return (Touch(PLACE, command.node), Touch(INTO, command.parent), *old)
        case Become() | Together():
            return (Touch(ALL, ROOT),)


def _taken_away(command: Remove, inverse: Command | None) -> tuple[Touch, ...]:
    if not isinstance(inverse, Insert):
        return (Touch(GONE, command.node, within=frozenset([command.node])),)
    within = frozenset(one.id for one in walk(tree_of(inverse.node)))
    return (Touch(GONE, command.node, within=within), Touch(INTO, inverse.parent))


def clashing(mine: Iterable[Touch], theirs: Iterable[Touch]) -> tuple[Touch, ...]:
    """Return which of my touches must be asked about, given those of another device."""
    by_node: dict[str, list[Touch]] = defaultdict(list)
    for touch in theirs:
        by_node[touch.node].append(touch)
    every = [touch for touches in by_node.values() for touch in touches]
    gone = frozenset[str]().union(*(touch.within for touch in every))
    total = any(touch.what == ALL for touch in every)
    return tuple(
        touch
        for touch in mine
        if total
        or (touch.what == ALL and every)
        or touch.node in gone
        or not touch.within.isdisjoint(by_node)
        or any(_same(touch, other) for other in by_node.get(touch.node, ()))
    )


def _same(one: Touch, other: Touch) -> bool:
    """Return whether two touches of the same part change the same thing in it."""
    kinds = {one.what, other.what}
    if kinds == {PICK}:
        return one.key == other.key
    if kinds == {FIELD}:
        shorter = min(len(one.key), len(other.key))
        return one.key[:shorter] == other.key[:shorter]
    return kinds in ({PLACE}, {PICK, PLACE}, {PICK, FIELD})
