"""A watch on the file of entries: whether anybody wrote to it, another process too, without reading the file."""

from __future__ import annotations

import sqlite3
from threading import Lock
from typing import TYPE_CHECKING

from weftline.errors import StoreError

if TYPE_CHECKING:
    from pathlib import Path


class StoreWatch:
    """Asks on a connection of its own; SQLite counts there what other connections commit.

    Parameters
    ----------
    path : Path
        A store that was opened before, so that its write-ahead log is there.

    Notes
    -----
    The count lies in memory that the connections of a file have in common: asking reads nothing from
    disk (SQLite documentation, "PRAGMA data_version").
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lock = Lock()
        self._connection: sqlite3.Connection | None = None
        self._seen: int | None = None

    def changed(self) -> bool:
        """Return whether anything was committed since this was asked last; true the first time.

        Raises
        ------
        StoreError
        """
        with self._lock:
            try:
                version = self._version()
            except sqlite3.Error as cause:
                self._drop()
                raise StoreError(
                    f"the store cannot be watched: {cause}; look at the data folder and its disk"
                ) from cause
            changed, self._seen = version != self._seen, version
            return changed

    def close(self) -> None:
        """Close the connection."""
        with self._lock:
            self._drop()

    def _version(self) -> int:
        if self._connection is None:
            self._connection = sqlite3.connect(self._path, check_same_thread=False, isolation_level=None)
            self._connection.execute("PRAGMA query_only = ON")
        return int(self._connection.execute("PRAGMA data_version").fetchone()[0])

    def _drop(self) -> None:
        connection, self._connection, self._seen = self._connection, None, None
        if connection is not None:
            connection.close()
