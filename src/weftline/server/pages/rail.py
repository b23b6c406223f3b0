"""Pieces on the rail: everything at one scale, long ones doubled over it; the piece on the loom stands before it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import NOTHING, Quantity, Severity
from weftline.core.piece.names import yarn_name
from weftline.server.pages.frame import finished_size, units_of

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Progress, Sheet
    from weftline.sheets.figures import Figure

PX_PER_MM = 0.775
LONGEST_PX = 360
BARE_PX = 330
"""How long a bare warp hangs."""


@dataclass(frozen=True, slots=True)
class Hung:
    """A piece on the rail; pixels at the rail's scale. ``rest`` is what hangs behind."""

    id: str
    name: str
    href: str
    picture: str
    width: int
    height: int
    rest: int
    doubled: bool
    alt: str
    size: Figure | None
    next: str


@dataclass(frozen=True, slots=True)
class OnLoom:
    """The piece on the loom."""

    id: str
    name: str
    picture: str
    width: int
    height: int
    alt: str
    next: str
    to_go: Figure


def extent_px(plan: Plan) -> tuple[int, int]:
    """Return the width and length of a piece on the rail, all sections one above the other."""
    width = max(section.size.across.finished_mm.value for section in plan.sections)
    length = sum(section.size.lengths.finished_mm.value for section in plan.sections)
    return max(12, round(width * PX_PER_MM)), round(length * PX_PER_MM)


def hung(plan: Plan, address: str, picture: str, name_id: str, next_words: str) -> Hung:
    """Return a piece as it hangs."""
    width, length = extent_px(plan)
    bare = length < 1
    length = BARE_PX if bare else max(length, 6)
    doubled = length > LONGEST_PX
    height = min(length, LONGEST_PX)
    return Hung(
        id=name_id,
        name=plan.project.name,
        href=address,
        picture=picture,
        width=width,
        height=height,
        rest=min(length - height, LONGEST_PX - 18) if doubled else 0,
        doubled=doubled,
        alt=f"{plan.project.name}, {plan.cloth.technique.name}",
        size=finished_size(plan),
        next=next_words,
    )


def next_words(sheet: Sheet, plan: Plan) -> tuple[str, str]:
    """Return what is next in one line, and the stop where it is done."""
    if not plan.throws:
        return "Lay the first line", "design"
    stops = [finding for finding in plan.findings if finding.severity is Severity.STOP]
    if stops:
        return stops[0].message, "design"
    if sheet.progress.woven >= plan.throws:
        return "Finish it", "finish"
    if sheet.progress.woven:
        return f"Next pick: {_next_yarn(plan, sheet.progress)}", "weave"
    if sheet.progress.threaded >= plan.warp.threaded_ends:
        return "Weave the heading", "weave"
    if sheet.progress.threaded:
        return f"Thread on at end {sheet.progress.threaded + 1}", "dress"
    short = [key for key, amount in plan.yarns.items() if amount.remains_g is not None and amount.remains_g.value < 0]
    if short:
        return f"Buy {yarn_name(plan.project.yarns[short[0]], short[0])}", "design"
    return "Dress the loom", "dress"


def _next_yarn(plan: Plan, progress: Progress) -> str:
    for step in plan.steps():
        if step.ordinal == progress.woven + 1:
            key = step.strands[0][0]
            return yarn_name(plan.project.yarns[key], key)
    return "none"


def picks_woven(plan: Plan, woven: int) -> tuple[int, int, int]:
    """Return picks woven (each shed once, pieces of a section once), the running line, and the lines of its section."""
    picks = 0
    for section in plan.cloth.sections:
        strips = len(section.strips)
        own = len(section.picks)
        whole = own * strips
        for _ in range(section.written.pieces):
            if woven < whole:
                at = woven // strips
                line = int(section.picks.line[min(at, own - 1)]) + 1 if own else 0
                return picks + at, line, section.picks.line_count
            woven -= whole
        picks += own
    last = plan.cloth.sections[-1].picks.line_count
    return picks, last, last


def to_go(plan: Plan, woven: int) -> Figure:
    """Return the length that is still to be woven, all pieces one after the other."""
    left: Quantity = NOTHING
    for section, facts in zip(plan.cloth.sections, plan.sections, strict=True):
        strips, tops = len(section.strips), section.picks.top_mm
        whole = facts.size.lengths.woven_mm
        for _ in range(section.written.pieces):
            done = min(woven, len(tops) * strips)
            share = float(tops[done // strips - 1]) / whole.value if done >= strips and whole.value else 0.0
            left = left + whole * (1 - share)
            woven -= done
    return units_of(plan).short(left)


def on_loom(sheet: Sheet, plan: Plan, picture: str) -> OnLoom | None:
    """Return a piece that is being woven as it stands on the loom, or None."""
    if not 0 < sheet.progress.woven < plan.throws:
        return None
    _, line, lines = picks_woven(plan, sheet.progress.woven)
    return OnLoom(
        id=sheet.id,
        name=plan.project.name,
        picture=picture,
        width=1010,
        height=242,
        alt=f"{plan.project.name} on the loom, woven to line {line}",
        next=f"Line {line} of {lines}. {next_words(sheet, plan)[0]}",
        to_go=to_go(plan, sheet.progress.woven),
    )
