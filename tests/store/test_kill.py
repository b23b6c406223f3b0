"""What was acknowledged survives a kill at any moment; bench/store_kill.py does many more."""

from pathlib import Path

from tests.store.killing import broken_promises, kill_writers


def test_twenty_kills_lose_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    piece, promise = kill_writers(tmp_path, kills=20, seed=20)
    assert promise.kills == 20
    assert len(promise.acknowledged) > 100
    assert broken_promises(tmp_path, piece, promise) == []
