"""A large piece to be painted on: 600 ends, 3,000 lines in many bands."""

from __future__ import annotations

from typing import Any

import numpy as np

ENDS, LINES = 600, 3_000


def piece(seed: int = 5) -> dict[str, Any]:
    """Return a runner of many bands, some of them mirrored, some short and repeated often."""
    rng = np.random.default_rng(seed)
    yarns = {
        key: {"name": key, "fibre": "wool", "size": "Nm 6/2", "colour": colour}
        for key, colour in zip("orswl", ("#e8dfc8", "#a8382c", "#3b4a5a", "#d18f22", "#8f9a5b"), strict=True)
    }
    bands: list[dict[str, Any]] = []
    left = LINES
    while left > 0:
        size = int(rng.integers(2, 9))
        times = int(rng.integers(1, 20))
        mirror = ("none", "lines", "picks")[int(rng.integers(3))]
        lines = [" ".join(rng.choice(list("orswl"), 3)) for _ in range(size)]
        bands.append({"lines": lines, "times": times, **({} if mirror == "none" else {"mirror": mirror})})
        left -= size * times * (1 if mirror == "none" else 2)
    strip = {"ends": ENDS + 1, "bands": bands}
    return {"weftline": 1, "name": "Runner", "yarns": yarns, "sections": [{"strips": [strip]}]}
