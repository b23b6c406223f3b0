"""The sheet of cloths from which a yarn is swapped: this piece in every other yarn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from weftline.core.piece.names import yarn_name
from weftline.server.pages.words import count
from weftline.server.pages.yarn_rows import Swatch, swatches

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet

SHEET_PX = 150


@dataclass(frozen=True, slots=True)
class SwapChoice:
    """A yarn: as the one to be swapped, or as the one to take, with the piece drawn in it."""

    key: str
    name: str
    swatch: Swatch
    src: str
    href: str


@dataclass(frozen=True, slots=True)
class SwapView:
    """The page: first which yarn goes, then which one comes.

    Parameters
    ----------
    yarn : str
        Key of the yarn that goes; empty before it is chosen.
    name, lines, where : str
        Its name; the lines that are meant, by id; and these in words.
    choices : tuple of SwapChoice
    width, height : int
        Size of each cloth, px.
    """

    yarn: str
    name: str
    lines: str
    where: str
    choices: tuple[SwapChoice, ...]
    width: int
    height: int


def swap_view(sheet: Sheet, plan: Plan, yarn: str, lines: str) -> SwapView:
    """Return the page."""
    yarns = plan.project.yarns
    chosen = yarn if yarn in yarns else ""
    seen = swatches(plan)
    choices = []
    for key, one in yarns.items():
        if key == chosen or key == plan.project.warp.yarn:
            continue
        about = {"yarn": chosen, "to": key, "lines": lines, "seq": sheet.seq}
        src = f"/pieces/{sheet.id}/swapped.webp?{urlencode(about)}" if chosen else ""
        href = f"/pieces/{sheet.id}/swap?{urlencode({'yarn': key, 'lines': lines})}"
        choices.append(SwapChoice(key, yarn_name(one, key), seen[key], src, href))
    size = plan.sections[0].size
    wide, tall = size.across.on_loom_mm.value, max(size.lengths.woven_mm.value, 1.0)
    height = min(round(SHEET_PX * tall / wide), 4 * SHEET_PX)
    many = len([one for one in lines.split(",") if one])
    where = f"in {count(many, 'written line')}" if many else "everywhere"
    name = yarn_name(yarns[chosen], chosen) if chosen else ""
    return SwapView(chosen, name, lines, where, tuple(choices), SHEET_PX, height)
