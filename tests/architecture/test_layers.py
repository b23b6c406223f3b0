"""Layers: the contracts in pyproject.toml hold, and a wrong-way import in a copy of the package is really caught."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.source import PACKAGE, ROOT


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the package, to do wrong in."""
    shutil.copytree(PACKAGE, tmp_path / "src" / "weftline", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copyfile(ROOT / "pyproject.toml", tmp_path / "pyproject.toml")
    return tmp_path / "src" / "weftline"


def lint(package: Path) -> tuple[int, str]:
    """Run import-linter on the copy; its folder comes first on the path, before our own source."""
    linter = "from importlinter.cli import lint_imports_command as run; run()"
    ran = subprocess.run(
        [sys.executable, "-c", linter, "--no-logo", "--no-cache", "../pyproject.toml"],
        cwd=package.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    return ran.returncode, " ".join((ran.stdout + ran.stderr).split())


def append(path: Path, line: str) -> None:
    """Add a line to a module, which is made if there is none."""
    path.parent.mkdir(exist_ok=True)
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    path.write_text(f"{text}\n{line}\n", encoding="utf-8")


def test_the_package_keeps_its_contracts(copy: Path) -> None:
    code, said = lint(copy)
    assert code == 0, said


@pytest.mark.parametrize(
    "wrong,expected",
    [
        pytest.param(
            {"core/findings.py": "import os"},
            "weftline.core.findings -> os",
            id="the core reaches for the file system",
        ),
        pytest.param(
            {"core/findings.py": "import weftline.errors", "errors.py": "import os"},
            "weftline.errors -> os",
            id="the core reaches for the file system by way of another module",
        ),
        pytest.param(
            {"drawing/__init__.py": "def now():\n    import time"},
            "weftline.drawing -> time",
            id="a drawing reads the clock inside a function",
        ),
        pytest.param(
            {"core/findings.py": "import weftline.cli"},
            "weftline.core.findings -> weftline.cli",
            id="the core imports the command line",
        ),
        pytest.param(
            {"core/findings.py": "import weftline.core.weave"},
            "weftline.core.findings -> weftline.core.weave",
            id="a finding imports the weave above it",
        ),
        pytest.param(
            {"services/__init__.py": "import weftline.store", "store/__init__.py": ""},
            "weftline.services -> weftline.store",
            id="services import the store beside them",
        ),
        pytest.param(
            {"attic/__init__.py": '"""A folder that no contract names."""'},
            "weftline.attic",
            id="a new folder that no contract names",
        ),
    ],
)
def test_a_wrong_way_import_is_caught(copy: Path, wrong: dict[str, str], expected: str) -> None:
    for name, line in wrong.items():
        append(copy / name, line)
    code, said = lint(copy)
    assert code == 1, said
    assert "BROKEN" in said
    assert expected in said
