"""Whole strips in a few pixels: every bead in its flat colour, averaged by area."""

import random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.pieces import cloth_of
from tests.strategies import random_project
from tests.vectors.strips import picks_data
from weftline.core.colour.light import hex_to_linear, to_srgb
from weftline.core.weave.back import back_columns
from weftline.core.weave.face import Beads, face_columns
from weftline.core.weave.picks import Weaving
from weftline.drawing.yarn_colours import winding_lights

WARP = "#8a8277"


Floats = NDArray[np.float64]


def _overlap(low: Floats, high: Floats, count: int) -> Floats:
    """Return (stretches, count): how much of each of so many cells, one long each, every stretch takes."""
    cells = np.arange(count, dtype=np.float64)
    shared: Floats = np.minimum(high[:, None], cells + 1) - np.maximum(low[:, None], cells)
    return shared.clip(0)


def _column(beads: Beads, weaving: Weaving, lights: Floats, height: int) -> Floats:
    """Return (height, 3): the mean light of each row of a column, from the foot up."""
    if not len(beads.pick):
        return np.tile(hex_to_linear(WARP), (height, 1))
    scale = height / weaving.picks.height_mm
    shares = _overlap(beads.low_mm * scale, beads.high_mm * scale, height)
    mean: Floats = shares.T @ lights[weaving.picks.wound[beads.pick]]
    return mean


def _pixels(weaving: Weaving, lights: Floats, size: tuple[int, int], *, back: bool) -> NDArray[np.uint8]:
    """Return (height, width, 3), the highest row first."""
    width, height = size
    beads = [column.shows for column in back_columns(weaving)][::-1] if back else face_columns(weaving)
    columns = np.stack([_column(one, weaving, lights, height) for one in beads])
    edges = np.arange(len(beads) + 1, dtype=np.float64) * (width / len(beads))
    light = np.tensordot(columns, _overlap(edges[:-1], edges[1:], width), axes=(0, 0)).transpose(0, 2, 1)
    return np.floor(to_srgb(light[::-1]) * 255 + 0.5).astype(np.uint8)


def wholes() -> dict[str, Any]:
    """Return strips with their pixels in a small picture."""
    rng = random.Random(4)
    cases: list[dict[str, Any]] = []
    while len(cases) < 24:
        piece = random_project(rng)
        piece["yarns"] = {
            key: {**yarn, "colour": f"#{rng.randrange(1 << 24):06x}"} for key, yarn in piece["yarns"].items()
        }
        cloth = cloth_of(piece)
        weaving = cloth.sections[0].strips[0].weaving
        if not 1 <= len(weaving.picks) <= 90:
            continue
        lights = winding_lights(cloth.project, weaving.windings)
        size, back = (rng.randint(1, 12), rng.randint(1, 14)), rng.random() < 0.5
        ends = weaving.ends.tolist()
        cases.append(
            {
                "picks": {name: picks_data(weaving.picks)[name] for name in ("shed", "wound", "line", "step")},
                "ends": ends[::-1] if back else ends,
                "back": back,
                "lights": lights.tolist(),
                "warp": hex_to_linear(WARP).tolist(),
                "size": list(size),
                "pixels": _pixels(weaving, lights, size, back=back).ravel().tolist(),
            }
        )
    return {"cases": cases}
