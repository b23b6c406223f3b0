"""Sample: what a piece rests on, and what a sample would change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis
from weftline.core.piece.names import yarn_name
from weftline.server.pages.frame import line_figure, units_of
from weftline.server.pages.whole import Whole, whole
from weftline.sheets.finish import basis_rows

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.sheets.figures import Figure


@dataclass(frozen=True, slots=True)
class Change:
    """A figure that a sample would replace: what it is now, and what to measure."""

    what: str
    now: Figure | str
    measure: str


@dataclass(frozen=True, slots=True)
class SampleView:
    """What the piece rests on, and what a sample would change."""

    rests: list[dict[str, Any]]
    changes: tuple[Change, ...]
    measured: int
    line_mm: Figure
    unit: str
    strip_ends: int
    whole: Whole


def sample_view(sheet: Sheet, plan: Plan) -> SampleView:
    """Return the page."""
    units, section = units_of(plan), plan.sections[0]
    rests = basis_rows(plan, units)
    size = section.size
    changes = [
        Change("Finished width", units.short(size.across.finished_mm), "the width in the reed, on the loom and washed")
    ]
    if section.lines:
        length = units.short(size.lengths.finished_mm)
        changes.append(Change("Finished length", length, "lines counted over a hand’s width"))
    for key, amount in plan.yarns.items():
        if amount.mass_g is not None and amount.mass_g.basis is Basis.DEFAULT:
            name, is_warp = yarn_name(plan.project.yarns[key], key), key == plan.project.warp.yarn
            measure = (
                "warp from mark to mark, under and off tension" if is_warp else "the same count, and a weighed sample"
            )
            changes.append(Change(name, units.mass(amount.mass_g), measure))
    return SampleView(
        rests=rests,
        changes=tuple(changes),
        measured=sum(row["value"].basis is Basis.MEASURED for row in rests),
        line_mm=line_figure(plan),
        unit="in" if units.imperial else "cm",
        strip_ends=section.strips[0].ends,
        whole=whole(sheet, plan, (600, 640)),
    )
