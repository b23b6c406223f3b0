"""Finish: sizes in every state, what is done in order, and the lengths that are chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.server.pages.care import cautions
from weftline.server.pages.frame import size_figure, units_of
from weftline.server.pages.whole import Whole, whole
from weftline.sheets.finish import finishing_steps

if TYPE_CHECKING:
    from weftline.core.findings import Caution, Quantity
    from weftline.core.geometry.sizes import Widths
    from weftline.core.plan.plan import Plan, SectionFacts
    from weftline.server.desk import Sheet
    from weftline.sheets.figures import Figure, Rich, Units


@dataclass(frozen=True, slots=True)
class Outline:
    """A size in one state, drawn in a square of 300: its words, its line and its place."""

    word: str
    size: Figure
    width: float
    height: float
    left: float
    top: float


@dataclass(frozen=True, slots=True)
class SizeTable:
    """The sizes of a section: each strip and all together, in every state; (state, widths, length)."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Figure, ...], Figure | None], ...]
    weight: Figure | str


@dataclass(frozen=True, slots=True)
class FinishView:
    """Sizes in four states, what is done in order, cautions at their step, and the numbers to change."""

    outlines: tuple[Outline, ...]
    box: tuple[float, float]
    sizes: tuple[SizeTable, ...]
    steps: list[Rich]
    cautions: tuple[Caution, ...]
    use_cautions: tuple[Caution, ...]
    edge: str
    allowances: tuple[tuple[str, str, str, str, str], ...]
    whole: Whole


def finish_view(sheet: Sheet, plan: Plan) -> FinishView:
    """Return the page."""
    units = units_of(plan)
    outlines, box = _outlines(plan)
    edge = plan.project.warp.edge
    return FinishView(
        outlines=outlines,
        box=box,
        sizes=tuple(_size_table(section, units) for section in plan.sections),
        steps=finishing_steps(plan, units),
        cautions=cautions(plan, "finish"),
        use_cautions=cautions(plan, "use"),
        edge=edge if isinstance(edge, str) else edge.kind,
        allowances=_allowances(plan),
        whole=whole(sheet, plan, (620, 560)),
    )


def _outlines(plan: Plan) -> tuple[tuple[Outline, ...], tuple[float, float]]:
    units, size = units_of(plan), plan.sections[0].size
    across, along = size.across, size.lengths
    states: tuple[tuple[str, Quantity, Quantity], ...] = (
        ("in the reed", across.in_reed_mm, along.woven_mm),
        ("on the loom", across.on_loom_mm, along.woven_mm),
        ("off the loom", across.off_loom_mm, along.off_loom_mm),
        ("finished", across.finished_mm, along.finished_mm),
    )
    widest, longest = across.in_reed_mm.value, max(along.woven_mm.value, across.in_reed_mm.value * 0.2)
    scale = min(300 / widest, 300 / longest)
    found = tuple(
        Outline(
            word,
            size_figure(units, width, length) if length.value else units.short(width),
            width.value * scale,
            max(length.value * scale, 2.0),
            (widest - width.value) * scale / 2,
            (longest - length.value) * scale / 2,
        )
        for word, width, length in states
    )
    return found, (widest * scale, longest * scale)


def _size_table(section: SectionFacts, units: Units) -> SizeTable:
    size = section.size
    columns = [("width", size.across)]
    if len(section.strips) > 1:
        pairs = zip(section.strips, size.strips, strict=True)
        columns = [*((strip.name, widths) for strip, widths in pairs), ("side by side", size.across)]
    lengths = (None, size.lengths.woven_mm, size.lengths.off_loom_mm, size.lengths.finished_mm)
    rows = tuple(
        (
            STATES[at],
            tuple(units.short(width) for width in (_widths(one)[at] for _, one in columns)),
            None if length is None else units.short(length),
        )
        for at, length in enumerate(lengths)
    )
    return SizeTable(section.name, tuple(name for name, _ in columns), rows, units.mass(section.mass_g))


def _widths(of: Widths) -> tuple[Quantity, Quantity, Quantity, Quantity]:
    return of.in_reed_mm, of.on_loom_mm, of.off_loom_mm, of.finished_mm


STATES = ("in the reed", "on the loom", "off the loom", "finished")
ALLOWANCES = (
    ("allowances.heading_cm", "Heading, each end of a piece", "heading_mm"),
    ("allowances.fringe_each_end_cm", "Fringe, each end of a piece", "fringe_each_end_mm"),
    ("allowances.between_pieces_cm", "Between pieces", "between_pieces_mm"),
    ("allowances.sample_cm", "Sample at the start of the warp", "sample_mm"),
    ("loom.waste_cm", "Loom waste", "waste_mm"),
)
"""Lengths of the warp that the weaver chooses: the field, the words, the setting."""


def _allowances(plan: Plan) -> tuple[tuple[str, str, str, str, str], ...]:
    """Return (field, words, value, unit, basis) of the lengths that the weaver chooses."""
    imperial = plan.project.units == "imperial"
    found = []
    for field, words, name in ALLOWANCES:
        quantity: Quantity = getattr(plan.settings, name)
        value = quantity.value / (25.4 if imperial else 10.0)
        found.append(
            (field, words, f"{value:.2f}".rstrip("0").rstrip("."), "in" if imperial else "cm", quantity.basis.value)
        )
    return tuple(found)
