"""Changes of a piece: made, asked about where devices clash, undone, redone, taken back to a version."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.piece.clashes import touches
from weftline.core.piece.commands import Become, Set, command_data, command_of
from weftline.core.piece.draft import ROOT, tree_data
from weftline.core.piece.entries import CHANGE, REDO, RESTORE, UNDO
from weftline.errors import EntryError, NothingLeftError
from weftline.services.answers import Asked, Reversible, Written
from weftline.services.merging import done_in, merge
from weftline.services.naming import change_name
from weftline.services.readable import read_draft
from weftline.services.requests import Change, payload_data
from weftline.services.undoing import Trails

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.piece.commands import Command
    from weftline.core.piece.draft import Node
    from weftline.core.piece.entries import Entry, PieceState
    from weftline.services.answers import Kept
    from weftline.services.merging import Merge
    from weftline.services.pieces import Pieces
    from weftline.services.requests import Reversal


class Designing:
    """Changes of pieces.

    Parameters
    ----------
    pieces : Pieces
    """

    def __init__(self, pieces: Pieces) -> None:
        self._pieces = pieces
        self._log = pieces.streams.log
        self._trails = Trails(self._log)

    def change(self, piece: str, change: Change, look: Callable[[Node], None] | None = None) -> Kept | Asked:
        """Make a change.

        Parameters
        ----------
        piece : str
        change : Change
        look : callable, optional
            Shown the piece as it is when nothing can come in between any more; what it raises stops the change.

        Returns
        -------
        Kept
            Where it is kept; it was merged with whatever others did meanwhile.
        Asked
            Nothing was kept: another device changed the same since ``base_seq``.

        Raises
        ------
        PieceError
            For a change that makes no sense, or would make the piece unreadable.
        EntryTooLargeError
            Over 4 MB.
        EntryError
            For a base that the piece has not come to yet.
        """
        payload_data(command_data(change.command))

        def decide(state: PieceState) -> Written | Asked:
            if look is not None:
                look(state.draft)
            return self._decide(piece, state, change, CHANGE, {})

        return self._pieces.keep(piece, change, decide)

    def rename(self, piece: str, name: str, change_id: str, device: str, base_seq: int) -> Kept | Asked:
        """Give a piece another name."""
        command = Set(node=ROOT, field="name", value=name)
        return self.change(piece, Change(id=change_id, device=device, base_seq=base_seq, command=command))

    def restore(self, piece: str, seq: int, change_id: str, device: str, base_seq: int) -> Kept | Asked:
        """Make a piece what it was after so many entries; what came since stays in its history."""
        tree = tree_data(self._pieces.open(piece, seq).draft)
        change = Change(id=change_id, device=device, base_seq=base_seq, command=Become(tree=tree))
        return self._pieces.keep(
            piece, change, lambda state: self._decide(piece, state, change, RESTORE, {"version": seq})
        )

    def undo(self, piece: str, reversal: Reversal) -> Kept | Asked:
        """Take back the last change of this device that was not taken back yet.

        Raises
        ------
        NothingLeftError
            When there is none.
        PieceError
            When taking it back would make the piece unreadable.
        """
        return self._reverse(piece, reversal, UNDO)

    def redo(self, piece: str, reversal: Reversal) -> Kept | Asked:
        """Make again the last change that this device took back, unless it made another since.

        Raises
        ------
        NothingLeftError
            When there is none.
        PieceError
            When making it again would make the piece unreadable.
        """
        return self._reverse(piece, reversal, REDO)

    def undoable(self, piece: str, device: str) -> Reversible | None:
        """Return what undo would take back."""
        return _reversible(self._last(piece, device, UNDO))

    def redoable(self, piece: str, device: str) -> Reversible | None:
        """Return what redo would make again."""
        return _reversible(self._last(piece, device, REDO))

    def _decide(
        self, piece: str, state: PieceState, change: Change, kind: str, more: dict[str, Any]
    ) -> Written | Asked:
        if change.base_seq > state.seq:
            raise EntryError(f"base_seq {change.base_seq} is not there yet, the last entry is {state.seq}; fetch again")
        since = done_in(self._since(piece, change.base_seq, state.seq))
        found = merge(state.draft, change.command, since, change.device)
        if found.theirs:
            return Asked(piece, state.seq, found.theirs, found.values)
        payload = _payload(found, change.name or change_name(state.draft, found.op))
        return Written(kind, change.base_seq, {**payload, **more})

    def _reverse(self, piece: str, reversal: Reversal, kind: str) -> Kept | Asked:
        def decide(state: PieceState) -> Written | Asked:
            target = self._last(piece, reversal.device, kind)
            if target is None:
                raise NothingLeftError(f"nothing of this device is left to {kind}")
            about = {"of": target.id, "name": target.payload.get("name", "")}
            target = self._real(piece, target)
            if reversal.choice == "theirs" or target.payload.get("op") is None:
                return Written(kind, state.seq, {**about, "op": None, "inverse": None})
            since = done_in(self._since(piece, target.seq, state.seq))
            seen = min(reversal.base_seq, state.seq) if reversal.choice == "mine" else 0
            found = merge(state.draft, command_of(target.payload["inverse"]), since, reversal.device, seen)
            if found.theirs:
                return Asked(piece, state.seq, found.theirs, found.values)
            return Written(kind, state.seq, {**about, **_payload(found, about["name"])})

        return self._pieces.keep(piece, reversal, decide)

    def _real(self, piece: str, target: Entry) -> Entry:
        """Return the change itself, where it was left as it is and that was taken back again."""
        while target.payload.get("op") is None:
            left = self._log.entry(piece, target.payload.get("of", ""))
            if left is None or left.payload.get("op") is not None:
                return target
            target = self._log.entry(piece, left.payload.get("of", "")) or target
        return target

    def _since(self, piece: str, base_seq: int, seq: int) -> list[Entry]:
        return [] if base_seq == seq else list(self._log.entries_after(piece, base_seq, seq - base_seq))

    def _last(self, piece: str, device: str, kind: str) -> Entry | None:
        """Return the entry that undo or redo would take back."""
        seq = self._trails.last(piece, device, kind)
        return None if seq is None else self._log.entries_after(piece, seq - 1, 1)[0]


def _payload(found: Merge, name: str) -> dict[str, Any]:
    """Return the payload of a change that is to be kept.

    Raises
    ------
    PieceError
        For one that cannot be applied, or leaves no readable piece.
    """
    if found.trouble is not None or found.inverse is None:
        raise found.trouble or EntryError("this change cannot be made")
    read_draft(found.draft)
    return {"name": name, "op": command_data(found.op), "inverse": command_data(found.inverse)}


def _reversible(entry: Entry | None) -> Reversible | None:
    if entry is None:
        return None
    op: Command | None = None if entry.payload.get("op") is None else command_of(entry.payload["op"])
    nodes = () if op is None else tuple(dict.fromkeys(touch.node for touch in touches(op)))
    return Reversible(entry.id, entry.seq, str(entry.payload.get("name", "")), nodes)
