"""Read files in one process and tell how each ended, the longest time and the most memory.

Run as ``python -m tests.hostile.trial damaged 0 500`` (numbers from 0 below 500) or
``python -m tests.hostile.trial worst NAME`` or ``python -m tests.hostile.trial extremes``; the answer is one JSON object on standard output.
"""

import json
import resource
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.hostile.damage import damaged, extremes
from tests.hostile.worst_cases import worst_case
from weftline.core.plan.plan import plan
from weftline.errors import WeftlineError
from weftline.formats.native import loads
from weftline.formats.plan_json import plan_data

MACHINE_WORDS = (
    "traceback", "pydantic", "error", "exception", "validation", "nonetype", "<class", "object at 0x", "input should",
    "line_errors", "numpy", "recursion", "overflow",
)  # fmt: skip
ADDRESS_SPACE = 6_000_000_000
"""A file that wants more than this is stopped before the machine is."""


def peak_mb() -> float:
    """The most memory that this process has held; ``getrusage`` would count that of the process that started it."""
    try:
        status = Path("/proc/self/status").read_text(encoding="ascii", errors="replace")
        return int(status.split("VmHWM:")[1].split()[0]) / 1024
    except (OSError, IndexError):
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def fault(message: str) -> str | None:
    """What is wrong with a message, if anything."""
    if not message.isprintable():
        return "is not one printable line"
    if len(message) >= 300:
        return f"has {len(message)} characters"
    if len(message.split()) < 3:
        return "is no sentence"
    if any(word in message.lower() for word in MACHINE_WORDS):
        return "speaks of the machine"
    return None


def ending(data: bytes) -> str:
    """How reading and planning a file ended: ``plan``, ``refused``, or what went wrong."""
    try:
        json.dumps(plan_data(plan(loads(data))), allow_nan=False)
    except WeftlineError as cause:
        wrong = fault(str(cause))
        return "refused" if wrong is None else f"a message {wrong}: {str(cause)[:400]!r}"
    except Exception as cause:
        return f"not refused but failed: {type(cause).__name__}: {str(cause)[:200]!r}"
    return "plan"


def files(words: list[str]) -> Iterator[tuple[str, bytes]]:
    if words[0] == "worst":
        yield words[1], worst_case(words[1])
    elif words[0] == "extremes":
        yield from extremes()
    else:
        for number in range(int(words[1]), int(words[2])):
            yield str(number), damaged(number)


def trial(named: Iterable[tuple[str, bytes]]) -> dict[str, object]:
    """Read every file; times are of the processor, so that a busy machine does not count."""
    plans = refused = 0
    slowest, slowest_s = "", 0.0
    offences = []
    for name, data in named:
        began = time.process_time()
        end = ending(data)
        took = time.process_time() - began
        plans += end == "plan"
        refused += end == "refused"
        if end not in ("plan", "refused"):
            offences.append(f"{name}: {end}")
        if took > slowest_s:
            slowest, slowest_s = name, took
    return {
        "plans": plans,
        "refused": refused,
        "offences": offences,
        "slowest": slowest,
        "slowest_s": slowest_s,
        "peak_mb": peak_mb(),
    }


if __name__ == "__main__":
    resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
    print(json.dumps(trial(files(sys.argv[1:]))))
