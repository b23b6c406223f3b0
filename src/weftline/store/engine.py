"""The connection to one SQLite file: write-ahead log, on disk at every commit, writers one after another."""

from __future__ import annotations

import sqlite3
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import SQLAlchemyError

from weftline.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

BUSY_MS = 20_000
"""So long a writer waits for its turn."""
WRITES = "weftline_writes"


def open_engine(path: Path) -> Engine:
    """Return the engine of a file, which is made if it is not there."""
    engine = create_engine(
        URL.create("sqlite+pysqlite", database=str(path)), pool_size=8, max_overflow=56, pool_timeout=BUSY_MS / 1000
    )
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _set_up(connection: sqlite3.Connection, record: Any) -> None:
    connection.isolation_level = None  # transactions begin and end where this module says
    connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    _use_write_ahead_log(connection)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _use_write_ahead_log(connection: sqlite3.Connection) -> None:
    """Switch over; two programs that open a new file at once are told to wait, and this one waits."""
    last = time.monotonic() + BUSY_MS / 1000
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as cause:
            if "locked" not in str(cause) or time.monotonic() > last:
                raise
            time.sleep(0.02)
        else:
            return


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Open a transaction that sees one moment of the store.

    Raises
    ------
    StoreError
    """
    with _told(), engine.connect() as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Open a transaction as the only writer; what was written is on disk after it.

    Raises
    ------
    StoreError
    """
    with _told(), engine.execution_options(**{WRITES: True}).begin() as connection:
        yield connection


@contextmanager
def _told() -> Iterator[None]:
    try:
        yield
    except SQLAlchemyError as cause:
        said = str(getattr(cause, "orig", None) or cause).splitlines()[0]
        raise StoreError(f"the store cannot be used: {said}; look at the data folder and its disk") from cause
