"""Pictures as PNG bytes, resolution recorded (PNG pHYs, pixels per metre)."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from PIL import Image

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def to_png(pixels: NDArray[np.uint8], dpi: tuple[float, float]) -> bytes:
    """Return a PNG.

    Parameters
    ----------
    pixels : (rows, columns, 3) uint8
        sRGB.
    dpi : (float, float)
        Across and upwards.
    """
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, format="PNG", dpi=dpi)
    return out.getvalue()
