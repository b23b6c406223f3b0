"""The piece that a new file starts from."""

from __future__ import annotations

import json

from weftline.core.piece.values import Project
from weftline.core.weave.technique import find_technique
from weftline.formats.native import loads


def starting_piece(name: str, ends: int, technique: str, units: str) -> Project:
    """Return a small piece: ground, then one-end spots of a second wool.

    Raises
    ------
    PieceError
        For a technique or a number of ends that cannot be used.
    """
    known = find_technique(technique)
    sheds = 3 if known is None else len(known.sheds)
    ground, spot = " ".join("o" * sheds), " ".join(["s", *"o" * (sheds - 1)])
    bands = [{"name": "Ground", "lines": [f"{ground} *12"]}, {"name": "Spots", "lines": [f"{spot} *2", f"{ground} *2"]}]
    piece = {
        "weftline": 1,
        "name": name,
        "units": units,
        "weave": {"technique": technique},
        "yarns": {
            "o": {"name": "Oat", "fibre": "wool", "colour": "#e8dfc8"},
            "s": {"name": "Slate", "fibre": "wool", "colour": "#3b4a5a"},
        },
        "ground": "o",
        "sections": [{"strips": [{"ends": ends, "bands": bands}]}],
    }
    return loads(json.dumps(piece))
