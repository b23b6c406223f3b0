"""Pages are set here with a flat cloth in place of the wool, which takes seconds a picture; one test takes the real one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from weftline.core.geometry.sizes import strip_widths
from weftline.sheets import cover_pictures
from weftline.sheets.cloth_pictures import MM_PER_INCH, PRINT_DPI, PrintView

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings


def flat_picture(cloth: Cloth, settings: Settings, view: PrintView) -> NDArray[np.uint8]:
    """A strip as large as it is printed, in one grey."""
    weaving = cloth.sections[view.section].strips[view.strip].weaving
    per_mm = PRINT_DPI * view.scale / MM_PER_INCH
    width = strip_widths(len(weaving.ends), settings).on_loom_mm.value
    return np.full((max(1, round(weaving.picks.height_mm * per_mm)), max(1, round(width * per_mm)), 3), 120, np.uint8)


@pytest.fixture(autouse=True)
def flat_cloth(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the flat cloth, except where a test is marked to take the real one."""
    if request.node.get_closest_marker("real_cloth") is None:
        monkeypatch.setattr(cover_pictures, "strip_picture", flat_picture)
