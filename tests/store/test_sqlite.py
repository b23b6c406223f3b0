"""What only the file can show: pragmas, migrations, triggers, folders, damage."""

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection

from weftline.core.piece.entries import Entry
from weftline.errors import NewerStoreError, StoreError
from weftline.store.engine import _use_write_ahead_log, reading, writing
from weftline.store.migrations import MIGRATIONS, first
from weftline.store.opening import Store, open_store
from weftline.store.photograph_folder import PhotographFolder


def entry(seq: int) -> Entry:
    return Entry("mat", seq, f"id {seq}", "change", 0, "loom", "2026-05-01", {})


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    found = open_store(tmp_path / "a #1 ?x=y store.sqlite3")
    yield found
    found.close()


def test_every_connection_is_safe(store: Store) -> None:
    def asks(connection: Connection, name: str) -> object:
        return connection.exec_driver_sql(f"PRAGMA {name}").scalar()

    wanted = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    with reading(store.engine) as one, reading(store.engine) as other, writing(store.engine) as third:
        for connection in (one, other, third):
            assert {name: asks(connection, name) for name in wanted} == wanted
            assert int(str(asks(connection, "busy_timeout"))) >= 5000


def test_a_writer_takes_its_turn_at_once(store: Store) -> None:
    with writing(store.engine), closing(sqlite3.connect(str(store.engine.url.database), timeout=0)) as other:
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
        assert other.execute("SELECT count(*) FROM entries").fetchone() == (0,)


@pytest.mark.parametrize("statement", ["UPDATE entries SET kind = 'x'", "DELETE FROM entries"])
def test_entries_are_never_changed(store: Store, statement: str) -> None:
    store.log.append(entry(1))
    with pytest.raises(StoreError, match="entries are never"), writing(store.engine) as connection:
        connection.exec_driver_sql(statement)


def test_an_entry_belongs_to_a_stream(store: Store) -> None:
    with pytest.raises(StoreError, match="FOREIGN KEY"), writing(store.engine) as connection:
        connection.exec_driver_sql("INSERT INTO entries VALUES ('nowhere', 1, 'i', 'k', 0, 'd', 'a', '{}')")


def second(connection: Connection) -> None:
    """A made-up migration: weavers of the future note moods."""
    connection.exec_driver_sql("ALTER TABLE entries ADD COLUMN mood TEXT NOT NULL DEFAULT 'calm'")


def failing(connection: Connection) -> None:
    second(connection)
    connection.exec_driver_sql("DROP TABLE nowhere")


def test_a_file_of_the_first_version_is_opened_by_the_second(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite3"
    old = open_store(path, [first])
    old.log.append(entry(1))
    old.close()
    new = open_store(path, [first, second])
    with reading(new.engine) as connection:
        assert connection.exec_driver_sql("SELECT id, mood FROM entries").all() == [("id 1", "calm")]
    assert list(new.log.entries_after("mat", 0)) == [entry(1)]
    assert new.log.append(entry(2)) == 2
    new.close()
    with pytest.raises(
        NewerStoreError, match=r"of version 2 and this Weftline knows versions up to 1; start the newer"
    ):
        open_store(path, [first])
    open_store(path, [first, second]).close()


def test_a_migration_that_fails_leaves_the_store_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite3"
    old = open_store(path)
    old.log.append(entry(1))
    old.close()
    with pytest.raises(StoreError, match="no such table: nowhere"):
        open_store(path, [*MIGRATIONS, failing])
    old = open_store(path)
    assert list(old.log.entries_after("mat", 0)) == [entry(1)]
    old.close()


def test_what_is_no_store_is_refused_in_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite3"
    path.write_bytes(b"a shopping list, not a database" * 99)
    with pytest.raises(StoreError, match="file is not a database; look at the data folder"):
        open_store(path)
    assert path.read_bytes().startswith(b"a shopping list")


def test_many_may_open_a_new_file_at_once(tmp_path: Path) -> None:
    path, troubles = tmp_path / "store.sqlite3", list[BaseException]()

    def opens() -> None:
        try:
            open_store(path).close()
        except BaseException as cause:
            troubles.append(cause)

    threads = [threading.Thread(target=opens) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert troubles == []


def test_the_switch_to_the_write_ahead_log_waits_its_turn() -> None:
    class Busy(sqlite3.Connection):
        """A file that is locked so often."""

        times, says = 3, "database is locked"

        def execute(self, *words: Any) -> sqlite3.Cursor:
            if self.times:
                self.times -= 1
                raise sqlite3.OperationalError(self.says)
            return super().execute(*words)

    with closing(sqlite3.connect(":memory:", factory=Busy)) as busy:
        _use_write_ahead_log(busy)
        assert busy.times == 0
        busy.times, busy.says = 1, "disk I/O error"
        with pytest.raises(sqlite3.OperationalError, match="disk I/O error"):
            _use_write_ahead_log(busy)


def test_a_damaged_snapshot_is_no_snapshot(store: Store) -> None:
    store.log.append(entry(1))
    store.cache.keep_snapshot("mat", 1, "state")
    with writing(store.engine) as connection:
        connection.exec_driver_sql("UPDATE snapshots SET state = x'00'")
    assert store.cache.snapshot("mat", 1) is None


def test_a_cache_that_cannot_be_written_is_no_trouble(store: Store) -> None:
    store.cache.keep_snapshot("nowhere", 1, "state")
    store.cache.keep_summaries({"nowhere": (1, "line")})
    assert store.cache.snapshot("nowhere", 1) is None
    assert dict(store.cache.summaries()) == {}


def test_photographs_are_written_whole(tmp_path: Path) -> None:
    folder = PhotographFolder(tmp_path / "data" / "photographs")
    assert list(folder.names()) == []
    folder.put("abc", b"picture")
    folder.put("abc", b"picture")
    assert folder.get("abc") == b"picture"
    assert folder.get("abd") is None
    assert [path.name for path in (tmp_path / "data" / "photographs").iterdir()] == ["abc"]
    (tmp_path / "data" / "photographs" / "abc").write_bytes(b"pictuRe")
    folder.put("abc", b"picture")
    assert folder.get("abc") == b"picture"
    (tmp_path / "data" / "photographs" / f"abd.1234{'.part'}").write_bytes(b"half")
    assert list(folder.names()) == ["abc"]


def test_a_photograph_that_cannot_be_written_is_told_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(StoreError, match="cannot be written"):
        PhotographFolder(tmp_path / "file").put("abc", b"picture")
    folder = PhotographFolder(tmp_path)
    (tmp_path / "abc").mkdir()
    with pytest.raises(StoreError, match="photograph abc cannot be read"):
        folder.get("abc")
