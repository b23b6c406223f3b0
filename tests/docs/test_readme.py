"""The README's blocks are run as they stand."""

import json
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

HOME = Path(__file__).parents[2]
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", (HOME / "README.md").read_text(encoding="utf-8"), flags=re.DOTALL)
SHELL = [line for kind, block in BLOCKS if kind == "sh" for line in block.splitlines()]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which the tour is walked, in order."""
    place = tmp_path_factory.mktemp("tour")
    (place / "examples").symlink_to(HOME / "examples", target_is_directory=True)
    return place


def test_every_command_of_the_tour_runs(folder: Path) -> None:
    assert len(SHELL) >= 8
    for line in SHELL:
        words = shlex.split(line)
        assert words[0] == "./weftline", line
        done = subprocess.run(
            [sys.executable, "-m", "weftline", *words[1:]],
            cwd=folder,
            env={**os.environ, "PYTHONPATH": str(HOME / "src")},
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, f"{line}\n{done.stderr}"
        assert done.stderr == ""


def test_the_piece_in_the_tour_can_be_planned() -> None:
    import weftline

    pieces = [block for kind, block in BLOCKS if kind == "json"]
    assert [weftline.plan(weftline.loads(piece)).stops for piece in pieces] == [False]
    assert json.loads(pieces[0])["name"] == "Bench mat"


def test_the_python_of_the_tour_runs(folder: Path) -> None:
    code = "\n".join(block for kind, block in BLOCKS if kind == "python")
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(HOME / "src")},
        capture_output=True,
        text=True,
    )
    assert done.stdout.split()[:2] == ["61", "136"], done.stderr
