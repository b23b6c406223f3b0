"""The cloth as a display list: every pick one symbol, placed at its height in its colour.

A pick's beads (or, on the back, its visible floats) look alike wherever the pick's shed and its
distances to the neighbours in every column are alike, so a piece needs few symbols and one placing
a pick. Shading is flat: the bead in its yarn's colour, a darker rim around it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import to_srgb
from weftline.core.weave.back import back_columns
from weftline.core.weave.face import face_columns
from weftline.drawing.layout import PlacedStrip, layout
from weftline.drawing.pens import Box, Oval, Shape
from weftline.drawing.yarn_colours import winding_lights

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings
    from weftline.core.weave.face import Beads
    from weftline.drawing.pens import Pen

RIM = "#000000"
RIM_OPACITY = 0.26
Spans = tuple[tuple[int, int, float, float], ...]
"""Of one pick: (first end, ends, foot, top) of each stretch that shows; heights mm from the pick's centre."""


def draw_beads(cloth: Cloth, settings: Settings, pen: Pen, *, back: bool = False) -> tuple[float, float]:
    """Tell a pen the face of a piece, or its back as seen from behind; return its width and height in mm."""
    placed = layout(cloth, settings)
    mirrored = back == (cloth.project.weave.face == "up")
    side = "Back" if back else "Face"
    ends = sum(strip.written.ends for strip in cloth.sections[0].strips)
    pen.page(
        placed.width_mm,
        placed.height_mm,
        f"{cloth.project.name}: {side.lower()}",
        f"{side} of {cloth.project.name}, {cloth.technique.name}, {ends} ends, line 1 at the bottom.",
    )
    symbols: dict[tuple[str, float, Spans], str] = {}
    for strip in placed.strips:
        left = placed.width_mm - strip.left_mm - strip.width_mm if mirrored else strip.left_mm
        _draw_strip(cloth, strip, pen, left, symbols, back=back, mirrored=mirrored)
    return placed.width_mm, placed.height_mm


def _draw_strip(
    cloth: Cloth,
    placed: PlacedStrip,
    pen: Pen,
    left: float,
    symbols: dict[tuple[str, float, Spans], str],
    *,
    back: bool,
    mirrored: bool,
) -> None:
    weaving = placed.strip.weaving
    columns = [column.shows for column in back_columns(weaving)] if back else face_columns(weaving)
    if mirrored:
        columns = columns[::-1]
    pitch = placed.width_mm / len(columns)
    colours = [_hex(light) for light in winding_lights(cloth.project, weaving.windings)]
    picks = weaving.picks
    layers = (_beads(columns, picks.centre_mm), _floats(columns, picks.centre_mm) if back else [])
    for shapes_of, layer in zip((_ground, _float) if back else (_bead, _float), layers, strict=True):
        for pick, spans in enumerate(layer):
            if not spans:
                continue
            key = (shapes_of.__name__, round(pitch, 4), spans)
            if key not in symbols:
                symbols[key] = f"pick {len(symbols)}"
                pen.symbol(symbols[key], shapes_of(spans, pitch))
            height = placed.foot_mm + float(picks.centre_mm[pick])
            pen.place(symbols[key], left, height, colours[int(picks.wound[pick])])


def _hex(light: NDArray[np.float64]) -> str:
    return "#" + bytes(np.round(to_srgb(light) * 255).astype(np.uint8)).hex()


def _beads(columns: list[Beads], centres: NDArray[np.float64]) -> list[Spans]:
    """Return the beads of every pick, end by end."""
    found: list[list[tuple[int, int, float, float]]] = [[] for _ in centres]
    for end, beads in enumerate(columns):
        feet = np.round(beads.low_mm - centres[beads.pick], 3).tolist()
        tops = np.round(beads.high_mm - centres[beads.pick], 3).tolist()
        for pick, foot, top in zip(beads.pick.tolist(), feet, tops, strict=True):
            found[pick].append((end, 1, foot, top))
    return [tuple(stretches) for stretches in found]


def _floats(columns: list[Beads], centres: NDArray[np.float64]) -> list[Spans]:
    """Return the floats of every pick: neighbouring ends in one stretch, at its full height."""
    found: list[Spans] = []
    for beads in _beads(columns, centres):
        stretches: list[tuple[int, int, float, float]] = []
        for end, ends, foot, top in beads:
            if stretches and sum(stretches[-1][:2]) == end:
                first, before, low, high = stretches.pop()
                stretches.append((first, before + ends, min(low, foot), max(high, top)))
            else:
                stretches.append((end, ends, foot, top))
        found.append(tuple(stretches))
    return found


def _ground(spans: Spans, pitch: float) -> tuple[Shape, ...]:
    """Return the shaded ground that beads and floats lie on."""
    boxes = tuple(Box(end * pitch, foot, ends * pitch, top - foot) for end, ends, foot, top in spans)
    return Shape(boxes), Shape(boxes, RIM, RIM_OPACITY)


def _bead(spans: Spans, pitch: float) -> tuple[Shape, ...]:
    """Return the ground with a bead on it."""
    return (*_ground(spans, pitch), Shape(_ovals(spans, pitch)))


def _float(spans: Spans, pitch: float) -> tuple[Shape, ...]:
    """Return floats, each with its own shadow below it."""
    ovals = _ovals(spans, pitch)
    inner = tuple(Oval(one.left, one.right, one.foot * 0.86, one.top * 0.86) for one in ovals)
    return Shape(ovals), Shape(ovals, RIM, RIM_OPACITY), Shape(inner)


def _ovals(spans: Spans, pitch: float) -> tuple[Oval, ...]:
    found = []
    for end, ends, foot, top in spans:
        middle = (foot + top) / 2
        found.append(Oval((end * pitch, middle), ((end + ends) * pitch, middle), foot, top))
    return tuple(found)
