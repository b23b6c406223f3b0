"""Migrations: every version of the store from the one before, in order; none is ever changed again.

To change the tables, append a function here and bring ``tables`` up to date. A migration runs
inside one transaction with the note that it was done; a store is never left half way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from weftline.errors import NewerStoreError

if TYPE_CHECKING:
    from sqlalchemy import Connection

Migration = Callable[["Connection"], None]

FIRST = (
    "CREATE TABLE projects (id TEXT NOT NULL PRIMARY KEY)",
    """
    CREATE TABLE entries (
        project TEXT NOT NULL REFERENCES projects (id),
        seq INTEGER NOT NULL CHECK (seq >= 1),
        id TEXT NOT NULL,
        kind TEXT NOT NULL,
        base_seq INTEGER NOT NULL CHECK (base_seq >= 0 AND base_seq < seq),
        device TEXT NOT NULL,
        at TEXT NOT NULL,
        payload TEXT NOT NULL,
        PRIMARY KEY (project, seq),
        UNIQUE (project, id)
    )
    """,
    "CREATE INDEX entries_by_device ON entries (project, device, seq)",
    """
    CREATE TRIGGER entries_stay_as_they_are BEFORE UPDATE ON entries
    BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END
    """,
    """
    CREATE TRIGGER entries_stay BEFORE DELETE ON entries
    BEGIN SELECT RAISE(ABORT, 'entries are never taken away'); END
    """,
    """
    CREATE TABLE snapshots (
        project TEXT NOT NULL REFERENCES projects (id),
        seq INTEGER NOT NULL,
        state BLOB NOT NULL,
        PRIMARY KEY (project, seq)
    )
    """,
    """
    CREATE TABLE summaries (
        project TEXT NOT NULL PRIMARY KEY REFERENCES projects (id),
        seq INTEGER NOT NULL,
        summary TEXT NOT NULL
    )
    """,
)


def first(connection: Connection) -> None:
    """Make the entries, and the caches beside them."""
    for statement in FIRST:
        connection.exec_driver_sql(statement)


MIGRATIONS: Sequence[Migration] = (first,)


def version_of(connection: Connection) -> int:
    """Return how many migrations a store has behind it."""
    connection.exec_driver_sql("CREATE TABLE IF NOT EXISTS store_version (version INTEGER NOT NULL)")
    found = connection.exec_driver_sql("SELECT max(version) FROM store_version").scalar()
    return int(found or 0)


def migrate(connection: Connection, migrations: Sequence[Migration] = MIGRATIONS) -> None:
    """Bring a store up to date, inside a transaction that the caller began.

    Raises
    ------
    NewerStoreError
        When a newer Weftline wrote it.
    """
    version = version_of(connection)
    if version > len(migrations):
        raise NewerStoreError(
            f"the store is of version {version} and this Weftline knows versions up to {len(migrations)}; "
            "start the newer Weftline that wrote it"
        )
    for number, migration in enumerate(migrations[version:], version + 1):
        migration(connection)
        connection.exec_driver_sql(f"INSERT INTO store_version (version) VALUES ({number:d})")
