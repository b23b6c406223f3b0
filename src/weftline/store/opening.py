"""Opens the store: the file, its migrations, the log and the cache in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.errors import WeftlineError
from weftline.store.cache import SqlCache
from weftline.store.engine import open_engine, writing
from weftline.store.entry_log import SqlEntryLog
from weftline.store.migrations import MIGRATIONS, migrate
from weftline.store.watch import StoreWatch

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from sqlalchemy import Engine

    from weftline.store.migrations import Migration


@dataclass(frozen=True, slots=True)
class Store:
    """An open store."""

    engine: Engine
    log: SqlEntryLog
    cache: SqlCache
    watch: StoreWatch

    def close(self) -> None:
        """Close every connection."""
        self.watch.close()
        self.engine.dispose()


def open_store(path: Path, migrations: Sequence[Migration] = MIGRATIONS) -> Store:
    """Open the store in a file, making or migrating it where needed.

    Raises
    ------
    NewerStoreError
        When a newer Weftline wrote it.
    StoreError
        When it cannot be opened.
    """
    engine = open_engine(path)
    try:
        with writing(engine) as connection:
            migrate(connection, migrations)
    except WeftlineError:
        engine.dispose()
        raise
    return Store(engine, SqlEntryLog(engine), SqlCache(engine), StoreWatch(path))
