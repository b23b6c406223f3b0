"""Locks: complete, with hashes, in step with each other, and naming no place to fetch from."""

import re
import tomllib
from pathlib import Path
from typing import Final

import pytest

from tests.architecture.source import ROOT

REQUIREMENTS: Final = ROOT / "requirements"
LOCKS: Final = sorted(REQUIREMENTS.glob("*.lock"))
PIN: Final = re.compile(r"^([a-z0-9-]+)==(\S+)", re.MULTILINE)

each_lock = pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)


def wanted(path: Path) -> list[str]:
    """Requirements of an ``.in`` file, without options and comments."""
    lines = [line.partition("#")[0].strip() for line in path.read_text(encoding="utf-8").splitlines()]
    return [line for line in lines if line and not line.startswith("-")]


def pins(path: Path) -> set[tuple[str, str]]:
    """Names and versions that a lock holds."""
    return set(PIN.findall(path.read_text(encoding="utf-8")))


def test_there_is_a_lock_for_running_and_one_for_developing() -> None:
    assert [lock.name for lock in LOCKS] == ["dev.lock", "run.lock"]


@each_lock
def test_lock_names_no_place(lock: Path) -> None:
    places = re.compile(r"://|@ |^\s*-|index|find-links|\.(org|com|net|io)\b|[\s\"'](/|file:)", re.IGNORECASE)
    code = [line for line in lock.read_text(encoding="utf-8").splitlines() if not line.startswith("    --hash=sha256:")]
    assert [line for line in code if places.search(line.replace("via -r requirements/", "via "))] == []


@each_lock
def test_every_pin_has_a_hash(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    blocks = re.split(r"\n(?=[a-z])", text)
    assert pins(lock)
    assert [block.split()[0] for block in blocks if PIN.match(block) and "--hash=sha256:" not in block] == []


@each_lock
def test_lock_holds_all_that_is_asked_for(lock: Path) -> None:
    held = {name for name, _ in pins(lock)}
    assert [name for name in wanted(lock.with_suffix(".in")) if name not in held] == []


def test_developing_uses_the_versions_that_run() -> None:
    assert pins(REQUIREMENTS / "run.lock") <= pins(REQUIREMENTS / "dev.lock")


def test_the_wheel_asks_for_what_the_clone_installs() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert sorted(project["dependencies"]) == sorted(wanted(REQUIREMENTS / "run.in"))
