"""The plain picture: one colour a bead, each at its true place, offset and proportion."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import to_srgb
from weftline.core.weave.back import back_columns
from weftline.core.weave.face import Beads, face_columns
from weftline.drawing.layout import Layout, PlacedStrip, layout
from weftline.drawing.yarn_colours import winding_lights
from weftline.errors import PictureError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings

MM_PER_INCH = 25.4
MAX_PIXELS = 60_000_000
MIN_DPI, MAX_DPI = 10.0, 1200.0
BENCH = 170
"""Grey level behind the cloth."""


@dataclass(frozen=True, eq=False)
class Picture:
    """A raster.

    Parameters
    ----------
    pixels : (rows, columns, 3) uint8
        sRGB, the first row at the top.
    dpi : float
        Pixels per inch of cloth on the loom.
    """

    pixels: NDArray[np.uint8]
    dpi: float


def plain_picture(cloth: Cloth, settings: Settings, *, back: bool = False, dpi: float = 150.0) -> Picture:
    """Draw a piece, line 1 at the bottom.

    Parameters
    ----------
    cloth : Cloth
    settings : Settings
    back : bool
        The back as seen from behind: mirrored left to right.
    dpi : float
        10 to 1,200.

    Raises
    ------
    PictureError
        For a resolution out of range, or more than 60 million pixels.
    """
    placed = layout(cloth, settings)
    rows, columns = picture_size(placed, dpi)
    pixels = np.full((rows, columns, 3), BENCH, dtype=np.uint8)
    per_mm = dpi / MM_PER_INCH
    for strip in placed.strips:
        patch = _strip_pixels(cloth, strip, back=back, per_mm=per_mm)
        top = rows - round((strip.foot_mm + strip.height_mm) * per_mm)
        left = round(strip.left_mm * per_mm)
        top, left = max(0, min(top, rows - len(patch))), max(0, min(left, columns - patch.shape[1]))
        pixels[top : top + len(patch), left : left + patch.shape[1]] = patch
    if back == (cloth.project.weave.face == "up"):
        pixels = pixels[:, ::-1]
    return Picture(np.ascontiguousarray(pixels), dpi)


def picture_size(placed: Layout, dpi: float) -> tuple[int, int]:
    """Return (rows, columns) of a picture at this resolution.

    Raises
    ------
    PictureError
    """
    if not MIN_DPI <= dpi <= MAX_DPI:
        raise PictureError(f"a picture has {MIN_DPI:g} to {MAX_DPI:g} dots per inch, not {dpi:g}")
    rows = max(1, round(placed.height_mm * dpi / MM_PER_INCH))
    columns = max(1, round(placed.width_mm * dpi / MM_PER_INCH))
    if rows * columns > MAX_PIXELS:
        fits = dpi * (MAX_PIXELS / (rows * columns)) ** 0.5
        raise PictureError(
            f"at {dpi:g} dpi the picture has {rows * columns / 1e6:,.0f} million pixels, more than "
            f"{MAX_PIXELS / 1e6:g}; {int(max(MIN_DPI, fits))} dpi would do"
        )
    return rows, columns


def _strip_pixels(cloth: Cloth, placed: PlacedStrip, *, back: bool, per_mm: float) -> NDArray[np.uint8]:
    weaving = placed.strip.weaving
    rows = max(1, round(placed.height_mm * per_mm))
    columns = max(1, round(placed.width_mm * per_mm))
    heights = (rows - np.arange(rows) - 0.5) / rows * placed.height_mm
    colours = np.round(to_srgb(winding_lights(cloth.project, weaving.windings)) * 255).astype(np.uint8)
    bare = np.full((1, 3), BENCH, dtype=np.uint8)
    of_pick = np.concatenate([colours[weaving.picks.wound], bare])  # the last entry stands for no pick
    beads = [column.shows for column in back_columns(weaving)] if back else face_columns(weaving)
    end_of_column = np.minimum((np.arange(columns) + 0.5) / columns * len(beads), len(beads) - 1).astype(np.int64)
    drawn: dict[int, NDArray[np.uint8]] = {}
    pixels = np.empty((rows, columns, 3), dtype=np.uint8)
    for column, end in enumerate(end_of_column.tolist()):
        pixels[:, column] = _drawn(drawn, beads[end], heights, of_pick)
    return pixels


def _drawn(
    drawn: dict[int, NDArray[np.uint8]],
    beads: Beads,
    heights: NDArray[np.float64],
    of_pick: NDArray[np.uint8],
) -> NDArray[np.uint8]:
    if id(beads) not in drawn:
        drawn[id(beads)] = of_pick[beads.at(heights)]
    return drawn[id(beads)]
