"""The log of entries in SQL."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from sqlalchemy import func, insert, select

from weftline.core.piece.entries import Entry
from weftline.store.engine import reading, writing
from weftline.store.tables import ENTRIES, PROJECTS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sqlalchemy import Engine, Row

_COLUMNS = ENTRIES.c
_MOST = 2**53


class SqlEntryLog:
    """Streams of entries that only ever grow.

    Parameters
    ----------
    engine : Engine
        With its migrations done.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def append(self, entry: Entry) -> int | None:
        """Append an entry and return its place once it is on disk; see ``services.ports.EntryLog``."""
        same_id = select(_COLUMNS.seq).where(_COLUMNS.project == entry.stream, _COLUMNS.id == entry.id)
        last = select(func.max(_COLUMNS.seq)).where(_COLUMNS.project == entry.stream)
        payload = json.dumps(entry.payload, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        with writing(self._engine) as connection:
            known: int | None = connection.execute(same_id).scalar()
            if known is not None:
                return known
            head = connection.execute(last).scalar() or 0
            if entry.seq != head + 1:
                return None
            if not head:
                connection.execute(insert(PROJECTS), {"id": entry.stream})
            row = {
                "project": entry.stream,
                "seq": entry.seq,
                "id": entry.id,
                "kind": entry.kind,
                "base_seq": entry.base_seq,
                "device": entry.device,
                "at": entry.at,
                "payload": payload,
            }
            connection.execute(insert(ENTRIES), row)
        return entry.seq

    def entry(self, stream: str, entry_id: str) -> Entry | None:
        """Return the entry with this id."""
        wanted = select(ENTRIES).where(_COLUMNS.project == stream, _COLUMNS.id == entry_id)
        with reading(self._engine) as connection:
            row = connection.execute(wanted).first()
        return None if row is None else _entry(row)

    def entries_after(self, stream: str, seq: int, limit: int | None = None) -> Sequence[Entry]:
        """Return the entries after a place, in order."""
        wanted = select(ENTRIES).where(_COLUMNS.project == stream, _COLUMNS.seq > seq)
        wanted = wanted.order_by(_COLUMNS.seq).limit(_MOST if limit is None else limit)
        with reading(self._engine) as connection:
            rows = connection.execute(wanted).all()
        return [_entry(row) for row in rows]

    def kinds_after(self, stream: str, device: str, seq: int) -> Sequence[tuple[int, str]]:
        """Return place and kind of one device's entries after a place, in order."""
        wanted = select(_COLUMNS.seq, _COLUMNS.kind).order_by(_COLUMNS.seq)
        fits = (_COLUMNS.project == stream, _COLUMNS.device == device, _COLUMNS.seq > seq)
        with reading(self._engine) as connection:
            return [(place, kind) for place, kind in connection.execute(wanted.where(*fits))]

    def of_kinds_after(self, stream: str, kinds: Sequence[str], seq: int) -> Sequence[Entry]:
        """Return the entries of these kinds after a place, in order."""
        fits = (_COLUMNS.project == stream, _COLUMNS.seq > seq, _COLUMNS.kind.in_(kinds))
        with reading(self._engine) as connection:
            rows = connection.execute(select(ENTRIES).where(*fits).order_by(_COLUMNS.seq)).all()
        return [_entry(row) for row in rows]

    def heads(self) -> Mapping[str, int]:
        """Return the last place of every stream."""
        last = select(func.max(_COLUMNS.seq)).where(_COLUMNS.project == PROJECTS.c.id).scalar_subquery()
        with reading(self._engine) as connection:
            rows = connection.execute(select(PROJECTS.c.id, last)).all()
        return {stream: seq for stream, seq in rows if seq is not None}


def _entry(row: Row[str, int, str, str, int, str, str, str]) -> Entry:
    project, seq, entry_id, kind, base_seq, device, at, payload = row
    return Entry(project, seq, entry_id, kind, base_seq, device, at, json.loads(payload))
