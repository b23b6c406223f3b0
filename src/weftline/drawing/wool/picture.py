"""The picture of a whole piece as cloth, and which pick lies under each of its pixels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import to_linear
from weftline.drawing.wool.marks import MarkPlace, draw_marks
from weftline.drawing.wool.scene import PlacedPainter, painters
from weftline.drawing.wool.small import averaged, encoded, sharpened
from weftline.drawing.wool.view import canvas
from weftline.drawing.yarn_colours import winding_lights

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings
    from weftline.drawing.wool.view import Canvas, View

SHARPEN_BELOW = 6
"""A picture is sharpened where a line is less than so many pixels."""
LUMINANCE = (0.2126, 0.7152, 0.0722)


@dataclass(frozen=True, eq=False)
class Picture:
    """A raster with its resolution.

    Parameters
    ----------
    pixels : (rows, columns, 3) uint8
        sRGB, the first row at the top.
    dpi_x, dpi_y : float
        Pixels an inch of cloth on the loom, across and upwards; they differ a little, since
        repeats and lines are whole pixels.
    """

    pixels: NDArray[np.uint8]
    dpi_x: float
    dpi_y: float


def wool_picture(cloth: Cloth, settings: Settings, *, view: View) -> Picture:
    """Draw a piece as cloth, line 1 at the bottom.

    Raises
    ------
    PictureError
        For a size out of range, more than one size, or more than 60 million pixels.
    """
    size = canvas(cloth, settings, view)
    strips = painters(cloth, size, view)
    if size.times == 1:
        pixels = _painted(size, strips, view.bench)
        if view.marks:
            for strip in strips:
                _mark(cloth, size, strip, pixels)
    else:
        pixels = encoded(_averaged(size, strips, view.bench))
        if size.line_px / size.times < SHARPEN_BELOW:
            pixels = sharpened(pixels)
    return Picture(pixels, *size.dpi)


def pick_map(cloth: Cloth, settings: Settings, view: View) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return which pick lies under each pixel of a picture, and in which strip.

    Returns
    -------
    pick : (rows, columns) int32
        From 0 in its strip; -1 where there is none.
    strip : (rows, columns) int32
        From 0 in the order of the layout, section by section; -1 where there is none.
    """
    size = canvas(cloth, settings, view)
    shape = size.rows * size.times, size.columns * size.times
    pick, number_of = np.full(shape, -1, dtype=np.int32), np.full(shape, -1, dtype=np.int32)
    for number, strip in enumerate(painters(cloth, size, view)):
        if strip.painter is not None:
            found = strip.painter.pick_map()
            bottom = shape[0] - strip.foot + strip.painter.overhang
            box = slice(bottom - len(found), bottom), slice(*strip.sides)
            pick[box], number_of[box] = found, np.where(found >= 0, number, -1)
    middle = size.times // 2
    return pick[middle :: size.times, middle :: size.times], number_of[middle :: size.times, middle :: size.times]


def _painted(size: Canvas, strips: list[PlacedPainter], bench: int) -> NDArray[np.uint8]:
    pixels = np.full((size.rows, size.columns, 3), bench, dtype=np.uint8)
    for strip in strips:
        for foot, part in strip.chunks():
            bottom = size.rows - strip.foot - foot
            top = max(0, bottom - len(part))
            if bottom > 0:
                pixels[top:bottom, slice(*strip.sides)] = part[len(part) - (bottom - top) :]
    return pixels


def _averaged(size: Canvas, strips: list[PlacedPainter], bench: int) -> NDArray[np.float32]:
    """Return (rows, columns, 3) linear light; the raster is painted and averaged a few rows at a time."""
    times, tall = size.times, size.rows * size.times
    light = np.full((size.rows, size.columns, 3), to_linear(bench / 255), dtype=np.float32)
    for strip in strips:
        left, right = strip.sides
        before, after = left % times, -right % times
        columns = slice(left // times, -(-right // times))
        for foot, part in strip.chunks():
            bottom = tall - strip.foot - foot
            part = part[max(0, len(part) - bottom) :]
            top = bottom - len(part)
            above, below = top % times, -bottom % times
            room = ((above, below), (before, after), (0, 0))
            covered = np.pad(np.ones(part.shape[:2], dtype=np.float32), room[:2])
            blocks = covered.reshape(-1, times, covered.shape[1] // times, times).mean(axis=(1, 3))
            own = averaged(np.pad(part, room), times)
            bare = np.float32(to_linear(bench / 255))
            light[top // times : -(-bottom // times), columns] += own - bare * blocks[..., None]
    return light


def _mark(cloth: Cloth, size: Canvas, strip: PlacedPainter, pixels: NDArray[np.uint8]) -> None:
    if strip.painter is None:
        return
    windings = strip.placed.strip.weaving.windings
    luminance = winding_lights(cloth.project, windings) @ np.array(LUMINANCE)
    place_of = {key: place for place, key in enumerate(cloth.project.yarns)}
    wound = strip.painter.wound
    for spot, below in strip.painter.spots_by_column():
        winding = int(wound[spot.pick])
        if below < 0 or wound[below] != winding:
            row = size.rows - strip.foot - spot.y
            place = MarkPlace(row, strip.left + spot.x, 1.3 * spot.half, spot.up + spot.down)
            yarns = tuple(place_of[key] for key, _ in windings[winding])
            draw_marks(pixels, place, yarns, float(luminance[winding]))
