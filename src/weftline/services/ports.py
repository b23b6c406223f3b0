"""What services need from the world outside; ``store`` and ``tests/fakes.py`` have it by shape."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.entries import Entry


class EntryLog(Protocol):
    """Streams of entries that only ever grow."""

    def append(self, entry: Entry) -> int | None:
        """Append an entry and return its place once it is on disk.

        An id that the stream has already answers with its first place, and nothing is appended.
        ``None`` when ``entry.seq`` is not the next place: look again.
        """
        ...

    def entry(self, stream: str, entry_id: str) -> Entry | None:
        """Return the entry with this id."""
        ...

    def entries_after(self, stream: str, seq: int, limit: int | None = None) -> Sequence[Entry]:
        """Return the entries after a place, in order."""
        ...

    def kinds_after(self, stream: str, device: str, seq: int) -> Sequence[tuple[int, str]]:
        """Return place and kind of one device's entries after a place, in order."""
        ...

    def of_kinds_after(self, stream: str, kinds: Sequence[str], seq: int) -> Sequence[Entry]:
        """Return the entries of these kinds after a place, in order."""
        ...

    def heads(self) -> Mapping[str, int]:
        """Return the last place of every stream."""
        ...


class Cache(Protocol):
    """What was worked out from entries, kept to be quick; it may be emptied at any time."""

    def keep_snapshot(self, stream: str, seq: int, text: str) -> None:
        """Keep a state."""
        ...

    def snapshot(self, stream: str, seq: int) -> tuple[int, str] | None:
        """Return the latest state kept at this place or before it, with its place."""
        ...

    def keep_summaries(self, summaries: Mapping[str, tuple[int, str]]) -> None:
        """Keep one line about each of these streams, with the place that it speaks of."""
        ...

    def summaries(self) -> Mapping[str, tuple[int, str]]:
        """Return every line kept."""
        ...


class Watch(Protocol):
    """Knows whether anybody wrote to the log, other processes too."""

    def changed(self) -> bool:
        """Return whether anything was written since this was asked last; true the first time."""
        ...


class Clock(Protocol):
    """Tells the time."""

    def now(self) -> str:
        """Return date and time in UTC, as in ISO 8601."""
        ...


class Ids(Protocol):
    """Makes identifiers."""

    def new(self) -> str:
        """Return an identifier that nothing else has."""
        ...


class PhotographFiles(Protocol):
    """Files by name, written whole or not at all."""

    def put(self, name: str, data: bytes) -> None:
        """Write a file, on disk when this returns; a name that is there stays as it is."""
        ...

    def get(self, name: str) -> bytes | None:
        """Return what a file holds."""
        ...

    def names(self) -> Sequence[str]:
        """Return every name."""
        ...
