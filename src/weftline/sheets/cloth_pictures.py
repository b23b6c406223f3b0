"""Pictures of the cloth for print: one place that draws, at the resolution at which it is printed."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from weftline.core.colour.light import to_linear, to_srgb
from weftline.drawing.plain import MIN_DPI, plain_picture

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings

MM_PER_INCH = 25.4
PRINT_DPI = 300.0
PIXELS_PER_PICK = 4.0
MOST_PIXELS = 12_000_000
MOST_TIMES = 8
TOOTH_MM = 2.2
"""Width of a tooth of a torn edge, as printed."""


@dataclass(frozen=True, slots=True)
class View:
    """What is shown of a piece: which strip of which section, which side, how large beside its size on the loom."""

    section: int
    strip: int
    back: bool
    scale: float


def strip_picture(cloth: Cloth, settings: Settings, view: View) -> NDArray[np.uint8]:
    """Return one strip, woven once, as it is printed.

    Returns
    -------
    (rows, columns, 3) uint8
        sRGB, line 1 at the bottom, 300 pixels to a printed inch.

    Notes
    -----
    Drawn finer than printed and averaged by area in linear light, so that no pick falls between pixels.
    """
    whole = cloth.sections[view.section]
    alone = replace(whole, strips=(whole.strips[view.strip],))
    picks, wanted = alone.picks, PRINT_DPI * view.scale
    pick_px = picks.height_mm / max(len(picks), 1) * wanted / MM_PER_INCH
    times = max(1, min(MOST_TIMES, math.ceil(PIXELS_PER_PICK / max(pick_px, 1e-6))))
    width_mm = len(alone.strips[0].weaving.ends) / settings.sett_per_mm.value
    pixels = picks.height_mm * width_mm * (wanted / MM_PER_INCH) ** 2
    while times > 1 and pixels * times**2 > MOST_PIXELS:
        times -= 1
    piece = replace(cloth, sections=(alone,))
    drawn = plain_picture(piece, settings, back=view.back, dpi=max(MIN_DPI, wanted * times)).pixels
    return averaged(drawn, times) if wanted * times >= MIN_DPI else drawn


def averaged(pixels: NDArray[np.uint8], times: int) -> NDArray[np.uint8]:
    """Return a picture smaller by a whole number, averaged by area in linear light."""
    rows, columns = pixels.shape[0] // times, pixels.shape[1] // times
    if times == 1 or not rows or not columns:
        return pixels
    light = to_linear(np.arange(256) / 255.0).astype(np.float32)
    top = pixels.shape[0] - rows * times  # the foot stays whole
    total = np.zeros((rows, columns, 3), dtype=np.float32)
    for down in range(times):
        for along in range(times):
            total += light[pixels[top + down :: times, along : columns * times : times]]
    return np.round(to_srgb(total / times**2) * 255).astype(np.uint8)


def torn(pixels: NDArray[np.uint8], rows: int, dpi: float = PRINT_DPI) -> NDArray[np.uint8]:
    """Return the lowest rows of a picture with a torn upper edge.

    Returns
    -------
    (rows, columns, 4) uint8
        Transparent beyond the tear.
    """
    shown = pixels[-rows:]
    columns = shown.shape[1]
    tooth = TOOTH_MM * dpi / MM_PER_INCH
    along = np.arange(columns) / tooth
    depth = np.abs((along % 1.0) * 2 - 1) * (0.75 + 0.25 * np.sin(along * 1.7)) * tooth
    above = np.arange(len(shown))[:, None] < depth[None, :]
    return np.dstack([shown, np.where(above, 0, 255).astype(np.uint8)])


def png(pixels: NDArray[np.uint8]) -> bytes:
    """Return a PNG."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, format="PNG")
    return out.getvalue()
