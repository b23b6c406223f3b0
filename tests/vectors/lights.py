"""Colours in linear light, strands side by side, and yarn colours on lit wool."""

import random
from typing import Any

import numpy as np

from weftline.core.colour.light import hex_to_linear, to_linear, to_srgb, wound_together
from weftline.drawing.wool.dye import table


def _hex(rng: random.Random) -> str:
    return f"#{rng.randrange(1 << 24):06x}"


def lights() -> dict[str, Any]:
    """Return colours as linear light, and the tables of some of them."""
    rng = random.Random(2)
    values = [0.0, 0.0031308, 0.04045, 1.0, -0.02, 1.3, *(rng.random() for _ in range(40))]
    colours = ["#000000", "#ffffff", "#0a0a0a", "#ff0000", *(_hex(rng) for _ in range(20))]
    mixes = []
    for _ in range(20):
        parts = [(_hex(rng), rng.randint(1, 5)) for _ in range(rng.randint(1, 4))]
        light = wound_together((hex_to_linear(colour), float(share)) for colour, share in parts)
        mixes.append({"parts": [list(part) for part in parts], "light": light.tolist()})
    tables = []
    for colour in colours:
        centre, wide = rng.randint(90, 150), rng.randint(15, 50)
        seen = np.round(1e5 * np.exp(-(((np.arange(256) - centre) / wide) ** 2)))
        rows = table(hex_to_linear(colour), seen)
        tables.append(
            {"colour": colour, "centre": centre, "seen": seen.astype(int).tolist(), "table": rows.ravel().tolist()}
        )
    return {
        "values": [{"value": one, "linear": float(to_linear(one)), "srgb": float(to_srgb(one))} for one in values],
        "colours": [{"colour": colour, "light": hex_to_linear(colour).tolist()} for colour in colours],
        "mixes": mixes,
        "tables": tables,
    }
