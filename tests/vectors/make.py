"""Writes what Python makes of many small cases, for the pages' scripts to agree with.

``python -m tests.vectors.make`` writes the files anew; ``tests/frontend`` checks both sides against them.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from tests.vectors.drafts import drafts
from tests.vectors.lights import lights
from tests.vectors.lines import lines
from tests.vectors.sights import sights
from tests.vectors.strips import strips
from tests.vectors.wholes import wholes

FOLDER: Final = Path(__file__).parent
VECTORS: Final[dict[str, Callable[[], dict[str, Any]]]] = {
    "lines": lines,
    "strips": strips,
    "drafts": drafts,
    "sights": sights,
    "lights": lights,
    "wholes": wholes,
}


def text_of(vectors: dict[str, Any]) -> str:
    """Return vectors as they stand in their file: each case on a line."""
    groups = []
    for name, cases in vectors.items():
        rows = ",\n".join(json.dumps(case, separators=(",", ":")) for case in cases)
        groups.append(f"{json.dumps(name)}: [\n{rows}\n]")
    return "{\n" + ",\n".join(groups) + "\n}\n"


def main() -> None:
    for name, make in VECTORS.items():
        (FOLDER / f"{name}.json").write_text(text_of(make()), encoding="ascii")


if __name__ == "__main__":
    main()
