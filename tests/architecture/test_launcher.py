"""The launcher: found from anywhere, hands its process over to Python, and sets up only when it has to."""

import shutil
import subprocess
from pathlib import Path
from typing import Final

import pytest

from tests.architecture.source import ROOT

PYTHON: Final = '#!/bin/sh\nprintf "%s\\n" "$$" "$PWD" "${PYTHONPATH-none}" "$@"\n'
"""Stands in for the interpreter of the environment: tells its process, folder, a setting and arguments."""

INSTALL: Final = '#!/bin/sh\necho "asked for $*" >&2\nexit 3\n'
"""Stands in for the set-up, which fails."""


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    """A clone with a space in its path and a finished environment."""
    clone = tmp_path / "a clone"
    for name, text in {".venv/bin/python": PYTHON, "requirements/install": INSTALL}.items():
        path = clone / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        path.chmod(0o755)
    shutil.copy2(ROOT / "weftline", clone / "weftline")
    (clone / "requirements/run.lock").write_text("numpy==2\n", encoding="utf-8")
    (clone / ".venv/made-from.lock").write_text("numpy==2\n", encoding="utf-8")
    return clone


def start(launcher: Path, *arguments: str, cwd: Path) -> tuple[int, int, str, str]:
    """Start it; return the process that was started, the exit code, standard output and error."""
    environment = {"PATH": "/usr/local/bin:/usr/bin:/bin", "PYTHONPATH": "elsewhere"}
    with subprocess.Popen(
        [launcher, *arguments], cwd=cwd, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        out, err = process.communicate(timeout=20)
        return process.pid, process.returncode, out, err


def test_last_line_hands_over_to_python() -> None:
    last = (ROOT / "weftline").read_text(encoding="utf-8").splitlines()[-1]
    assert last == 'exec "$python" -P -m weftline "$@"'


def test_python_takes_over_the_process_in_the_callers_folder(clone: Path, tmp_path: Path) -> None:
    pid, code, out, err = start(clone / "weftline", "plan", "two words", cwd=tmp_path)
    assert (code, err) == (0, "")
    assert out.splitlines() == [str(pid), str(tmp_path), "none", "-P", "-m", "weftline", "plan", "two words"]


def test_symbolic_links_are_followed(clone: Path, tmp_path: Path) -> None:
    (tmp_path / "far off").mkdir()
    (tmp_path / "far off" / "first").symlink_to(clone / "weftline")
    (tmp_path / "second").symlink_to("far off/first")
    _, code, out, err = start(tmp_path / "second", "--version", cwd=clone.parent)
    assert (code, err) == (0, "")
    assert out.endswith("--version\n")


@pytest.mark.parametrize("spoilt", [".venv/made-from.lock", ".venv/bin/python"])
def test_a_missing_or_outdated_environment_is_set_up(clone: Path, spoilt: str) -> None:
    (clone / spoilt).unlink()
    _, code, out, err = start(clone / "weftline", "--version", cwd=clone)
    assert (code, out, err) == (3, "", "asked for .venv run.lock\n")


def test_a_changed_lock_is_noticed(clone: Path) -> None:
    (clone / "requirements/run.lock").write_text("numpy==3\n", encoding="utf-8")
    _, code, _, err = start(clone / "weftline", "--version", cwd=clone)
    assert (code, err) == (3, "asked for .venv run.lock\n")
