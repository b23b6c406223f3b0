"""The shelf: yarns, looms, samples and settings, as documents by collection and id in one stream."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from weftline.errors import EntryError, quoted
from weftline.services.answers import Asked, Difference, Written
from weftline.services.requests import MAX_PAYLOAD_BYTES, Sender, sender_of
from weftline.services.streams import Fold, Streams

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.entries import Entry
    from weftline.services.answers import Kept
    from weftline.services.ports import Cache, Clock, EntryLog

SHELF = "shelf"
"""Name of its stream; no piece has it for an id."""
COLLECTIONS = ("yarns", "looms", "samples", "settings", "motifs", "follows")
PUT, REMOVE = "put", "remove"

Documents = dict[str, dict[str, dict[str, Any]]]


@dataclass(frozen=True, slots=True)
class ShelfState:
    """What lies on the shelf after so many entries: documents by collection and id."""

    seq: int = 0
    documents: Documents = field(default_factory=lambda: {name: {} for name in COLLECTIONS})


def shelf_step(state: ShelfState, entry: Entry) -> ShelfState:
    """Return the shelf after one more entry; collections that are not known are kept too."""
    documents = state.documents
    if entry.kind in (PUT, REMOVE):
        name, document_id = entry.payload["collection"], entry.payload["id"]
        others = {key: value for key, value in documents.get(name, {}).items() if key != document_id}
        if entry.kind == PUT and document_id in documents.get(name, {}):
            others = {**documents[name], document_id: entry.payload["document"]}
        elif entry.kind == PUT:
            others[document_id] = entry.payload["document"]
        documents = {**documents, name: others}
    return replace(state, seq=entry.seq, documents=documents)


def _state_data(state: ShelfState) -> dict[str, Any]:
    return {"seq": state.seq, "documents": state.documents}


def _state_of(data: Mapping[str, Any]) -> ShelfState:
    return ShelfState(data["seq"], data["documents"])


class Shelf:
    """Yarns, looms, samples and settings.

    Parameters
    ----------
    log : EntryLog
    cache : Cache
    clock : Clock
    """

    def __init__(self, log: EntryLog, cache: Cache, clock: Clock) -> None:
        self._streams = Streams(log, cache, clock, Fold(ShelfState(), shelf_step, _state_data, _state_of))

    def put(
        self, place: tuple[str, str], document: Mapping[str, Any], sender: Sender, base_seq: int | None = None
    ) -> Kept | Asked:
        """Put a document onto the shelf, or another in its place.

        Parameters
        ----------
        place : (str, str)
            Collection and id.
        document : mapping
            JSON.
        sender : Sender
        base_seq : int, optional
            Last entry that the device knew; if another device changed the document since, it is asked.
        """
        return self._write(PUT, place, document, sender, base_seq)

    def remove(self, place: tuple[str, str], sender: Sender, base_seq: int | None = None) -> Kept | Asked:
        """Take a document from the shelf; one that is not there stays away."""
        return self._write(REMOVE, place, None, sender, base_seq)

    def _write(
        self,
        kind: str,
        place: tuple[str, str],
        document: Mapping[str, Any] | None,
        sender: Sender,
        base_seq: int | None,
    ) -> Kept | Asked:
        collection, document_id = place
        if collection not in COLLECTIONS:
            raise EntryError(f"the shelf has no {quoted(collection)}; it has {', '.join(COLLECTIONS)}")
        sender_of(document_id, sender.device)
        payload: dict[str, Any] = {"collection": collection, "id": document_id}
        if document is not None:
            payload["document"] = dict(document)

        def decide(state: ShelfState) -> Written | Asked:
            base = state.seq if base_seq is None else base_seq
            if base > state.seq:
                raise EntryError(f"base_seq {base} is not there yet, the last entry is {state.seq}; fetch again")
            theirs = self._theirs(payload, sender.device, base, state.seq)
            if theirs:
                now = state.documents.get(collection, {}).get(document_id)
                both = Difference("document", document_id, collection, now, payload.get("document"))
                return Asked(SHELF, state.seq, theirs, (both,))
            return Written(kind, base, payload)

        return self._streams.keep(SHELF, sender, decide, MAX_PAYLOAD_BYTES)

    def _theirs(self, payload: Mapping[str, Any], device: str, base: int, seq: int) -> tuple[Entry, ...]:
        entries = self._streams.log.entries_after(SHELF, base, seq - base) if base < seq else ()
        return tuple(
            entry
            for entry in entries
            if entry.device != device
            and (entry.payload.get("collection"), entry.payload.get("id")) == (payload["collection"], payload["id"])
        )

    def open(self, seq: int | None = None) -> ShelfState:
        """Return the shelf as it is, or as it was after so many entries."""
        return self._streams.now(SHELF) if seq is None else self._streams.at(SHELF, seq)

    def get(self, collection: str, document_id: str) -> Mapping[str, Any] | None:
        """Return a document."""
        return self.open().documents.get(collection, {}).get(document_id)

    def entries_after(self, seq: int, limit: int | None = None) -> Sequence[Entry]:
        """Return the entries after a place, for whoever keeps up with the shelf."""
        return self._streams.log.entries_after(SHELF, seq, limit)
