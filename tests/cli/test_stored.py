"""The store on the command line: list, import, export, history, and names wherever a project is asked for."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from weftline.cli import main
from weftline.formats.native import dumps, loads

HOME = Path(__file__).parents[2]
PAD = HOME / "examples" / "kneeling-pad.json"
WALL = HOME / "examples" / "wall-piece.json"
Runner = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Runner:
    """Run a command in an empty folder; exit code, output, errors."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setenv("WEFTLINE_DATA", str(tmp_path / "data"))

    def runs(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.argv", ["weftline", *words])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return (code, *capsys.readouterr())

    return runs


def renamed(path: Path, name: str) -> str:
    """Write the kneeling pad under another name."""
    path.write_text(json.dumps({**json.loads(PAD.read_text(encoding="utf-8")), "name": name}), encoding="utf-8")
    return str(path)


def test_reading_makes_no_store(run: Runner, tmp_path: Path) -> None:
    assert run("list") == (0, "No piece is stored here; take one in with: weftline import FILE\n", "")
    assert run("list", "--json") == (0, "[]\n", "")
    code, out, err = run("export", "mat")
    assert (code, out, err) == (2, "", "no piece is called 'mat'; none is stored yet (weftline import FILE)\n")
    assert not (tmp_path / "data").exists()


def test_taken_in_listed_and_given_out_again(run: Runner, tmp_path: Path) -> None:
    code, out, _ = run("import", str(PAD), str(WALL), "--json")
    assert code == 0
    pad, wall = json.loads(out)
    assert pad["name"] == "Kneeling pad"
    listed = json.loads(run("list", "--json")[1])
    assert {one["id"] for one in listed} == {pad["id"], wall["id"]}
    assert all((one["seq"], one["put_away"]) == (1, False) for one in listed)
    assert pad["id"] in run("list")[1]
    expected = dumps(loads(PAD.read_bytes()))
    assert run("export", "Kneeling pad") == (0, expected, "")
    assert run("export", pad["id"][:5], "-o", "out.json", "--version", "1") == (0, "", "")
    assert Path("out.json").read_text(encoding="utf-8") == expected
    assert "out.json is there already" in run("export", pad["id"], "-o", "out.json")[2]
    assert run("export", pad["id"], "-o", "out.json", "--force")[0] == 0
    assert "there is no version 7; the last one is 1" in run("export", pad["id"], "--version", "7")[2]


def test_all_are_taken_in_or_none(run: Runner, tmp_path: Path) -> None:
    Path("bad.json").write_text('{"weftline": 1}', encoding="utf-8")
    code, out, err = run("import", str(PAD), "bad.json")
    assert (code, out) == (2, "")
    assert "is missing" in err
    assert run("import", "nowhere.json")[2] == "nowhere.json is not there; give the path of a project file\n"
    assert json.loads(run("list", "--json")[1]) == []


def test_history_lists_every_entry(run: Runner) -> None:
    run("import", str(PAD))
    code, out, _ = run("history", "kneeling PAD")
    assert code == 0
    assert out.rstrip().endswith("make piece (command line)")
    (line,) = json.loads(run("history", "Kneeling pad", "--json")[1])
    assert (line["seq"], line["kind"], line["name"], line["device"]) == (1, "create", "make piece", "command line")


@pytest.mark.parametrize("command", ["plan", "check", "steps"])
def test_a_project_is_a_path_or_a_stored_name(run: Runner, command: str) -> None:
    run("import", str(PAD))
    by_path = run(command, str(PAD), "--json")
    assert by_path[0] == 0
    assert run(command, "Kneeling pad", "--json") == by_path
    Path("Kneeling pad").mkdir()
    assert run(command, "Kneeling pad", "--json") == by_path


def test_a_path_that_exists_wins(run: Runner) -> None:
    run("import", renamed(Path("first.json"), "second.json"))
    Path("second.json").write_bytes(WALL.read_bytes())
    assert "Kneeling" not in run("plan", "second.json")[1]
    assert json.loads(run("plan", "second.json", "--json")[1]) == json.loads(run("plan", str(WALL), "--json")[1])


def test_a_name_that_fits_several_is_asked_with_a_list(run: Runner) -> None:
    out = run("import", str(PAD), str(PAD), "--json")[1]
    code, out_, err = run("plan", "Kneeling pad")
    assert (code, out_, err.count("\n")) == (2, "", 1)
    assert "'Kneeling pad' fits 2 pieces, give the id of one: " in err
    for one in json.loads(out):
        assert one["id"] in err
        assert run("plan", one["id"])[0] == 0


def test_a_picture_of_a_stored_project_is_called_after_it(run: Runner) -> None:
    run("import", str(PAD))
    assert run("picture", "Kneeling pad")[0] == 0
    assert Path("Kneeling pad.png").exists()


@pytest.mark.parametrize("name", ["\x1b[2Jgone", "‮tam", "a\nb", "<b>", "x" * 200, "ö" * 200])
def test_names_cannot_steer_the_terminal(run: Runner, name: str) -> None:
    run("import", renamed(Path("strange.json"), name))
    out = run("list")[1]
    assert out.count("\n") == 1
    assert all(letter.isprintable() for letter in out[:-1])
    assert json.loads(run("list", "--json")[1])[0]["name"] == name
    assert run("export", name)[0] == 0
    assert run("check", name)[0] == 0


def test_put_away_is_listed_only_with_all(run: Runner, tmp_path: Path) -> None:
    from weftline.wiring import Settings, opened

    piece = json.loads(run("import", str(PAD), "--json")[1])[0]["id"]
    with opened(Settings(tmp_path / "data")) as services:
        services.pieces.put_away(piece, "loom")
    assert json.loads(run("list", "--json")[1]) == []
    assert run("list", "--all")[1].endswith("Kneeling pad (put away)\n")


def test_quick_commands_load_no_sql(tmp_path: Path) -> None:
    for words in (["--version"], ["plan", str(PAD)]):
        code = (
            "import sys; from weftline.cli import main\n"
            f"sys.argv = ['weftline', *{words!r}]\n"
            "try:\n    main()\nexcept SystemExit:\n    pass\n"
            "sys.exit('sqlalchemy' in sys.modules)"
        )
        ran = subprocess.run(
            [sys.executable, "-c", code],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(HOME / "src")},
            capture_output=True,
            text=True,
            check=False,
        )
        assert ran.returncode == 0, ran.stderr
