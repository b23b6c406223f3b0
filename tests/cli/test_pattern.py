"""``weftline pattern``: files, answers and exit codes."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.pieces import PIECES, one_strip
from weftline.cli import main

Runner = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Runner:
    """Run a command in a folder that holds two pieces."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "teeth.json").write_text(json.dumps(PIECES["teeth there and back"]), encoding="utf-8")
    broken = one_strip({"sheds": [[1], [1, 2]], "lines": ["o s *4"]})
    (tmp_path / "broken.json").write_text(json.dumps(broken), encoding="utf-8")

    def runs(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.argv", ["weftline", *words])
        code = 0
        try:
            main()
        except SystemExit as ended:
            code = int(ended.code or 0)
        return (code, *capsys.readouterr())

    return runs


def test_the_pattern_is_written_beside_the_caller(run: Runner) -> None:
    code, out, err = run("pattern", "teeth.json")
    assert (code, err) == (0, "")
    assert out.startswith("teeth.pdf: ")
    assert out.endswith(" pages, a4\n")
    assert Path("teeth.pdf").read_bytes().startswith(b"%PDF-")


def test_json_tells_the_file_the_pages_and_the_paper(run: Runner) -> None:
    code, out, err = run(
        "pattern", "teeth.json", "--paper", "letter", "--units", "imperial", "-o", "out.pdf", "--json"
    )  # fmt: skip
    found = json.loads(out)
    assert (code, err) == (0, "")
    assert (found["file"], found["paper"], found["pages"] > 4) == ("out.pdf", "letter", True)


def test_a_stopped_piece_is_printed_all_the_same_with_exit_code_1(run: Runner) -> None:
    code, _, _ = run("pattern", "broken.json")
    assert code == 1
    assert Path("broken.pdf").exists()


@pytest.mark.parametrize(
    "words,message",
    [
        (("pattern", "teeth.json", "-o", "out.txt"), "out.txt must end in .pdf"),
        (("pattern", "teeth.json", "--paper", "a5"), "'a5' is not one of 'a4', 'letter'"),
        (("pattern", "none.json"), "none.json is not there"),
        (("pattern", "teeth.json", "-o", "nowhere/out.pdf"), "cannot be written"),
    ],
)
def test_a_wrong_call_is_one_sentence(run: Runner, words: tuple[str, ...], message: str) -> None:
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert message in " ".join(err.split())
