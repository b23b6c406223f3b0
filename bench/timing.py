"""Times things side by side in one run: interleaved, so that a busy minute hits all alike."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


def side_by_side(rounds: int, **things: Callable[[], object]) -> dict[str, list[float]]:
    """Return the seconds of each thing in each round, after one round that is not counted."""
    times: dict[str, list[float]] = {name: [] for name in things}
    for counted in range(-1, rounds):
        for name, run in things.items():
            start = time.perf_counter()
            run()
            if counted >= 0:
                times[name].append(time.perf_counter() - start)
    return times


def middle(times: list[float]) -> float:
    """Return the median."""
    return sorted(times)[len(times) // 2]


def told(seconds: float) -> str:
    """Return a time as people read it."""
    return f"{seconds:.2f} s" if seconds >= 1 else f"{seconds * 1000:.1f} ms"
