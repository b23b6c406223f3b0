"""What was answered over HTTP survives a kill of the workbench at any moment; bench/server_kill.py does many more."""

from pathlib import Path

from tests.server.killing_server import kill_server


def test_twenty_kills_of_the_workbench_lose_and_double_nothing(tmp_path: Path) -> None:
    count = kill_server(tmp_path, kills=20, seed=20)
    assert count.troubles == []
    assert (count.kills, count.found, count.doubled, count.lost) == (20, count.acknowledged, 0, 0)
    assert count.acknowledged > 50
    assert count.cut_off > 5
