"""Kills writers at random moments, and says what the store has of what they were promised."""

import os
import random
import signal
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from tests.pieces import TEETH, read
from weftline.core.piece.entries import fold
from weftline.services.readable import read_draft
from weftline.wiring import Settings, opened

HOME = Path(__file__).parents[2]
WRITERS = 4
SHARED = 5


@dataclass
class Promise:
    """What writers said, before they were killed."""

    acknowledged: dict[str, int] = field(default_factory=dict)
    twice: list[str] = field(default_factory=list)
    kills: int = 0

    def note(self, line: str) -> None:
        """Take down one acknowledged change; a line cut off by the kill was never said."""
        if line.endswith("\n"):
            seq, name = line.split()
            if self.acknowledged.setdefault(name, int(seq)) != int(seq):
                self.twice.append(name)


def kill_writers(data: Path, kills: int, seed: int) -> tuple[str, Promise]:
    """Let writers work on one piece of one store, each until it is killed; return the piece and what they said."""
    rng = random.Random(seed)
    promise = Promise()
    with opened(Settings(data)) as services:
        piece = services.pieces.create(read(TEETH), "one hand").stream
    while promise.kills < kills:
        count = min(WRITERS, kills - promise.kills)
        shared = [f"shared.{promise.kills}.{number}" for number in range(SHARED)]
        threads = [
            threading.Thread(
                target=_one, args=(data, piece, f"w{promise.kills + number}", shared, rng.uniform(0.0, 0.6), promise)
            )
            for number in range(count)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        promise.kills += count
    return piece, promise


def _one(data: Path, piece: str, word: str, shared: list[str], seconds: float, promise: Promise) -> None:
    command = [sys.executable, str(HOME / "tests" / "store" / "writer.py"), str(data), piece, word, *shared]
    environment = {**os.environ, "PYTHONPATH": f"{HOME / 'src'}:{HOME}"}
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as writer:
        out = writer.stdout
        if out is None:
            return
        promise.note(out.readline())
        threading.Thread(target=_kill, args=(writer, seconds), daemon=True).start()
        for line in out:
            promise.note(line)


def _kill(writer: "subprocess.Popen[str]", seconds: float) -> None:
    time.sleep(seconds)
    writer.send_signal(signal.SIGKILL)


def broken_promises(data: Path, piece: str, promise: Promise) -> list[str]:
    """Return everything that is not as it was promised."""
    with opened(Settings(data)) as services:
        entries = services.pieces.entries_after(piece, 0)
        state = services.pieces.open(piece)
    kept = {entry.id: entry.seq for entry in entries}
    troubles = [f"{name} was told two places" for name in promise.twice]
    troubles += [f"{one} lost" for one, seq in promise.acknowledged.items() if kept.get(one) != seq]
    if len(kept) != len(entries):
        troubles.append("an id is there twice")
    if [entry.seq for entry in entries] != list(range(1, len(entries) + 1)):
        troubles.append("the places have holes")
    if fold(entries) != state:
        troubles.append("the state at hand is not the fold")
    read_draft(state.draft)
    return troubles
