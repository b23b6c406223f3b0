"""Write up: what the pattern holds, and what is given out."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from weftline.server.pages.whole import Whole, whole
from weftline.server.pages.words import count

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet


@dataclass(frozen=True, slots=True)
class WriteUpView:
    """What the pattern holds, and what can be given out."""

    outline: tuple[tuple[str, str], ...]
    lines: int
    findings: int
    whole: Whole


def write_up_view(sheet: Sheet, plan: Plan) -> WriteUpView:
    """Return the page."""
    strips = [strip for section in plan.cloth.sections for strip in section.strips]
    bands: Iterable[tuple[str, str]] = (
        (name, count(len(band.lines), "written line"))
        for strip in strips
        for name, band in zip(strip.bands, strip.written.bands, strict=True)
    )
    outline = (
        ("Title", plan.project.name),
        ("Materials", count(len(plan.yarns), "yarn")),
        ("Setting up", count(plan.warp.threaded_ends, "end")),
        *islice(bands, 24),
        ("Finishing", count(len(plan.cautions), "caution")),
    )
    return WriteUpView(
        outline, sum(section.lines for section in plan.sections), len(plan.findings), whole(sheet, plan, (440, 440))
    )
