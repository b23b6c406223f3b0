"""Bands to which the pages' scripts give one signature are baked alike: the same picks, in the same light."""

import json
import random
from typing import Any, Final

import numpy as np

from tests.frontend.scripts import told
from tests.pieces import Piece, cloth_of
from tests.strategies import random_project
from tests.vectors.strips import facts, picks_data
from weftline.core.weave.technique import TECHNIQUES
from weftline.drawing.wool import EdgeWarp, Scale, sight
from weftline.drawing.wool.bake import STEP
from weftline.drawing.wool.panels import LIVE
from weftline.drawing.wool.tiles import Tiles

STRIPS: Final = 16
MARGIN: Final = 8
SEED: Final = 102
MOST_APART: Final = STEP
"""One step of shade: the light of a band depends a little on what is raised with it, wherever it is baked."""


def nearly_regular(rng: random.Random) -> Piece:
    """Whole lines, and among them a few that are thrown backwards, leave out a pick or leave columns bare for long."""
    known = rng.choice(TECHNIQUES)
    count = len(known.sheds)
    whole = ["o"] * count

    def odd() -> str:
        slot = rng.randrange(count)
        left_out = ["-" if one == slot else "o" for one in range(count)]
        bare = ["s", *["-"] * (count - 1), rng.choice(["*1", "*3", "*9"])]
        return " ".join(rng.choice([[*whole, "back"], left_out, bare]))

    many = " ".join([*whole, f"*{rng.randint(16, 24)}"])
    lines = [odd(), many, odd(), odd(), many]
    bands = [{"lines": lines[rng.randint(0, 1) :], "lines_per_cm": rng.choice([2, 3.75])}]
    strip = {"ends": rng.randint(5, 40), "bands": bands}
    return {
        "weftline": 1,
        "yarns": {"o": {}, "s": {}},
        "weave": {"technique": known.name},
        "sections": [{"strips": [strip]}],
    }


def seen(rng: random.Random, piece: Piece) -> tuple[Tiles, dict[str, Any]]:
    """A strip ready to be baked, and the same for the scripts."""
    weaving = cloth_of(piece).sections[0].strips[0].weaving
    back, line_mm = rng.random() < 0.5, facts(piece)["lineMm"]
    edge = rng.choice([EdgeWarp(), EdgeWarp("floating", 1), EdgeWarp("doubled", 2)])
    line_px = rng.choice([8.0, 12.0, 20.0, 33.0])
    scale = Scale(0.7 * line_px, line_px, line_mm)
    strip = sight(weaving, scale, mirrored=back, back=back, edge=edge, woven=len(weaving.picks))
    said = {
        "picks": picks_data(weaving.picks),
        "ends": strip.ends.tolist(),
        "line_px": line_px,
        "line_mm": line_mm,
        "back": back,
        "edge": {"kind": edge.kind, "ends": edge.ends},
    }
    return Tiles(strip, (MARGIN, MARGIN), SEED, LIVE), said


def test_bands_of_one_signature_are_baked_alike() -> None:
    rng = random.Random(6)
    strips: list[tuple[Tiles, dict[str, Any]]] = []
    while len(strips) < STRIPS:
        piece = random_project(rng) if rng.random() < 0.2 else nearly_regular(rng)
        if 5 <= len(cloth_of(piece).sections[0].picks) <= 250:
            strips.append(seen(rng, piece))
    pairs = keys = texts = 0
    for (tiles, _), signed in zip(strips, told("signature_batch.js", [said for _, said in strips]), strict=True):
        for tile in tiles.tiles:
            first: dict[str, int] = {}
            own = signed[0 if tile.panel.edges else 1]
            for band, text in enumerate(own):
                other = first.setdefault(text, band)
                if tile.keys[other] == tile.keys[band]:
                    continue
                pairs += 1
                tile.bake([other, band])
                one, two = tile.of(other), tile.of(band)
                assert np.array_equal(one.which, two.which), json.dumps(text)
                assert np.abs(one.shade.astype(int) - two.shade).max(initial=0) <= MOST_APART
            keys, texts = keys + len(set(tile.keys)), texts + len(first)
    assert pairs >= 100  # bands apart by their keys, for the sake of something far away in their strip
    assert texts <= keys
