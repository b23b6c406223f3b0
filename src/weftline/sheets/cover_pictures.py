"""The cover's pictures: face and back of every section at one scale, side by side, never squeezed."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from weftline.drawing.layout import layout
from weftline.sheets.cloth_pictures import MM_PER_INCH, PRINT_DPI, PrintView, png, strip_picture, torn
from weftline.sheets.wording import visible

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings
    from weftline.drawing.layout import Layout

BETWEEN_MM, ROWS_MM = 10.0, 7.0
LEAST_MM = 38.0
"""A section narrower than this on the page is shown by its lower part, torn, with the whole beside it."""


@dataclass(slots=True)
class _Sheet:
    """The pictures as they are laid, and their files."""

    cloth: Cloth
    settings: Settings
    files: dict[str, bytes] = field(default_factory=dict)
    placed: list[dict[str, Any]] = field(default_factory=list)

    def section(self, place: int, left: float, top: float, shape: tuple[float, float, float], *, back: bool) -> None:
        """Lay one section; ``shape`` is its scale, its width on the loom and its height on the page."""
        scale, across, shown = shape
        section = self.cloth.sections[place]
        one = layout_of(self.cloth, self.settings, place)
        mirrored = back == (self.cloth.project.weave.face == "up")
        for number, strip in enumerate(one.strips):
            pixels = strip_picture(self.cloth, self.settings, PrintView(place, number, back, scale))
            height = strip.height_mm * scale
            name = f"cloth-{len(self.files)}.png"
            if height > shown + 0.5:
                pixels, height = torn(pixels, round(shown * PRINT_DPI / MM_PER_INCH)), shown
            self.files[name] = png(pixels)
            x = across - strip.left_mm - strip.width_mm if mirrored else strip.left_mm
            side = "Back" if back else "Face"
            self.placed.append(
                {
                    "file": name,
                    "x": left + x * scale,
                    "y": top + shown - height,
                    "width": strip.width_mm * scale,
                    "height": height,
                    "alt": f"{side} of {visible(section.strips[number].name)}, line 1 at the foot.",
                }
            )


def layout_of(cloth: Cloth, settings: Settings, place: int) -> Layout:
    """Return the layout of one section alone."""
    return layout(replace(cloth, sections=(cloth.sections[place],)), settings)


def cover_pictures(
    cloth: Cloth, settings: Settings, room: tuple[float, float]
) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Return where each picture lies on the cover, and the files.

    Parameters
    ----------
    cloth : Cloth
    settings : Settings
    room : (float, float)
        Width and height, mm.
    """
    layouts = [layout_of(cloth, settings, place) for place in range(len(cloth.sections))]
    widest, total = max(one.width_mm for one in layouts), sum(one.height_mm for one in layouts)
    gaps = ROWS_MM * (len(layouts) - 1)
    by_width = (room[0] - BETWEEN_MM) / 2 / widest
    scale = min(1.0, by_width, (room[1] - gaps) / total)
    is_torn = scale * widest < min(LEAST_MM, by_width * widest, widest) - 0.01
    row = (room[1] - gaps) / len(layouts)
    if is_torn:
        aside = max(one.width_mm * min(by_width, row / one.height_mm) for one in layouts)
        scale = min(1.0, by_width, (room[0] - 2 * BETWEEN_MM - aside) / 2 / widest)
    sheet, top = _Sheet(cloth, settings), 0.0
    for place in reversed(range(len(layouts))):  # the section woven first lies lowest
        one = layouts[place]
        shown = min(one.height_mm * scale, row) if is_torn else one.height_mm * scale
        shape = (scale, one.width_mm, shown)
        sheet.section(place, 0.0, top, shape, back=False)
        sheet.section(place, widest * scale + BETWEEN_MM, top, shape, back=True)
        if shown < one.height_mm * scale - 0.5:
            small = shown / one.height_mm
            sheet.section(place, 2 * (widest * scale + BETWEEN_MM), top, (small, one.width_mm, shown), back=False)
        top += shown + ROWS_MM
    return {
        "placed": sheet.placed,
        "height": top - ROWS_MM,
        "back_x": widest * scale + BETWEEN_MM,
        "whole_x": 2 * (widest * scale + BETWEEN_MM),
        "is_torn": is_torn,
        "scale": scale_words(scale),
    }, sheet.files


def scale_words(scale: float) -> str:
    """Return a scale as it is said: ``life size``, ``1 to 3.4``."""
    return "life size" if scale > 0.995 else f"1 to {1 / scale:.1f}"
