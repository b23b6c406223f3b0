"""A reader that knows only the printed words rebuilds the face exactly: each demo and twenty random pieces."""

import random
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.oracle.printed import face, read_pattern
from tests.pieces import read
from tests.strategies import random_project
from weftline import loads, plan
from weftline.core.piece.cloth import StripCloth
from weftline.core.piece.values import Project
from weftline.core.weave.face import face_columns
from weftline.core.weave.technique import mask_shafts
from weftline.sheets.typeset import pattern

DEMOS = sorted((Path(__file__).parents[2] / "examples").glob("*.json"))


def printed_text(project: Project, folder: Path, paper: str, units: str) -> str:
    """The visible words of a piece's pattern."""
    file = folder / "pattern.pdf"
    file.write_bytes(pattern(plan(project), paper, units).pdf)
    program = shutil.which("pdftotext")
    assert program is not None, "pdftotext is missing: install Debian's poppler-utils"
    return subprocess.run([program, "-layout", str(file), "-"], check=True, capture_output=True, text=True).stdout


def own_face(strip: StripCloth) -> list[list[str]]:
    """The model's face, end by end from the foot up, written as the reader writes it."""
    weaving = strip.weaving
    words = [" + ".join(f"{key} x{count}" for key, count in sorted(winding)) for winding in weaving.windings]
    return [[words[weaving.picks.wound[pick]] for pick in beads.pick] for beads in face_columns(weaving)]


def assert_read_back(project: Project, text: str) -> None:
    cloth = plan(project).cloth
    read = read_pattern(text)
    assert [len(section.strips) for section in read] == [len(section.strips) for section in cloth.sections]
    for section, found in zip(cloth.sections, read, strict=True):
        for strip, printed in zip(section.strips, found.strips, strict=True):
            picks = strip.weaving.picks
            assert printed.ends == tuple(strip.weaving.ends.tolist())
            assert printed.lines == tuple((picks.line + 1).tolist())
            sheds = tuple(frozenset(mask_shafts(int(shed))) for shed in picks.shed)
            assert tuple(pick[0] for pick in printed.picks) == sheds
            assert face(printed) == own_face(strip)


@pytest.mark.parametrize("paper, units", [("a4", "metric"), ("letter", "imperial")])
@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_a_demo_is_rebuilt_from_its_printed_words(demo: Path, paper: str, units: str, tmp_path: Path) -> None:
    project = loads(demo.read_bytes())
    assert_read_back(project, printed_text(project, tmp_path, paper, units))


@pytest.mark.parametrize("seed", range(20))
def test_a_random_piece_is_rebuilt_from_its_printed_words(seed: int, tmp_path: Path) -> None:
    project = read(random_project(random.Random(seed)))
    assert_read_back(project, printed_text(project, tmp_path, "a4", "metric"))
