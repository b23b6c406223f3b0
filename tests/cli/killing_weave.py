"""Kills ``weftline weave --count`` at random moments, and holds what the log has against what was printed."""

import json
import os
import random
import signal
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

HOME = Path(__file__).parents[2]
KILLS_EACH = 20
EARLY = 0.2
"""So many kills come while the program starts, the others while it throws."""
STARTING_S = 1.0
THROWING_S = 0.5


@dataclass
class Kills:
    """What was printed and what the log has, kill by kill."""

    kills: int = 0
    early: int = 0
    printed: int = 0
    woven: int = 0
    woven_here: int = 0
    troubles: list[str] = field(default_factory=list)


def kill_weaving(folder: Path, piece: dict[str, Any], kills: int, seed: int) -> Kills:
    """Weave copies of a piece, each until it was killed so often; every time the log is looked at."""
    rng, found = random.Random(seed), Kills()
    for first in range(0, kills, KILLS_EACH):
        path = folder / f"piece {first}.json"
        path.write_text(json.dumps(piece), encoding="utf-8")
        found.woven_here = 0
        for _ in range(min(KILLS_EACH, kills - first)):
            _one_life(found, folder / "data", path, rng)
    return found


def _one_life(found: Kills, data: Path, path: Path, rng: random.Random) -> None:
    environment = {**os.environ, "PYTHONPATH": str(HOME / "src"), "WEFTLINE_DATA": str(data)}
    weftline = [sys.executable, "-m", "weftline"]
    command = [*weftline, "weave", str(path), "--count", "100000"]
    early = rng.random() < EARLY
    seconds = rng.uniform(0, STARTING_S if early else THROWING_S)
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as weaving:
        out = weaving.stdout.readline() if weaving.stdout is not None and not early else b""
        killer = threading.Thread(target=_kill, args=(weaving, seconds), daemon=True)
        killer.start()
        out += weaving.stdout.read() if weaving.stdout is not None else b""
        killer.join()
    if weaving.returncode != -signal.SIGKILL:
        found.troubles.append(f"weave ended by itself with {weaving.returncode}")
    found.kills += 1
    told = subprocess.run([*weftline, "log", str(path), "--json"], env=environment, capture_output=True, check=True)
    lines = [line.decode() for line in out.splitlines(keepends=True)]
    _compare(found, lines, json.loads(told.stdout)["woven_picks"])


def _kill(weaving: "subprocess.Popen[bytes]", seconds: float) -> None:
    time.sleep(seconds)
    weaving.send_signal(signal.SIGKILL)


def _compare(found: Kills, lines: list[str], woven: int) -> None:
    """Hold one life against the log; a line that the kill cut off was never said."""
    said = [int(line) for line in lines if line.endswith("\n")]
    before, found.woven_here = found.woven_here, woven
    found.early += not said
    if said != list(range(before + 1, before + 1 + len(said))):
        found.troubles.append(f"after {before} the ordinals were {said[:3]} to {said[-3:]}")
    if not 0 <= woven - before - len(said) <= 1:
        found.troubles.append(f"{len(said)} were printed after {before}, the log has {woven}")
    found.printed += len(said)
    found.woven += woven - before
