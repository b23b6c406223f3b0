"""Pictures of the cloth for print: one place that draws, at the resolution at which it is printed."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from weftline.drawing.wool import View, wool_picture
from weftline.drawing.wool.view import MIN_DPI

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings

MM_PER_INCH = 25.4
PRINT_DPI = 300.0
PAPER = 255
TOOTH_MM = 2.2
"""Width of a tooth of a torn edge, as printed."""


@dataclass(frozen=True, slots=True)
class PrintView:
    """What is shown of a piece: which strip of which section, which side, how large beside its size on the loom."""

    section: int
    strip: int
    back: bool
    scale: float


def strip_picture(cloth: Cloth, settings: Settings, view: PrintView) -> NDArray[np.uint8]:
    """Return one strip, woven once, as it is printed: as cloth, on white.

    Returns
    -------
    (rows, columns, 3) uint8
        sRGB, line 1 at the bottom, 300 pixels to a printed inch.
    """
    whole = cloth.sections[view.section]
    alone = replace(cloth, sections=(replace(whole, strips=(whole.strips[view.strip],)),))
    size = View(back=view.back, dpi=max(MIN_DPI, PRINT_DPI * view.scale), bench=PAPER)
    return wool_picture(alone, settings, view=size).pixels


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
