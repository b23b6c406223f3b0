"""The entries that a piece is the fold of: nothing is overwritten, and any number of them is a version.

A change carries ``op`` and ``inverse``: the command as it was applied, and what undid it there. Undo
and redo are changes too, with ``of``: the id of the entry that they take back. Kinds that change
neither the draft nor the life of a piece are passed over, so that others may use the same stream.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from weftline.core.piece.commands import apply, command_of
from weftline.core.piece.draft import PIECE, ROOT, Node, tree_data, tree_of

if TYPE_CHECKING:
    from collections.abc import Iterable

CREATE, CHANGE, UNDO, REDO, RESTORE = "create", "change", "undo", "redo", "restore"
PUT_AWAY, BRING_BACK = "put-away", "bring-back"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a stream.

    Parameters
    ----------
    stream : str
        Id of the piece, or the name of another stream.
    seq : int
        Place in the stream, from 1 and without holes.
    id : str
        Given by the device; unique in the stream.
    kind : str
    base_seq : int
        The last entry that the device knew.
    device : str
    at : str
        Date and time in UTC, as in ISO 8601.
    payload : mapping
        JSON.
    """

    stream: str
    seq: int
    id: str
    kind: str
    base_seq: int
    device: str
    at: str
    payload: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class PieceState:
    """A piece after so many entries.

    Parameters
    ----------
    seq : int
        How many; 0 is a piece that was never made.
    draft : Node
    put_away : bool
    at : str
        When the last of them came.
    changed : int
        The last of them that changed the draft: which version of the plan it is.
    """

    seq: int = 0
    draft: Node = field(default_factory=lambda: Node(ROOT, PIECE, {}))
    put_away: bool = False
    at: str = ""
    changed: int = 0

    @property
    def name(self) -> str:
        """What the piece is called."""
        return str(self.draft.fields.get("name", "Untitled"))


def step(state: PieceState, entry: Entry) -> PieceState:
    """Return the state after one more entry.

    Raises
    ------
    ValueError
        For an entry that is not the next one.
    """
    if entry.seq != state.seq + 1:
        raise ValueError(f"entry {entry.seq} cannot follow entry {state.seq}")
    draft = _draft_after(state.draft, entry)
    return replace(
        state,
        seq=entry.seq,
        at=entry.at,
        draft=draft,
        put_away={PUT_AWAY: True, BRING_BACK: False}.get(entry.kind, state.put_away),
        changed=state.changed if draft is state.draft else entry.seq,
    )


def _draft_after(draft: Node, entry: Entry) -> Node:
    if entry.kind == CREATE:
        return tree_of(entry.payload["tree"])
    if entry.kind in (CHANGE, UNDO, REDO, RESTORE) and entry.payload.get("op") is not None:
        return apply(draft, command_of(entry.payload["op"]))[0]
    return draft


def fold(entries: Iterable[Entry], state: PieceState | None = None) -> PieceState:
    """Return the state after these entries, from the beginning or from an earlier state."""
    state = state or PieceState()
    for entry in entries:
        state = step(state, entry)
    return state


def state_data(state: PieceState) -> dict[str, Any]:
    """Return a state as data."""
    return {
        "seq": state.seq,
        "at": state.at,
        "put_away": state.put_away,
        "changed": state.changed,
        "draft": tree_data(state.draft),
    }


def state_of(data: Mapping[str, Any]) -> PieceState:
    """Return the state of ``state_data``."""
    return PieceState(data["seq"], tree_of(data["draft"]), data["put_away"], data["at"], data["changed"])
