"""Weaving in the terminal and the log of it; what was acknowledged survives a kill at any moment."""

import io
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.cli.killing_weave import kill_weaving
from tests.pieces import TEETH, TWO_STRAPS, changed, read
from weftline.cli import main
from weftline.cli.large_type import SHAPES, large
from weftline.cli.weave_keys import REBOUND_S, _without_rebounds
from weftline.core.piece.cloth import expand
from weftline.core.plan.steps import steps
from weftline.wiring import Settings, opened

Runner = Callable[..., tuple[int, str, str]]
KILLS = 300 if os.environ.get("WEFTLINE_FULL") == "1" else 20
LONG = changed(TEETH, ("sections", 0, "strips", 0, "bands", 1, "times"), 500)
"""More throws than are thrown between two kills."""


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Runner:
    """Run a command in an empty folder, with keys from a pipe; exit code, output, errors."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "100")

    def runs(*words: str, keys: str = "") -> tuple[int, str, str]:
        monkeypatch.setattr("sys.argv", ["weftline", *words])
        monkeypatch.setattr("sys.stdin", io.StringIO(keys))
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return (code, *capsys.readouterr())

    return runs


def written(piece: dict[str, Any], name: str = "piece.json") -> str:
    Path(name).write_text(json.dumps(piece), encoding="utf-8")
    return name


def log_of(run: Runner, project: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run("log", project, "--json")[1])
    return found


def test_a_kill_at_any_moment_loses_nothing_that_was_printed_and_adds_one_throw_at_most(tmp_path: Path) -> None:
    found = kill_weaving(tmp_path, LONG, KILLS, seed=KILLS)
    assert found.troubles == []
    assert found.kills == KILLS
    assert found.printed <= found.woven <= found.printed + KILLS
    assert found.printed > KILLS
    assert found.early < KILLS


def test_count_acknowledges_throws_by_their_ordinals_and_goes_on_where_it_was(run: Runner) -> None:
    path = written(TWO_STRAPS)
    before = Path(path).read_bytes()
    code, out, err = run("weave", path, "--count", "3")
    assert (code, out) == (0, "1\n2\n3\n")
    assert err.startswith("piece.json is taken into the store as file-")
    assert run("weave", path, "--count", "2") == (0, "4\n5\n", "")
    code, out, _ = run("weave", path, "--count", "1", "--json")
    assert json.loads(out)["ordinal"] == 6
    total = len(list(steps(expand(read(TWO_STRAPS)))))
    code, out, err = run("weave", path, "--count", "1000")
    assert (code, out.split()) == (0, [str(number) for number in range(7, total + 1)])
    assert err == f"All {total} throws of the plan are woven; {total - 6} of 1000 were thrown now.\n"
    assert run("weave", path, "--count", "1")[:2] == (0, "")
    assert log_of(run, path)["woven_picks"] == total
    assert Path(path).read_bytes() == before
    assert run("weave", path, "--count", "0")[0] == 2


def test_the_log_tells_throws_lines_length_and_where_the_plan_was_left(run: Runner, tmp_path: Path) -> None:
    path = written(changed(TEETH, ("beat",), {"lines_per_cm": 4, "basis": "measured"}))
    assert run("log", path) == (0, "Nothing is woven yet.\n", "")
    empty = log_of(run, path)
    assert (empty["woven_picks"], empty["lines"], empty["length_mm"]["value"]) == (0, 0, 0)
    assert not (tmp_path / "data").exists()
    run("weave", path, "--count", "9")
    found = log_of(run, path)
    assert (found["woven_picks"], found["lines"], found["plan_left_at"]) == (9, 3, None)
    assert found["length_mm"] == {"value": pytest.approx(7.5), "basis": "computed"}
    assert (found["next"]["ordinal"], found["next"]["line"], found["next"]["pick"]) == (10, 4, 1)
    run("weave", path, keys="l")
    found = log_of(run, path)
    assert (found["plan_left_at"], found["next"]) == (10, None)
    assert "The plan was left before its throw 10 of " in run("log", path)[1]
    code, out, err = run("weave", path, "--count", "1")
    assert (code, out) == (2, "")
    assert err == "the plan is left, so none of its throws is next; follow it again first\n"


def test_a_file_is_found_again_by_its_id_else_by_its_path(run: Runner) -> None:
    path, other = written(TEETH), written(TEETH, "other.json")
    run("weave", path, "--count", "2")
    assert log_of(run, other)["woven_picks"] == 0
    assert log_of(run, str(Path(path).resolve()))["woven_picks"] == 2
    Path("there").mkdir()
    assert log_of(run, "there/../piece.json")["woven_picks"] == 2
    named = written({**TEETH, "id": "long-mat"}, "named.json")
    assert "taken into the store as long-mat" in run("weave", named, "--count", "4")[2]
    Path("named.json").rename("moved.json")
    assert log_of(run, "moved.json")["woven_picks"] == 4
    assert log_of(run, "long-mat")["woven_picks"] == 4
    assert json.loads(run("export", "long-mat")[1])["id"] == "long-mat"
    assert len(json.loads(run("list", "--json")[1])) == 2


def test_a_file_with_an_id_that_was_imported_is_found_and_a_copy_of_it_is_another_piece(
    run: Runner, tmp_path: Path
) -> None:
    path = written({**TEETH, "id": "long-mat"})
    (imported,) = json.loads(run("import", path, "--json")[1])
    with opened(Settings(tmp_path / "data")) as services:
        copy = services.pieces.duplicate(imported["id"], "loom").stream
    assert run("weave", path, "--count", "2") == (0, "1\n2\n", "")
    assert log_of(run, imported["id"])["woven_picks"] == 2
    assert log_of(run, copy)["woven_picks"] == 0
    assert "id" not in json.loads(run("export", copy)[1])


def test_a_file_that_was_changed_is_told_and_the_stored_piece_is_woven(run: Runner) -> None:
    path = written(TEETH)
    run("weave", path, "--count", "1")
    Path(path).write_text(json.dumps({**TEETH, "ground": "o"}), encoding="utf-8")
    code, out, err = run("weave", path, "--count", "1")
    assert (code, out) == (0, "2\n")
    assert "piece.json is not as the store has it" in err


def test_a_stored_piece_is_woven_by_its_name_and_what_is_not_there_is_told(run: Runner) -> None:
    run("import", written(TEETH))
    assert run("weave", "Teeth there and back", "--count", "1") == (0, "1\n", "")
    assert log_of(run, "teeth THERE and back")["woven_picks"] == 1
    for command in ("weave", "log"):
        code, out, err = run(command, "nowhere.json")
        assert (code, out, err) == (2, "", "no piece is called 'nowhere.json'\n")


def test_the_terminal_takes_over_and_stops_when_it_is_taken_over(run: Runner, tmp_path: Path) -> None:
    path = written({**TEETH, "id": "mat"})
    run("weave", path, "--count", "1")
    with opened(Settings(tmp_path / "data")) as services:
        services.weaving.weave_here("mat", "here", "phone")
    code, out, err = run("weave", path, "--count", "1")
    assert (code, out, err) == (0, "2\n", "Another device was weaving; this terminal weaves now.\n")
    assert log_of(run, path)["device"] == "command line"


def test_keys_throw_unweave_skip_leave_and_note(run: Runner) -> None:
    path = written({**TWO_STRAPS, "id": "straps"})
    code, out, _ = run("weave", path, keys="   u sx nthe red is short\nq   ")
    assert code == 0
    assert out.endswith("4 throws woven; everything is kept.\n")
    assert "line 1, pick 1: raise 2+3, Oat x2" in out
    assert "then line 1, pick 2: raise 1+3, Oat x2" in out
    assert "████" in out
    found = log_of(run, path)
    assert found["woven_picks"] == 4
    assert [(one["kind"], one["picks"]) for one in found["departures"]] == [("passed over", 1)]
    (mark,) = found["marks"]
    assert mark["payload"]["text"] == "the red is short"
    said = run("log", path)[1]
    assert "Before throw 4: 1 throw of the plan passed over." in said
    assert "After 4 throws: note, text the red is short" in said
    assert "0 throws lie in the cloth" in run("weave", path, keys="uuuuuuq")[1]


def test_several_strips_are_named_at_their_turn(run: Runner) -> None:
    path = written({**TWO_STRAPS, "id": "straps"})
    run("weave", path, "--count", "18")
    out = run("weave", path, keys=" ")[1]
    assert "line 1, pick 1, Left: raise 2+3, Oat x2" in out
    assert "line 1, pick 1, Right: raise 2+3, Oat x2" in out


def test_rebounds_and_held_keys_are_one_press() -> None:
    times = iter([0.0, 0.1, 0.2, 0.3, 0.6, 0.61 + REBOUND_S, 1.0])
    assert list(_without_rebounds(iter("    uu "), lambda: next(times))) == [" ", "u", "u", " "]


def test_large_letters_are_five_rows_and_what_does_not_fit_stays_small() -> None:
    assert all(len(rows) == 5 and len({len(row) for row in rows}) == 1 for rows in SHAPES.values())
    assert len({tuple(rows) for rows in SHAPES.values()}) == len(SHAPES)
    assert large("1+3", 10) == ["1+3"]
    assert large("Mörk", 80) == ["Mörk"]
    assert len(large("Oat x2", 80)) == 5


def test_output_is_flushed_line_by_line(run: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []

    class Watched(io.StringIO):
        def flush(self) -> None:
            seen.append(self.getvalue())

    path = written(TEETH)
    monkeypatch.setattr(sys, "stdout", Watched())
    run("weave", path, "--count", "3")
    assert list(dict.fromkeys(one for one in seen if one)) == ["1\n", "1\n2\n", "1\n2\n3\n"]
