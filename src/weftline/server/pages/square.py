"""A true square laid over the piece's own cloth: how many lines make one repeat of the threading as high as it is wide."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from math import ceil
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import numpy as np

from weftline.core.findings import joined
from weftline.server.pages.design import LINE_PX, Place
from weftline.server.pictures import PAD, Part, close_up_size, pitch_px
from weftline.sheets.figures import Figure

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.core.weave.picks import Picks
    from weftline.server.desk import Sheet

MOST_LINES = 40
"""A repeat that is higher than this is not drawn."""


@dataclass(frozen=True, slots=True)
class TrueSquare:
    """The picture of some lines with a square over them, px of the page.

    Parameters
    ----------
    src : str
    width, height : int
    x, y, side : float
        The square: its left upper corner and its side.
    ends : int
    lines : Figure
        How many lines are as high as these ends are wide.
    """

    src: str
    width: int
    height: int
    x: float
    y: float
    side: float
    ends: int
    lines: Figure


def true_square(sheet: Sheet, plan: Plan, place: Place) -> TrueSquare | None:
    """Return the square of one repeat over the liveliest lines of a strip; None where there are too few lines for it."""
    section = plan.sections[place.section]
    strip = plan.cloth.sections[place.section].strips[place.strip]
    ends, repeat = len(strip.weaving.ends), len(plan.cloth.technique.threading)
    pitch = pitch_px(plan.settings, LINE_PX)
    side = repeat * pitch
    lines = side / LINE_PX
    shown = ceil(lines) + 1
    columns = min(ends, 3 * repeat + 1)
    if section.lines < shown or shown > MOST_LINES or columns <= repeat:
        return None
    first = _liveliest(strip.weaving.picks, shown)
    part = Part(place.section, place.strip, first, first + shown - 1, columns)
    width, height = close_up_size(plan.cloth, plan.settings, part, LINE_PX)
    query = urlencode({"seq": sheet.seq, **asdict(part), "back": 0, "marks": 0})
    return TrueSquare(
        src=f"/pieces/{sheet.id}/close.webp?{query}",
        width=width,
        height=height,
        x=round((width - columns * pitch) / 2 + pitch / 2, 1),
        y=round(height - PAD - side, 1),
        side=round(side, 1),
        ends=repeat,
        lines=Figure(f"{lines:.1f}", joined(plan.settings.line_height_mm.basis, plan.settings.draw_in.basis)),
    )


def _liveliest(picks: Picks, shown: int) -> int:
    """Return the lowest of the lines, from 1, above which so many lines hold most changes of yarn within a shed."""
    other = np.zeros(picks.line_count, dtype=np.int64)
    for slot in np.unique(picks.slot):
        own = np.flatnonzero(picks.slot == slot)
        np.add.at(other, picks.line[own[1:]], picks.wound[own[1:]] != picks.wound[own[:-1]])
    together = np.convolve(other, np.ones(shown - 1, dtype=np.int64), mode="valid")
    return max(1, int(np.argmax(together)))
