"""Stand-ins for the world outside: an in-memory store, a clock that stands still, ids that count."""

import json
from collections.abc import Mapping, Sequence
from itertools import count
from threading import Lock

from weftline.core.piece.entries import Entry
from weftline.wiring import Services, wire


class FakeLog:
    """Entries in lists; payloads go through JSON, as they would on disk."""

    def __init__(self) -> None:
        self.streams: dict[str, list[Entry]] = {}
        self.one_at_a_time = Lock()

    def append(self, entry: Entry) -> int | None:
        with self.one_at_a_time:
            return self._append(entry)

    def _append(self, entry: Entry) -> int | None:
        entries = self.streams.get(entry.stream, [])
        known = self.entry(entry.stream, entry.id)
        if known is not None:
            return known.seq
        if entry.seq != len(entries) + 1:
            return None
        payload = json.loads(json.dumps(entry.payload, allow_nan=False))
        kept = Entry(entry.stream, entry.seq, entry.id, entry.kind, entry.base_seq, entry.device, entry.at, payload)
        self.streams.setdefault(entry.stream, []).append(kept)
        return entry.seq

    def entry(self, stream: str, entry_id: str) -> Entry | None:
        return next((entry for entry in self.streams.get(stream, []) if entry.id == entry_id), None)

    def entries_after(self, stream: str, seq: int, limit: int | None = None) -> Sequence[Entry]:
        return self.streams.get(stream, [])[seq:][:limit]

    def kinds_after(self, stream: str, device: str, seq: int) -> Sequence[tuple[int, str]]:
        return [(one.seq, one.kind) for one in self.streams.get(stream, [])[seq:] if one.device == device]

    def of_kinds_after(self, stream: str, kinds: Sequence[str], seq: int) -> Sequence[Entry]:
        return [one for one in self.streams.get(stream, [])[seq:] if one.kind in kinds]

    def heads(self) -> Mapping[str, int]:
        return {stream: len(entries) for stream, entries in self.streams.items()}


class FakeCache:
    """Snapshots and summaries in dicts."""

    def __init__(self) -> None:
        self.snapshots: dict[tuple[str, int], str] = {}
        self.lines: dict[str, tuple[int, str]] = {}

    def keep_snapshot(self, stream: str, seq: int, text: str) -> None:
        self.snapshots[stream, seq] = text

    def snapshot(self, stream: str, seq: int) -> tuple[int, str] | None:
        places = [place for one, place in self.snapshots if one == stream and place <= seq]
        return (max(places), self.snapshots[stream, max(places)]) if places else None

    def keep_summaries(self, summaries: Mapping[str, tuple[int, str]]) -> None:
        self.lines.update(summaries)

    def summaries(self) -> Mapping[str, tuple[int, str]]:
        return dict(self.lines)


class FakeFiles:
    """Files in a dict."""

    def __init__(self) -> None:
        self.files: dict[str, bytes] = {}

    def put(self, name: str, data: bytes) -> None:
        self.files.setdefault(name, data)

    def get(self, name: str) -> bytes | None:
        return self.files.get(name)

    def names(self) -> Sequence[str]:
        return sorted(self.files)


class FrozenClock:
    """Always the same moment, until it is set to another."""

    def __init__(self, moment: str = "2026-05-01T10:00:00.000Z") -> None:
        self.moment = moment

    def now(self) -> str:
        return self.moment


class CountedIds:
    """n1, n2, n3 ..."""

    def __init__(self, word: str = "n") -> None:
        self.word = word
        self.numbers = count(1)

    def new(self) -> str:
        return f"{self.word}{next(self.numbers)}"


def fake_services() -> Services:
    """All services on stand-ins."""
    return wire(FakeLog(), FakeCache(), FakeFiles(), FrozenClock(), CountedIds())
