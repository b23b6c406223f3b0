"""The watch: notices every commit, by whatever program, and nothing else."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.store.killing import HOME
from weftline.core.piece.entries import Entry
from weftline.errors import StoreError
from weftline.store.opening import open_store
from weftline.store.watch import StoreWatch

ELSEWHERE = """
import sys
from pathlib import Path
from weftline.core.piece.entries import Entry
from weftline.store.opening import open_store
store = open_store(Path(sys.argv[1]))
store.log.append(Entry("mat", int(sys.argv[2]), "e" + sys.argv[2], "change", 0, "loom", "2026", {}))
store.close()
"""


def write_elsewhere(path: Path, seq: int) -> None:
    """Append an entry in a process of its own."""
    command = [sys.executable, "-c", ELSEWHERE, str(path), str(seq)]
    subprocess.run(command, check=True, timeout=60, env={"PYTHONPATH": str(HOME / "src")})


def test_a_commit_of_another_process_is_noticed_once(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite3"
    store = open_store(path)
    assert [store.watch.changed() for _ in range(3)] == [True, False, False]
    write_elsewhere(path, 1)
    assert [store.watch.changed() for _ in range(3)] == [True, False, False]
    assert dict(store.log.heads()) == {"mat": 1}
    write_elsewhere(path, 2)
    assert store.watch.changed()
    store.close()


def test_a_commit_of_this_process_is_noticed_and_reading_is_not(tmp_path: Path) -> None:
    store = open_store(tmp_path / "store.sqlite3")
    store.watch.changed()
    store.log.append(Entry("mat", 1, "a", "change", 0, "loom", "2026", {}))
    assert [store.watch.changed() for _ in range(2)] == [True, False]
    store.log.entries_after("mat", 0)
    store.log.heads()
    assert not store.watch.changed()
    store.close()


def test_closed_it_holds_nothing_open_and_may_be_asked_again(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite3"
    store = open_store(path)
    store.watch.changed()
    store.close()
    assert not path.with_name("store.sqlite3-wal").exists()
    assert store.watch.changed()
    store.watch.close()
    store.watch.close()


def test_a_store_that_cannot_be_opened_is_told(tmp_path: Path) -> None:
    watch = StoreWatch(tmp_path / "no folder" / "store.sqlite3")
    with pytest.raises(StoreError, match="the store cannot be watched: unable to open"):
        watch.changed()
