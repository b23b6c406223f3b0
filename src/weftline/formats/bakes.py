"""Bakes, rows of cloth without colour, as bytes: a header in JSON, then the pixels.

``WLBAKE1`` and a zero byte; the length of the header, uint32; the header, with spaces at its end to
a multiple of four bytes; the data. All numbers are little-endian. In the header:

width, column_px, line_px, margins, overhang, edge
    The strip from edge to edge, px; what is painted beyond it left and right, and below and above.
picks, around, phase
    A band looks like another if ``around`` picks on each side are alike and both have the same
    place among ``phase`` picks.
types, shows
    The sheds that occur, as masks of shafts, and in which kinds of column their picks show; on the
    back a shed comes once for each kind of line that it lies in.
panels
    Their ``width``, whether an edge of the strip is among them, and ``places``: from which column,
    how many, to which x from the strip's left edge, how often side by side.
bands
    Each with its bake in every panel.
bakes
    ``panel``, ``rows``, and where in the data lies what of it. ``which``: rows x width int8, the
    pick that shows counted from the band's own, -128 for none or one too far to be told.
    ``shade``: rows x width uint8. ``hairs``: eight bytes each, row, column (uint16), pick (int16),
    opacity, 0. The data holds all picks, then all shades, then all hairs: like packs well with like.
colour
    ``brightest``, the shade that 255 stands for, and ``seen``, how often each shade is seen, for
    the dye.
sheds, lines
    Of stock cloth, for each pick.
"""

from __future__ import annotations

import json
import struct
from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.drawing.wool.bake import BARE
from weftline.drawing.wool.light import BRIGHTEST
from weftline.drawing.wool.stock import seen_shades

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.drawing.wool.bake import Bake
    from weftline.drawing.wool.hairs import Hairs
    from weftline.drawing.wool.tiles import Tiles

MAGIC = b"WLBAKE1\0"
NOTHING, FARTHEST = -128, 127
HAIR = np.dtype([("row", "<u2"), ("column", "<u2"), ("pick", "<i2"), ("opacity", "u1"), ("nothing", "u1")])


def bakes_bytes(tiles: Tiles, bands: Sequence[int], *, stock: bool = False) -> bytes:
    """Return some bands of a strip; what is missing of them is baked.

    Parameters
    ----------
    tiles : Tiles
    bands : sequence of int
        Band 0 lies below the foot, band i + 1 is that of pick i, the last lies above the fell.
    stock : bool
        Whether sheds and lines of the picks are told too.
    """
    tiles.bake(bands)
    found: list[Bake] = []
    panels: list[int] = []
    place_of: dict[tuple[int, int], int] = {}
    places = []
    for band in bands:
        own = [band]
        for panel, tile in enumerate(tiles.tiles):
            key = panel, tile.keys[band]
            if key not in place_of:
                place_of[key] = len(found)
                found.append(tile.of(band))
                panels.append(panel)
            own.append(place_of[key])
        places.append(own)
    told, data = _packed(found, panels)
    header = json.dumps({**recipe(tiles, stock=stock), "bands": places, "bakes": told}, separators=(",", ":")).encode()
    header += b" " * (-len(header) % 4)
    return b"".join((MAGIC, struct.pack("<I", len(header)), header, data))


def recipe(tiles: Tiles, *, stock: bool = False) -> dict[str, Any]:
    """Return what all bakes of a strip have in common."""
    sight, cover = tiles.sight, tiles.cover
    firsts = np.unique(cover.code, return_index=True)[1]
    seen = seen_shades(sight.line_px, tiles.grain.finest_line, back=sight.back)
    found: dict[str, Any] = {
        "width": sight.width_px,
        "column_px": sight.column_px,
        "line_px": sight.line_px,
        "margins": list(tiles.margins),
        "overhang": tiles.overhang,
        "picks": len(sight.shed),
        "around": tiles.around,
        "phase": tiles.phase,
        "edge": {"kind": sight.edge.kind, "ends": sight.edge.ends},
        "types": sight.shed[firsts].tolist(),
        "shows": cover.shows[:, firsts].tolist(),
        "panels": [
            {
                "width": tile.panel.width,
                "edges": tile.panel.edges,
                "places": [[place.source, place.width, place.x, place.times] for place in tile.panel.places],
            }
            for tile in tiles.tiles
        ],
        "colour": {"brightest": BRIGHTEST, "seen": seen.astype(int).tolist()},
    }
    if stock:
        found |= {"sheds": sight.shed.tolist(), "lines": sight.line.tolist()}
    return found


def _packed(bakes: Sequence[Bake], panels: Sequence[int]) -> tuple[list[dict[str, Any]], bytes]:
    """Return what is told of each bake, and the data of all."""
    which = [_which(bake) for bake in bakes]
    shade = [bake.shade.tobytes() for bake in bakes]
    hairs = [_hairs(bake.hairs) for bake in bakes]
    ends = np.cumsum([0, *map(len, (*which, *shade, *hairs))]).tolist()
    count = len(bakes)
    told: list[dict[str, Any]] = [
        {
            "panel": panel,
            "rows": len(bake.which),
            "which": ends[place],
            "shade": ends[count + place],
            "hairs": {"at": ends[2 * count + place], "count": len(hairs[place]) // HAIR.itemsize},
        }
        for place, (bake, panel) in enumerate(zip(bakes, panels, strict=True))
    ]
    return told, b"".join((*which, *shade, *hairs))


def _which(bake: Bake) -> bytes:
    far = (bake.which == BARE) | (np.abs(bake.which) > FARTHEST)
    return np.where(far, NOTHING, bake.which).astype(np.int8).tobytes()


def _hairs(loose: Hairs) -> bytes:
    hairs = np.zeros(len(loose.row), dtype=HAIR)
    hairs["row"], hairs["column"], hairs["pick"] = loose.row, loose.column, loose.pick
    hairs["opacity"] = np.rint(loose.opacity * 255)
    return hairs.tobytes()
