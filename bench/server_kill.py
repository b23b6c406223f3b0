"""The workbench killed three hundred times while scripts write over HTTP: how much of what it said is kept."""

from __future__ import annotations

import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from bench.timing import told
from tests.server.killing_server import Count, kill_server

KILLS = int(sys.argv[1]) if len(sys.argv) > 1 else 300
FOLDERS = 2
"""Data folders side by side: a start takes most of the time, and one processor."""


def _one(number: int) -> Count:
    kills = KILLS // FOLDERS + (number < KILLS % FOLDERS)
    with tempfile.TemporaryDirectory() as folder:
        return kill_server(Path(folder), kills, seed=300 + number)


def main() -> None:
    """Kill, look, tell; exit code 1 if anything is not as promised."""
    start = time.perf_counter()
    with ThreadPoolExecutor(FOLDERS) as pool:
        counts = list(pool.map(_one, range(FOLDERS)))
    took = told(time.perf_counter() - start)
    names = ("kills", "acknowledged", "cut_off", "kept_unsaid", "found", "doubled", "lost")
    total = {name: sum(getattr(count, name) for count in counts) for name in names}
    troubles = [trouble for count in counts for trouble in count.troubles]
    print(
        f"{total['kills']} kills in {took}: {total['acknowledged']} changes acknowledged, {total['found']} found, "
        f"{total['doubled']} doubled, {total['lost']} lost; {total['cut_off']} answers cut off, "
        f"{total['kept_unsaid']} of them kept; {len(troubles)} not as promised"
    )
    for trouble in troubles[:20]:
        print(f"  {trouble}")
    sys.exit(bool(troubles))


if __name__ == "__main__":
    main()
