"""The numbers of a piece with their basis: written by the weaver, or a default that says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity

if TYPE_CHECKING:
    from weftline.core.piece.values import Project

DEFAULTS: dict[str, float] = {
    "sett_per_cm": 2.4,
    "lines_per_cm": 3.75,
    "draw_in": 0.10,
    "weft_take_up": 0.15,
    "warp_take_up": 0.08,
    "relax_width": 0.02,
    "relax_length": 0.01,
    "shrink_width": 0.03,
    "shrink_length": 0.04,
    "between_pieces_cm": 10,
    "sample_cm": 25,
    "tail_cm": 8,
    "heading_cm": 4,
    "fringe_each_end_cm": 15,
    "waste_cm": 65,
    "float_ends": 7,
    "float_mm": 30,
    "picks_per_hour": 120,
}
"""What stands for a number that was left out.

Common practice within the ranges that weavers report: setts for weft-faced wool 1.6 to 4 ends per
cm, draw-in 7 to 19 %, loom waste 43 to 150 cm, 15 cm at each end for finishing; a single number
for any of them is no better than that range, so each shows as a default. Beat, relaxing,
shrinkage, float limits and pace: common practice, no source.
"""


@dataclass(frozen=True, slots=True)
class Settings:
    """Every number that the arithmetic of a piece needs; lengths in mm, shares as parts of one."""

    sett_per_mm: Quantity
    line_height_mm: Quantity
    draw_in: Quantity
    weft_take_up: Quantity
    warp_take_up: Quantity
    relax_width: Quantity
    relax_length: Quantity
    shrink_width: Quantity
    shrink_length: Quantity
    between_pieces_mm: Quantity
    sample_mm: Quantity
    tail_mm: Quantity
    heading_mm: Quantity
    fringe_each_end_mm: Quantity
    waste_mm: Quantity
    float_ends: Quantity
    float_mm: Quantity
    picks_per_hour: Quantity


def _written(name: str, value: float | None, scale: float = 1.0) -> Quantity:
    if value is None:
        return Quantity(DEFAULTS[name] * scale, Basis.DEFAULT)
    return Quantity(value * scale, Basis.LABEL)


def line_height(lines_per_cm: float | None, basis: str | None) -> Quantity:
    """Return the height of a whole line in mm; a stated basis is kept, a number without one is a label."""
    if lines_per_cm is None:
        return Quantity(10.0 / DEFAULTS["lines_per_cm"], Basis.DEFAULT)
    return Quantity(10.0 / lines_per_cm, Basis(basis) if basis else Basis.LABEL)


def settings_of(project: Project) -> Settings:
    """Return the numbers of a piece, those left out as defaults."""
    allowances, limits = project.allowances, project.limits

    def share(name: str) -> Quantity:
        return _written(name, getattr(allowances, name))

    def length(name: str) -> Quantity:
        return _written(name, getattr(allowances, name), 10.0)

    return Settings(
        sett_per_mm=_written("sett_per_cm", project.warp.sett_per_cm, 0.1),
        line_height_mm=line_height(project.beat.lines_per_cm, project.beat.basis),
        draw_in=share("draw_in"),
        weft_take_up=share("weft_take_up"),
        warp_take_up=share("warp_take_up"),
        relax_width=share("relax_width"),
        relax_length=share("relax_length"),
        shrink_width=share("shrink_width"),
        shrink_length=share("shrink_length"),
        between_pieces_mm=length("between_pieces_cm"),
        sample_mm=length("sample_cm"),
        tail_mm=length("tail_cm"),
        heading_mm=length("heading_cm"),
        fringe_each_end_mm=length("fringe_each_end_cm"),
        waste_mm=_written("waste_cm", project.loom.waste_cm, 10.0),
        float_ends=_written("float_ends", limits.float_ends),
        float_mm=_written("float_mm", limits.float_mm),
        picks_per_hour=_written("picks_per_hour", project.pace.picks_per_hour),
    )
