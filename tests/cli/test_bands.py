"""``weftline bands`` in process."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.pieces import SLOTS, TEETH, Piece, cloth_of, one_strip
from weftline.cli import main


def run(words: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr("sys.argv", ["weftline", "bands", *words])
    with pytest.raises(SystemExit, match="0"):
        main()
    out, err = capsys.readouterr()
    assert err == ""
    return out


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "piece.json"


def written(path: Path, piece: Piece) -> str:
    path.write_text(json.dumps(piece), encoding="utf-8")
    return str(path)


def test_it_says_how_many_bands_and_what_they_are(
    path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = run([written(path, TEETH)], capsys, monkeypatch)
    assert out.startswith("You wove 3 bands. Here is your pattern.\n")
    assert "    s o o *2\n" in out
    assert "  then treadle backwards, single middle, 3 times, single joints\n" in out
    assert "  resume at the second pick\n" in out


@pytest.mark.parametrize("piece", [TEETH, SLOTS])
def test_its_json_is_a_pattern_of_the_same_cloth(
    piece: Piece, path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    data: dict[str, Any] = json.loads(run([written(path, piece), "--json"], capsys, monkeypatch))
    strip = data["sections"][0]["strips"][0]
    original = piece["sections"][0]["strips"][0]
    again = piece | {"sections": [{"strips": [original | {"bands": strip["bands"]}]}]}
    ours, theirs = (cloth_of(each).sections[0].strips[0].weaving.picks for each in (again, piece))
    for name in ("shed", "line", "slot", "step_mm"):
        assert getattr(ours, name).tolist() == getattr(theirs, name).tolist()
    assert strip["slips"] == []
    assert strip["meant"] == strip["bands"]


def test_a_slip_is_told_with_its_place_from_1(
    path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    unit = ["o o s", "o s s", "m s s", "m m s", "m m o", "s m o"]
    spoilt = [*unit, *unit[:2], "m o s", *unit[3:], *unit, *unit]
    name = written(path, one_strip({"lines": spoilt}))
    assert "  line 9, shed 2 has o; the 3 picks like it have s\n" in run([name], capsys, monkeypatch)
    slip = json.loads(run([name, "--json"], capsys, monkeypatch))["sections"][0]["strips"][0]["slips"]
    assert slip == [{"line": 9, "shed": 2, "thrown": "o", "meant": "s", "agreeing": 3, "other": None}]
