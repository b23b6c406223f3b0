"""Six small pieces that tests share, and short ways to write another one.

A piece is a plain dict in the shape of the project file; ``read`` and ``named`` make a project of it.
"""

import copy
import json
from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np

from weftline.core.piece.cloth import Cloth, expand
from weftline.core.piece.values import Project
from weftline.core.weave.face import Beads
from weftline.core.weave.picks import Weaving
from weftline.formats.native import loads

Piece = dict[str, Any]

WOOL: Final[Piece] = {
    "o": {"name": "Oat", "fibre": "wool", "size": "Nm 6/2", "colour": "#e8dfc8", "strands": 2},
    "s": {"name": "Slate", "fibre": "wool", "size": "Nm 6/2", "colour": "#3b4a5a", "strands": 2},
    "m": {"name": "Madder", "fibre": "wool", "size": "Nm 6/2", "colour": "#a8382c"},
    "w": {"name": "Linen", "fibre": "linen", "size": "NeL 8/3", "colour": "#cbbf9f"},
}

PLAIN_GROUND: Final[Piece] = {
    "weftline": 1,
    "name": "Plain ground",
    "yarns": WOOL,
    "warp": {"yarn": "w"},
    "sections": [{"strips": [{"ends": 37, "bands": [{"name": "Ground", "lines": ["o o o *4"]}]}]}],
}
"""One yarn in every shed."""

ONE_END_SPOTS: Final[Piece] = {
    "weftline": 1,
    "name": "One-end spots",
    "yarns": WOOL,
    "ground": "o",
    "warp": {"yarn": "w", "sett_per_cm": 2.5, "edge": "floating"},
    "beat": {"lines_per_cm": 4, "basis": "measured"},
    "sections": [
        {
            "name": "Cushion",
            "strips": [
                {"name": "Cushion", "ends": 121, "bands": [{"name": "Spots", "lines": ["s o o", "o o o"], "times": 12}]}
            ],
        }
    ],
}
"""A second wool on shaft 1 in every other line."""

TEETH: Final[Piece] = {
    "weftline": 1,
    "name": "Teeth there and back",
    "yarns": WOOL,
    "warp": {"yarn": "w"},
    "sections": [
        {
            "strips": [
                {
                    "ends": 61,
                    "bands": [
                        {"name": "Foot", "lines": ["o o o *2"]},
                        {
                            "name": "Teeth",
                            "lines": ["o o o", "s o o *2", "s s o", "s s m"],
                            "mirror": "picks",
                            "times": 3,
                        },
                        {"name": "Head", "lines": ["o o o *2"], "resume": True},
                    ],
                }
            ]
        }
    ],
}
"""Treadled backwards from the point: no pick lies twice in one shed."""

TWO_STRAPS: Final[Piece] = {
    "weftline": 1,
    "name": "Sling and two straps",
    "yarns": WOOL,
    "warp": {"yarn": "w", "ends": 85},
    "sections": [
        {
            "name": "Sling",
            "strips": [{"name": "Sling", "ends": 85, "bands": [{"name": "Ground", "lines": ["o o o *6"]}]}],
        },
        {
            "name": "Straps",
            "pieces": 2,
            "strips": [
                {
                    "name": "Left",
                    "ends": 41,
                    "idle_after": 3,
                    "gap_after_cm": 4,
                    "bands": [{"name": "Teeth", "lines": ["o o o", "s o o", "s s o"], "times": 2}],
                },
                {"name": "Right", "ends": 41, "bands": [{"name": "Teeth", "lines": ["o o m *3"], "times": 2}]},
            ],
        },
    ],
}
"""Two sections on one warp: 85 ends, then 41, 3 left idle and 41."""

BLOCKS: Final[Piece] = {
    "weftline": 1,
    "name": "Blocks",
    "yarns": WOOL,
    "warp": {"yarn": "w"},
    "weave": {
        "technique": {
            "shafts": 4,
            "threading": [1, 2, 1, 2, 1, 2, 3, 4, 3, 4, 3, 4],
            "sheds": [[1, 3], [2, 4], [1, 4], [2, 3]],
        }
    },
    "sections": [
        {
            "strips": [
                {
                    "ends": 30,
                    "bands": [
                        {"name": "Both", "lines": ["o s o s *2", "s o s o *2"]},
                        {"name": "First block", "sheds": [[1], [2], [3, 4]], "lines": ["m m o"]},
                    ],
                }
            ]
        }
    ],
}
"""A technique written out, with two blocks; one band weaves the first block in sheds of its own."""

SLOTS: Final[Piece] = {
    "weftline": 1,
    "name": "Slots and turns",
    "yarns": WOOL,
    "warp": {"yarn": "w"},
    "weave": {"technique": "boundweave"},
    "sections": [
        {
            "strips": [
                {
                    "ends": 31,
                    "bands": [
                        {"name": "Heading", "sheds": [[1, 3], [2, 4]], "lines": ["w w *3"], "lines_per_cm": 5},
                        {"name": "Slots", "lines": ["o - s o", "o s+m s o back *2", "- o - -", "m m - o back"]},
                        {"name": "Home", "lines": ["o o o o"], "resume": True},
                    ],
                }
            ]
        }
    ],
}
"""A plain-weave heading, sheds that are not thrown, lines thrown from the last shed, two yarns wound together."""

PIECES: Final[Mapping[str, Piece]] = {
    "plain ground": PLAIN_GROUND,
    "one-end spots": ONE_END_SPOTS,
    "teeth there and back": TEETH,
    "two straps on one warp": TWO_STRAPS,
    "blocks": BLOCKS,
    "slots and turns": SLOTS,
}


def read(piece: Piece) -> Project:
    """Read a piece as a project file would be read."""
    return loads(json.dumps(piece))


def named(name: str) -> Project:
    """Read one of the six pieces."""
    return read(PIECES[name])


def changed(piece: Piece, path: Sequence[str | int], value: Any) -> Piece:
    """Copy a piece with one value put in, at a path such as ``("sections", 0, "strips", 0, "ends")``."""
    found = copy.deepcopy(piece)
    inner: Any = found
    for part in path[:-1]:
        inner = inner.setdefault(part, {}) if isinstance(part, str) else inner[part]
    inner[path[-1]] = value
    return found


def one_strip(*bands: Piece, ends: int = 37, **keys: Any) -> Piece:
    """Write a piece of one strip."""
    return {"weftline": 1, "yarns": WOOL, "sections": [{"strips": [{"ends": ends, "bands": list(bands)}]}], **keys}


def own_technique(shafts: int, threading: Sequence[int], sheds: Sequence[Sequence[int]]) -> Piece:
    """Write the ``weave`` of a technique that is written out."""
    return {"technique": {"shafts": shafts, "threading": list(threading), "sheds": [list(shed) for shed in sheds]}}


def cloth_of(piece: Piece) -> Cloth:
    """Read and expand a piece."""
    return expand(read(piece))


def weaving_of(piece: Piece) -> Weaving:
    """Read and expand a piece, and take its first strip."""
    return cloth_of(piece).sections[0].strips[0].weaving


def drawn(columns: Sequence[Beads], height_mm: float, step_mm: float) -> list[str]:
    """Draw columns of beads, the topmost row first: a pick is its figure, '.' is bare warp."""
    rows = round(height_mm / step_mm)
    shown = [column.at(np.arange(rows, dtype=np.float64) * step_mm + step_mm / 2) for column in columns]
    return ["".join("." if pick[row] < 0 else str(pick[row]) for pick in shown) for row in reversed(range(rows))]
