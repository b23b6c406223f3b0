"""Strips as seen at some scale: rows, passes, and which bands look alike."""

import random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.pieces import cloth_of
from tests.strategies import random_project
from tests.vectors.strips import facts, picks_data
from weftline.core.weave.picks import Weaving
from weftline.core.weave.technique import TECHNIQUES
from weftline.drawing.wool import EdgeWarp, Scale, sight
from weftline.drawing.wool.cover import band_keys, cover, reach, variation
from weftline.drawing.wool.panels import LIVE, tile_ends
from weftline.drawing.wool.sight import Sight


def numbered(keys: NDArray[np.int64]) -> list[int]:
    """Return keys numbered in the order in which they come first."""
    number: dict[int, int] = {}
    return [number.setdefault(int(key), len(number)) for key in keys]


def _piece(rng: random.Random, place: int) -> dict[str, Any]:
    """A random piece, or one on a known threading with many like lines and long bare columns."""
    piece = random_project(rng)
    strip = piece["sections"][0]["strips"][0]
    if place % 3:
        known = rng.choice(TECHNIQUES)
        piece["weave"] = {"technique": known.name}
        count = len(known.sheds)
        whole = " ".join(["o"] * count)
        bare = " ".join(["s", *["-"] * (count - 1)])
        back = f"{whole} back"
        lines = rng.choices([whole, f"{whole} *9", back, f"{bare} *{rng.randint(1, 60)}", bare], [6, 4, 2, 3, 1], k=6)
        strip["bands"] = [{"lines": lines, "lines_per_cm": rng.choice([2, 3.75])}, {"lines": [whole], "times": 12}]
    return piece


def _case(weaving: Weaving, line_mm: float, rng: random.Random) -> dict[str, Any]:
    back = rng.random() < 0.5
    edge = rng.choice([EdgeWarp(), EdgeWarp("floating", 1), EdgeWarp("doubled", 2)])
    line_px = rng.choice([1.0, 7.0, 16.0, 24.0, 36.5, 60.0])
    seen = sight(
        weaving, Scale(0.7 * line_px, line_px, line_mm), mirrored=back, back=back, edge=edge, woven=len(weaving.picks)
    )
    picks = picks_data(weaving.picks)
    names = ("shed", "wound", "line", "step")
    return {
        "picks": {name: picks[name] for name in names},
        "ends": seen.ends.tolist(),
        "line_px": line_px,
        "line_mm": line_mm,
        "back": back,
        "edge": {"kind": edge.kind, "ends": edge.ends},
        **_facts(seen),
    }


def _facts(seen: Sight) -> dict[str, Any]:
    phase = variation(seen, LIVE.picks)
    covered = cover(seen, tile_ends(seen, LIVE))
    return {
        "own_shed": seen.shed.tolist(),
        "feet": seen.feet.tolist(),
        "over": seen.over_at[0].astype(int).tolist(),
        "reach": reach(seen),
        "phase": phase,
        "keys": numbered(band_keys(covered, phase, edges=True)),
        "keys_inside": numbered(band_keys(covered, phase, edges=False)),
    }


def sights() -> dict[str, Any]:
    """Return strips as seen."""
    rng = random.Random(8)
    cases: list[dict[str, Any]] = []
    while len(cases) < 48:
        piece = _piece(rng, len(cases))
        weaving = cloth_of(piece).sections[0].strips[0].weaving
        if 2 <= len(weaving.picks) <= 260:
            cases.append(_case(weaving, facts(piece)["lineMm"], rng))
    return {"cases": cases}
