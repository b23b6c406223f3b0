"""What services answer: kept, or asked because two devices changed the same; and short accounts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.piece.entries import Entry


@dataclass(frozen=True, slots=True)
class Kept:
    """It is on disk.

    Parameters
    ----------
    stream : str
        The piece, or another stream.
    seq : int
        Place of the entry.
    is_new : bool
        False where the stream had an entry with this id already; nothing was appended.
    """

    stream: str
    seq: int
    is_new: bool = True


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that two devices changed.

    Parameters
    ----------
    what : str
        ``pick``, ``field``, ``place``, ``into``, ``gone`` or ``all``, as in ``core.piece.clashes``; ``document``.
    node : str
        Id of the part.
    key : str
        Number of the pick or name of the field; empty for the part as a whole.
    now : object
        What it is now, ``None`` where it is not there.
    asked : object
        What this change would make of it, ``None`` where it would take it away.
    """

    what: str
    node: str
    key: str
    now: Any
    asked: Any


@dataclass(frozen=True, slots=True)
class Asked:
    """Nothing was appended: another device changed the same, and the weaver chooses.

    Parameters
    ----------
    stream : str
    seq : int
        Last entry now; sent again with this as its base, the change is made all the same.
    theirs : tuple of Entry
        The other devices' changes that clash with this one.
    values : tuple of Difference
        Both values of each thing that clashes.
    """

    stream: str
    seq: int
    theirs: tuple[Entry, ...]
    values: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """An entry that is about to be appended: what is not known of it beforehand."""

    kind: str
    base_seq: int
    payload: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Summary:
    """A piece in a list."""

    id: str
    name: str
    updated: str
    put_away: bool
    seq: int


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One entry as people read it."""

    seq: int
    at: str
    device: str
    kind: str
    name: str


@dataclass(frozen=True, slots=True)
class Reversible:
    """A change that can be undone or redone: the entry, and its name as in "Undo lay pick"."""

    of: str
    seq: int
    name: str
    nodes: tuple[str, ...]
