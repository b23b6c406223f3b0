"""The life of a piece: made, listed, found, copied, put away and brought back, taken in and given out."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from weftline.core.piece.commands import Set
from weftline.core.piece.draft import ROOT, draft_of, tree_data
from weftline.core.piece.entries import BRING_BACK, CREATE, PUT_AWAY, PieceState, state_data, state_of, step
from weftline.core.weaving.log import THROWN
from weftline.errors import EntryError, OutOfPlaceError, SeveralError, quoted
from weftline.formats.native import dumps, loads
from weftline.services.answers import HistoryLine, Kept, Summary, Written
from weftline.services.naming import entry_name
from weftline.services.readable import read_draft
from weftline.services.requests import sender_of
from weftline.services.shelf import SHELF
from weftline.services.streams import Fold, Streams

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from weftline.core.piece.draft import Node
    from weftline.core.piece.entries import Entry
    from weftline.core.piece.values import Project
    from weftline.services.answers import Asked
    from weftline.services.ports import Cache, Clock, EntryLog, Ids
    from weftline.services.requests import Sender

PIECES = Fold(PieceState(), step, state_data, state_of)
SHORTEST_ID = 3
"""So many characters of an id are enough to name a piece."""
SHOWN = 5


class Pieces:
    """Every piece of the store.

    Parameters
    ----------
    log : EntryLog
    cache : Cache
    clock : Clock
    ids : Ids
    """

    def __init__(self, log: EntryLog, cache: Cache, clock: Clock, ids: Ids) -> None:
        self.streams = Streams(log, cache, clock, PIECES)
        self._cache = cache
        self._ids = ids

    def create(self, project: Project, device: str, entry_id: str | None = None, piece: str | None = None) -> Kept:
        """Make a piece of a project.

        Parameters
        ----------
        project : Project
        device : str
        entry_id : str, optional
            So that sending it again makes no second piece; needs ``piece`` too.
        piece : str, optional
            Id of the new piece.
        """
        draft = draft_of(project.model_dump(mode="json", exclude_unset=True), self._ids.new)
        return self._create(draft, {}, device, entry_id, piece)

    def _create(
        self, draft: Node, origin: dict[str, Any], device: str, entry_id: str | None, piece: str | None
    ) -> Kept:
        sender = sender_of(entry_id or self._ids.new(), device)
        stream = sender_of(piece or self._ids.new(), device).id
        if stream == SHELF:
            raise EntryError(f"a piece cannot have the id {SHELF}; choose another")

        def decide(state: PieceState) -> Written:
            if state.seq:
                raise EntryError(f"there is a piece with the id {quoted(stream)} already; choose another")
            read_draft(draft)
            return Written(CREATE, 0, {"tree": tree_data(draft), **origin})

        return self.streams.keep(stream, sender, decide)

    def duplicate(
        self, piece: str, device: str, name: str | None = None, entry_id: str | None = None, copy: str | None = None
    ) -> Kept:
        """Make a piece like this one; its name is ``Mat (copy)`` if none is given."""
        state = self.open(piece)
        draft = state.draft
        named = Set(node=ROOT, field="name", value=name or f"{state.name[:190]} (copy)")
        fields = {**draft.fields, "name": named.value}
        fields.pop("id", None)
        origin = {"from": {"piece": piece, "seq": state.seq}}
        return self._create(type(draft)(draft.id, draft.kind, fields, draft.children), origin, device, entry_id, copy)

    def put_away(self, piece: str, device: str, entry_id: str | None = None) -> Kept:
        """Put a piece away; nothing of it is lost."""
        return self._life(piece, PUT_AWAY, device, entry_id)

    def bring_back(self, piece: str, device: str, entry_id: str | None = None) -> Kept:
        """Bring a piece back that was put away."""
        return self._life(piece, BRING_BACK, device, entry_id)

    def _life(self, piece: str, kind: str, device: str, entry_id: str | None) -> Kept:
        sender = sender_of(entry_id or self._ids.new(), device)

        def decide(state: PieceState) -> Written:
            return Written(kind, _there(piece, state).seq, {})

        return self.streams.keep(piece, sender, decide)

    def keep(self, piece: str, sender: Sender, decide: Callable[[PieceState], Written | Asked]) -> Kept | Asked:
        """Append what is decided to a piece that is there.

        Raises
        ------
        OutOfPlaceError
            For a piece that is not there.
        """

        def decide_there(state: PieceState) -> Written | Asked:
            return decide(_there(piece, state))

        return self.streams.keep(piece, sender, decide_there)

    def open(self, piece: str, seq: int | None = None) -> PieceState:
        """Return a piece as it is, or as it was after so many entries.

        Raises
        ------
        OutOfPlaceError
            For a piece or a version that is not there.
        """
        state = _there(piece, self.streams.now(piece) if piece != SHELF else PieceState())
        if seq == 0:
            raise OutOfPlaceError("versions are counted from 1")
        return state if seq is None or seq == state.seq else self.streams.at(piece, seq)

    def project(self, piece: str, seq: int | None = None) -> Project:
        """Return a piece as a project."""
        return read_draft(self.open(piece, seq).draft)

    def list(self, *, put_away: bool = False) -> Sequence[Summary]:
        """Return every piece, last changed first; those put away only if they are asked for."""
        kept = self._cache.summaries()
        found: list[Summary] = []
        fresh: dict[str, tuple[int, str]] = {}
        for stream, seq in self.heads().items():
            if stream == SHELF:
                continue
            known = kept.get(stream)
            summary = _summary_of(known[1]) if known is not None and known[0] == seq else None
            if summary is None:
                state = self.streams.now(stream)
                summary = Summary(stream, state.name, state.at, state.put_away, state.seq)
                fresh[stream] = (state.seq, _summary_text(summary))
            found.append(summary)
        if fresh:
            self._cache.keep_summaries(fresh)
        shown = [summary for summary in found if put_away or not summary.put_away]
        return sorted(shown, key=lambda summary: (summary.updated, summary.id), reverse=True)

    def find(self, words: str) -> str:
        """Return the id of the piece with this id, name, or beginning of an id.

        Raises
        ------
        OutOfPlaceError
            When there is none.
        SeveralError
            With a list, when there are several.
        """
        every = self.list(put_away=True)
        fits = (
            [one for one in every if one.id == words],
            [one for one in every if one.name == words and not one.put_away],
            [one for one in every if one.name.casefold() == words.casefold()],
            [one for one in every if len(words) >= SHORTEST_ID and one.id.startswith(words)],
        )
        found = next((some for some in fits if some), [])
        if not found:
            raise OutOfPlaceError(f"no piece is called {quoted(words)}")
        if len(found) > 1:
            listed = [f"{quoted(one.name)} {one.id} of {one.updated[:16].replace('T', ' ')}" for one in found[:SHOWN]]
            more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
            raise SeveralError(
                f"{quoted(words)} fits {len(found)} pieces, give the id of one: {', '.join(listed)}{more}"
            )
        return found[0].id

    def export(self, piece: str, seq: int | None = None) -> str:
        """Return a piece as the text of a project file."""
        return dumps(self.project(piece, seq))

    def import_file(
        self, text: str | bytes, device: str, entry_id: str | None = None, piece: str | None = None
    ) -> Kept:
        """Make a piece of a project file.

        Raises
        ------
        PieceError
            When it holds no piece that can be followed.
        """
        return self.create(loads(text), device, entry_id, piece)

    def history(self, piece: str) -> Sequence[HistoryLine]:
        """Return what happened to a piece, in order; throws that follow each other are one line, by the last of them."""
        self.open(piece)
        found: list[HistoryLine] = []
        throws = 0
        for entry in self.streams.log.entries_after(piece, 0):
            line = HistoryLine(entry.seq, entry.at, entry.device, entry.kind, entry_name(entry))
            goes_on = entry.kind == THROWN and found and (found[-1].kind, found[-1].device) == (THROWN, entry.device)
            throws = (throws if goes_on else 0) + (len(entry.payload["throws"]) if entry.kind == THROWN else 0)
            if goes_on:
                found[-1] = replace(line, name=f"weave {throws} throws")
            else:
                found.append(line)
        return found

    def heads(self) -> Mapping[str, int]:
        """Return the last place of every stream, the shelf's too."""
        return self.streams.log.heads()

    def entries_after(self, piece: str, seq: int, limit: int | None = None) -> Sequence[Entry]:
        """Return the entries after a place, for whoever keeps up with a piece."""
        return self.streams.log.entries_after(piece, seq, limit)


def _there(piece: str, state: PieceState) -> PieceState:
    if not state.seq or piece == SHELF:
        raise OutOfPlaceError(f"no piece has the id {quoted(piece)}")
    return state


def _summary_text(summary: Summary) -> str:
    return json.dumps([summary.id, summary.name, summary.updated, summary.put_away, summary.seq])


def _summary_of(text: str) -> Summary | None:
    try:
        piece, name, updated, put_away, seq = json.loads(text)
    except (ValueError, TypeError):
        return None  # a cache that cannot be read is no cache
    return Summary(piece, name, updated, put_away, seq)
