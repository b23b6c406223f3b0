"""Damaged and hostile files: each ends in a plan or in one sentence, soon and in little memory.

By default a tenth of the files is read; with ``WEFTLINE_FULL`` set, all of them.
"""

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from tests.architecture.source import PACKAGE, ROOT
from tests.hostile.damage import damaged
from tests.hostile.trial import fault
from tests.hostile.worst_cases import PIECES, TEXTS, worst_case

FULL = "WEFTLINE_FULL" in os.environ
FILES, CALLS = (5000, 50) if FULL else (500, 10)
SECONDS, MEGABYTES = 20.0, 300  # ten times the two seconds that are meant: a hang limit
HUNG_S = 120


def python(*words: str) -> subprocess.CompletedProcess[str]:
    """Run Python in a process of its own, with our source before any other."""
    keep = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "COV_"))}
    path = os.pathsep.join([str(PACKAGE.parent), str(ROOT)])
    return subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        env={**keep, "PYTHONPATH": path, "PYTHONUTF8": "1", "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        timeout=HUNG_S,
        check=False,
    )


def trial(*words: str) -> dict[str, Any]:
    """Read files in a process of its own, and tell how long and how much memory it took."""
    try:
        ran = python("-m", "tests.hostile.trial", *words)
    except subprocess.TimeoutExpired:
        pytest.fail(f"{words} did not end within {HUNG_S} s")
    assert ran.returncode == 0, ran.stderr[-2000:]
    found: dict[str, Any] = json.loads(ran.stdout)
    print(f"{' '.join(words)}: {found['slowest_s']:.2f} s for file {found['slowest']}, peak {found['peak_mb']:.0f} MB")
    return found


def assert_soon_and_small(found: dict[str, Any]) -> None:
    assert found["slowest_s"] <= SECONDS, f"file {found['slowest']} took {found['slowest_s']:.1f} s"
    assert found["peak_mb"] <= MEGABYTES


def test_damaged_files_end_in_a_plan_or_one_sentence_soon_and_in_little_memory() -> None:
    found = trial("damaged", "0", str(FILES))
    assert found["offences"] == []
    assert found["plans"] + found["refused"] == FILES
    assert found["plans"] > FILES // 40, "some damage does no harm"
    assert found["refused"] > FILES // 2
    assert_soon_and_small(found)


def test_extreme_numbers_and_awkward_names_end_in_a_plan_with_finite_numbers_or_one_sentence() -> None:
    found = trial("extremes")
    assert found["offences"] == []
    assert found["plans"] > 0
    assert_soon_and_small(found)


@pytest.mark.parametrize("name", PIECES)
def test_the_largest_pieces_are_planned_or_refused_soon_and_in_little_memory(name: str) -> None:
    found = trial("worst", name)
    assert found["offences"] == []
    assert_soon_and_small(found)


@pytest.mark.parametrize("name", TEXTS)
def test_the_largest_wrong_files_are_refused_soon_and_in_little_memory(name: str) -> None:
    found = trial("worst", name)
    assert found["offences"] == []
    assert found["refused"] == 1
    assert_soon_and_small(found)


def called(path: Path) -> str | None:
    """What is wrong with the way in which the command line ended on this file, if anything."""
    ran = python("-m", "weftline", "plan", str(path))
    lines = ran.stderr.splitlines()
    if ran.returncode in (0, 1):
        return None if ran.stdout and not lines else f"code {ran.returncode} with {ran.stderr!r}"
    if ran.returncode != 2 or ran.stdout or len(lines) != 1:
        return f"code {ran.returncode}, {len(ran.stdout)} characters of output, and said {ran.stderr[-400:]!r}"
    return fault(lines[0])


def test_the_command_line_answers_damaged_files_with_one_line_and_code_2_or_a_plan(tmp_path: Path) -> None:
    numbers = range(0, 5000, 5000 // CALLS + 7)
    cases = {f"{number:04d}.json": damaged(number) for number in numbers}
    cases |= {f"worst-{place}.json": worst_case(name) for place, name in enumerate(TEXTS)} if FULL else {}
    for name, data in cases.items():
        (tmp_path / name).write_bytes(data)
    with ThreadPoolExecutor(3) as several:
        found = dict(zip(cases, several.map(called, [tmp_path / name for name in cases]), strict=True))
    assert {name: wrong for name, wrong in found.items() if wrong is not None} == {}


def test_the_damage_of_a_number_is_always_the_same() -> None:
    assert [damaged(number) for number in range(60)] == [damaged(number) for number in range(60)]
