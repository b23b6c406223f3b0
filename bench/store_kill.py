"""Three hundred writers, each killed at a random moment: how much of what was acknowledged is there afterwards."""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from bench.timing import told
from tests.store.killing import broken_promises, kill_writers

KILLS = 300


def main() -> None:
    """Kill, look, tell; exit code 1 if anything was lost."""
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        piece, promise = kill_writers(Path(folder), KILLS, seed=300)
        troubles = broken_promises(Path(folder), piece, promise)
        took = told(time.perf_counter() - start)
    kept = len(promise.acknowledged)
    print(f"{promise.kills} kills in {took}: {kept} changes acknowledged, {len(troubles)} not as promised")
    for trouble in troubles[:20]:
        print(f"  {trouble}")
    sys.exit(bool(troubles))


if __name__ == "__main__":
    main()
