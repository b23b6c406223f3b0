"""Small pieces for the tests of the picture, and what the model says about them."""

import json
from typing import Any

import numpy as np
from numpy.typing import NDArray

import weftline
from weftline.core.piece.cloth import Cloth, expand
from weftline.core.piece.settings import Settings, settings_of
from weftline.core.weave.back import back_columns
from weftline.core.weave.face import face_columns
from weftline.drawing.layout import layout
from weftline.drawing.wool import View
from weftline.drawing.wool.view import canvas

COLOURS = ("#000000", "#ffffff", "#ff0000", "#0000ff", "#00a651", "#ffd400", "#7a3b8f", "#404f5e")
KEYS = "abcdefgh"
SMALLEST_PX = 6


def cloth_of(piece: dict[str, Any]) -> tuple[Cloth, Settings]:
    project = weftline.loads(json.dumps({"weftline": 1, **piece}))
    return expand(project), settings_of(project)


def random_lines(rng: np.random.Generator, count: int, sheds: int, *, regular: bool = False) -> list[str]:
    """Lines of random yarns; unless regular, some leave out a pick and some are thrown backwards."""
    lines = []
    for _ in range(count):
        words = [KEYS[place] for place in rng.integers(0, len(KEYS), sheds)]
        if not regular and rng.random() < 0.12 and sheds > 2:
            words[int(rng.integers(sheds))] = "-"
        lines.append(" ".join(words) + (" back" if not regular and rng.random() < 0.1 else ""))
    return lines


def yarns() -> dict[str, Any]:
    return {key: {"colour": colour} for key, colour in zip(KEYS, COLOURS, strict=True)}


def random_piece(seed: int) -> dict[str, Any]:
    """A piece of any technique of the family or of a threading of its own, often with a hem and odd lines."""
    rng = np.random.default_rng(seed)
    shafts = int(rng.integers(3, 9))
    own = {
        "shafts": shafts,
        "threading": [int(shaft) + 1 for shaft in rng.permutation(shafts)],
        "sheds": [[shaft + 1] for shaft in range(shafts)],
    }
    named = [("krokbragd", 3), ("boundweave", 4), ("boundweave on opposites", 4), ("two against two", 4)]
    name, sheds = named[int(rng.integers(len(named)))]
    technique: Any = name
    if rng.random() < 0.3:
        technique, sheds = own, shafts
    bands: list[dict[str, Any]] = [{"lines": random_lines(rng, 8, sheds)}]
    if technique == "krokbragd" and rng.random() < 0.5:
        bands.insert(0, {"sheds": [[2], [1, 3]], "lines": ["a b *4"], "lines_per_cm": 4.5})
    strips = [{"ends": int(rng.integers(9, 40)), "bands": bands, "gap_after_cm": 2}]
    if rng.random() < 0.3:
        strips.append({"ends": 13, "bands": bands, "gap_after_cm": 0})
    edge = ("none", "floating", "doubled")[int(rng.integers(3))]
    weave = {"technique": technique, "face": "up" if rng.random() < 0.7 else "down"}
    return {"yarns": yarns(), "weave": weave, "warp": {"edge": edge}, "sections": [{"strips": strips}]}


def model_points(
    cloth: Cloth, settings: Settings, view: View, rng: np.random.Generator, each: tuple[float, float]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Random points in the inner part of random beads or floats: rows, columns and the pick the model says.

    ``each`` is how far from the middle a point may lie: in heights of the bead, and in columns. Beads
    lower than ``SMALLEST_PX`` are left out.
    """
    size = canvas(cloth, settings, view)
    rows, columns, picks = [], [], []
    mirrored = view.back == (cloth.project.weave.face == "up")
    placed_width = layout(cloth, settings).width_mm
    for placed in size.layout.strips:
        weaving = placed.strip.weaving
        shown = [column.shows for column in back_columns(weaving)] if view.back else face_columns(weaving)
        for end, beads in enumerate(shown):
            for pick, low, high in zip(beads.pick, beads.low_mm, beads.high_mm, strict=True):
                if (high - low) / size.line_mm * size.line_px < SMALLEST_PX:
                    continue
                up = (low + high) / 2 + (high - low) * rng.uniform(-each[0], each[0]) + placed.foot_mm
                right = (end + 0.5 + rng.uniform(-each[1], each[1])) * placed.width_mm / len(shown) + placed.left_mm
                right = placed_width - right if mirrored else right
                row = size.rows - 1 - (size.foot + up / size.line_mm * size.line_px) / size.times
                rows.append(round(row))
                columns.append(int((size.left + right / size.pitch_mm * size.column_px) / size.times))
                picks.append(pick)
    return np.array(rows), np.array(columns), np.array(picks)
