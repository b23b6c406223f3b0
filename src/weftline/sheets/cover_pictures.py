"""The cover's pictures: face and back of every section at one scale, side by side, never squeezed."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from weftline.drawing.layout import layout
from weftline.sheets.cloth_pictures import MM_PER_INCH, PRINT_DPI, PrintView, png, strip_picture, torn
from weftline.sheets.fonts import line_count
from weftline.sheets.wording import printable, visible

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.settings import Settings
    from weftline.drawing.layout import Layout

BETWEEN_MM, ROWS_MM = 10.0, 5.0
CAPTION_PT, CAPTION_LINE_MM, CAPTION_GAP_MM = 8.5, 3.9, 1.5
LEAST_CAPTION_MM, MOST_CAPTION_LINES = 13.0, 4
"""A strip narrower on the page, or one with a longer name, is named below the whole section."""

LONGEST_LISTED, MOST_CAPTION_MM = 30, 55.0
LEAST_MM = 38.0
"""A section narrower than this on the page is shown by its lower part, torn, with the whole beside it."""


@dataclass(slots=True)
class _Sheet:
    """The pictures as they are laid, and their files."""

    cloth: Cloth
    settings: Settings
    files: dict[str, bytes] = field(default_factory=dict)
    placed: list[dict[str, Any]] = field(default_factory=list)
    captions: list[dict[str, Any]] = field(default_factory=list)

    def section(self, place: int, left: float, top: float, shape: tuple[float, float, float], *, back: bool) -> None:
        """Lay one section; ``shape`` is its scale, its width on the loom and its height on the page."""
        scale, across, shown = shape
        section = self.cloth.sections[place]
        one = layout_of(self.cloth, self.settings, place)
        mirrored = back == (self.cloth.project.weave.face == "up")
        self.captions += captions(self.cloth, one, place, (left, top + shown, scale, across), back=back)
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


def _strip_left(one: Layout, number: int, across: float, *, mirrored: bool) -> float:
    strip = one.strips[number]
    return across - strip.left_mm - strip.width_mm if mirrored else strip.left_mm


def captions(
    cloth: Cloth, one: Layout, place: int, at: tuple[float, float, float, float], *, back: bool
) -> list[dict[str, Any]]:
    """Return what stands below the pictures of one section: for each strip its name and which side it shows.

    ``at`` is left and foot on the page, the scale, and the section's width on the loom.
    """
    left, foot, scale, across = at
    section, side = cloth.sections[place], "back" if back else "face"
    mirrored = back == (cloth.project.weave.face == "up")
    names = [visible(strip.name) for strip in section.strips]
    several = len(cloth.sections) > 1
    if len(names) == 1:
        text = f"{visible(section.name)}: {side}" if several else side.capitalize()
        return [_caption(text, left, foot, max(across * scale, LEAST_CAPTION_MM))]
    order = sorted(range(len(names)), key=lambda number: _strip_left(one, number, across, mirrored=mirrored))
    starts = [_strip_left(one, number, across, mirrored=mirrored) * scale for number in order]
    ends = [*starts[1:], across * scale + 2]
    rooms = [end - start - 1.5 for start, end in zip(starts, ends, strict=True)]
    each = [f"{names[number]}: {side}" for number in order]
    fit = min(rooms) >= LEAST_CAPTION_MM and max(map(_rows, each, rooms)) <= MOST_CAPTION_LINES
    if fit:
        return [_caption(text, left + x, foot, room) for text, x, room in zip(each, starts, rooms, strict=True)]
    head = f"{visible(section.name)}, {side}" if several else side.capitalize()
    listed = ", ".join(name if len(name) <= LONGEST_LISTED else f"{name[:LONGEST_LISTED]}…" for name in names)
    turned = "right" if mirrored else "left"
    return [_caption(f"{head}: from the {turned} {listed}", left, foot, max(across * scale, MOST_CAPTION_MM))]


def _rows(text: str, room: float) -> int:
    return line_count(text, CAPTION_PT, room, bold=True)


def _caption(text: str, x: float, y: float, width: float) -> dict[str, Any]:
    rows = _rows(text, width)
    return {
        "text": printable(text),
        "x": x,
        "y": y + CAPTION_GAP_MM,
        "width": width,
        "height": rows * CAPTION_LINE_MM + CAPTION_GAP_MM,
    }


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
    by_width = (room[0] - BETWEEN_MM) / 2 / widest
    named = [_captions_mm(cloth, one, place, by_width) for place, one in enumerate(layouts)]
    left = max(room[1] - sum(named) - ROWS_MM * (len(layouts) - 1), LEAST_MM)
    scale = min(1.0, by_width, left / total)
    is_torn = scale * widest < min(LEAST_MM, by_width * widest, widest) - 0.01
    row = left / len(layouts)
    if is_torn:
        aside = max(one.width_mm * min(by_width, row / one.height_mm) for one in layouts)
        scale = min(1.0, by_width, (room[0] - 2 * BETWEEN_MM - aside) / 2 / widest)
    named = [_captions_mm(cloth, one, place, scale) for place, one in enumerate(layouts)]
    back_x, whole_x = widest * scale + BETWEEN_MM, 2 * (widest * scale + BETWEEN_MM)
    sheet, top = _Sheet(cloth, settings), 0.0
    for place, one in enumerate(layouts):
        shown = min(one.height_mm * scale, row) if is_torn else one.height_mm * scale
        shape = (scale, one.width_mm, shown)
        sheet.section(place, 0.0, top, shape, back=False)
        sheet.section(place, back_x, top, shape, back=True)
        if shown < one.height_mm * scale - 0.5:
            known = list(sheet.captions)
            sheet.section(place, whole_x, top, (shown / one.height_mm, one.width_mm, shown), back=False)
            width = max(LEAST_CAPTION_MM, room[0] - whole_x)
            sheet.captions = [*known, _caption("Whole face", whole_x, top + shown, width)]
        top += shown + named[place] + ROWS_MM
    return {
        "placed": sheet.placed,
        "captions": sheet.captions,
        "height": top - ROWS_MM,
        "is_torn": is_torn,
        "scale": scale_words(scale),
    }, sheet.files


def _captions_mm(cloth: Cloth, one: Layout, place: int, scale: float) -> float:
    """Return how high the captions of a section are."""
    found = [
        caption
        for back in (False, True)
        for caption in captions(cloth, one, place, (0.0, 0.0, scale, one.width_mm), back=back)
    ]
    return CAPTION_GAP_MM + max(float(caption["height"]) for caption in found)


def scale_words(scale: float) -> str:
    """Return a scale as it is said: ``life size``, ``1 to 3.4``."""
    return "life size" if scale > 0.995 else f"1 to {1 / scale:.1f}"
