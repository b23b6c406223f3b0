"""The wheel: everything in it, and it works where the clone is out of sight."""

import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from tests.architecture.source import PACKAGE, ROOT


def run(*command: str | Path, cwd: Path) -> str:
    """Run a command without the settings of this test run; show everything that it said if it fails."""
    environment = {name: value for name, value in os.environ.items() if name not in {"PYTHONPATH", "VIRTUAL_ENV"}}
    environment["WEFTLINE_DATA"] = str(cwd / "data")
    ran = subprocess.run(
        [str(word) for word in command], cwd=cwd, env=environment, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, f"{command} ended with {ran.returncode}\n{ran.stdout}\n{ran.stderr}"
    return ran.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from this clone."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-P", "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT, cwd=folder)
    (wheel,) = folder.glob("*.whl")
    return wheel


def test_wheel_holds_every_file_of_the_package(wheel: Path) -> None:
    ours = {
        path.relative_to(PACKAGE.parent).as_posix()
        for path in PACKAGE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    with zipfile.ZipFile(wheel) as archive:
        assert ours - set(archive.namelist()) == set()


def test_wheel_plans_an_example_away_from_the_clone(wheel: Path, tmp_path: Path) -> None:
    examples = sorted((ROOT / "examples").glob("*.json"))
    assert examples, "examples/ holds no project file to plan"
    env, elsewhere = tmp_path / "env", tmp_path / "elsewhere"
    elsewhere.mkdir()
    run(sys.executable, "-m", "venv", "--without-pip", env, cwd=tmp_path)
    (packages,) = env.glob("lib/python*/site-packages")
    # The packages that the wheel asks for are those of this environment; its way to our source is not followed.
    (packages / "requirements.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    pip: list[str | Path] = [sys.executable, "-P", "-m", "pip", "--python", env / "bin" / "python"]
    run(*pip, "install", "--quiet", "--no-index", "--no-deps", wheel, cwd=tmp_path)

    place = run(env / "bin" / "python", "-c", "import weftline; print(weftline.__file__)", cwd=elsewhere)
    assert Path(place.strip()).is_relative_to(env)
    assert run(env / "bin" / "weftline", "plan", examples[0], cwd=elsewhere).strip()
