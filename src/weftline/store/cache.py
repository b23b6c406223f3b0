"""Snapshots and summaries in SQL: a cache, whose loss or failure costs time and nothing else."""

from __future__ import annotations

import zlib
from contextlib import suppress
from typing import TYPE_CHECKING

from sqlalchemy import delete, insert, select

from weftline.errors import StoreError
from weftline.store.engine import reading, writing
from weftline.store.tables import SNAPSHOTS, SUMMARIES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Engine


class SqlCache:
    """What was worked out from entries.

    Parameters
    ----------
    engine : Engine
        With its migrations done.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def keep_snapshot(self, stream: str, seq: int, text: str) -> None:
        """Keep a state; where that fails, nothing is kept."""
        columns = SNAPSHOTS.c
        old = delete(SNAPSHOTS).where(columns.project == stream, columns.seq == seq)
        row = {"project": stream, "seq": seq, "state": zlib.compress(text.encode(), 1)}
        with suppress(StoreError), writing(self._engine) as connection:
            connection.execute(old)
            connection.execute(insert(SNAPSHOTS), row)

    def snapshot(self, stream: str, seq: int) -> tuple[int, str] | None:
        """Return the latest state kept at this place or before it, with its place."""
        columns = SNAPSHOTS.c
        wanted = select(columns.seq, columns.state).where(columns.project == stream, columns.seq <= seq)
        with reading(self._engine) as connection:
            row = connection.execute(wanted.order_by(columns.seq.desc()).limit(1)).first()
        if row is None:
            return None
        try:
            return row[0], zlib.decompress(row[1]).decode()
        except (zlib.error, ValueError, TypeError):
            return None

    def keep_summaries(self, summaries: Mapping[str, tuple[int, str]]) -> None:
        """Keep one line about each of these streams; where that fails, none is kept."""
        rows = [{"project": stream, "seq": seq, "summary": text} for stream, (seq, text) in summaries.items()]
        with suppress(StoreError), writing(self._engine) as connection:
            for row in rows:
                connection.execute(delete(SUMMARIES).where(SUMMARIES.c.project == row["project"]))
            connection.execute(insert(SUMMARIES), rows)

    def summaries(self) -> Mapping[str, tuple[int, str]]:
        """Return every line kept."""
        with reading(self._engine) as connection:
            rows = connection.execute(select(SUMMARIES)).all()
        return {stream: (seq, text) for stream, seq, text in rows}
