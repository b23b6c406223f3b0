"""Weave: the line that is next, those around it, and how far the piece has come."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from weftline.core.piece.names import yarn_name
from weftline.server.pages.care import cautions
from weftline.server.pages.rail import to_go
from weftline.server.pages.whole import Whole, whole
from weftline.server.pages.yarn_rows import Swatch, swatches
from weftline.sheets.sheds import sheds_of

if TYPE_CHECKING:
    from weftline.core.findings import Caution
    from weftline.core.plan.plan import Plan
    from weftline.core.plan.steps import Step
    from weftline.server.desk import Sheet
    from weftline.sheets.figures import Figure


BEFORE, AFTER = 6, 12
"""Lines shown before and after the one that is woven."""


@dataclass(frozen=True, slots=True)
class Throw:
    """One pick as it is thrown: what moves, and the yarns wound together."""

    number: int
    lift: str
    shed: int
    moves: tuple[int, ...]
    strip: str
    yarns: tuple[tuple[str, str, Swatch], ...]

    @property
    def yarn_words(self) -> str:
        """``Oat with Slate``."""
        return " with ".join(name for _, name, _ in self.yarns)


@dataclass(frozen=True, slots=True)
class WovenLine:
    """One line of the warp: where it stands, and its throws."""

    place: str
    number: int
    last_ordinal: int
    is_done: bool
    is_next: bool
    throws: tuple[Throw, ...]


@dataclass(frozen=True, slots=True)
class WeaveView:
    """The line that is next, those around it, and how far the piece has come."""

    next: WovenLine | None
    around: tuple[WovenLine, ...]
    undo_to: int | None
    shafts: tuple[int, ...]
    verb: str
    lines_done: int
    lines: int
    throws_done: int
    throws: int
    to_go: Figure
    cautions: tuple[Caution, ...]
    strips: bool
    whole: Whole


def weave_view(sheet: Sheet, plan: Plan) -> WeaveView:
    """Return the page."""
    woven = sheet.progress.woven
    lines = _lines(plan, woven)
    at = next((place for place, line in enumerate(lines) if line.last_ordinal > woven), len(lines))
    shown = tuple(islice(lines, max(0, at - BEFORE), at + AFTER))
    before = lines[at - 1] if at else None
    earlier = lines[at - 2].last_ordinal if at > 1 else 0
    left = sum(1 for line in lines if not line.is_done)
    return WeaveView(
        next=lines[at] if at < len(lines) else None,
        around=shown,
        undo_to=None if before is None else earlier,
        shafts=tuple(range(1, plan.cloth.technique.shafts + 1)),
        verb="raise" if (plan.project.loom.shed or "rising") == "rising" else "lower",
        lines_done=len(lines) - left,
        lines=len(lines),
        throws_done=min(woven, plan.throws),
        throws=plan.throws,
        to_go=to_go(plan, woven),
        cautions=cautions(plan, "weave"),
        strips=any(len(section.strips) > 1 for section in plan.cloth.sections),
        whole=whole(sheet, plan, (500, 500)),
    )


def _lines(plan: Plan, woven: int) -> list[WovenLine]:
    """Return every line of the warp; throws are said only for those around the next one."""
    sheds = {shed.covers: shed.number for shed in sheds_of(plan.cloth).values()}
    looks, yarns = swatches(plan), plan.project.yarns
    names = {key: yarn_name(yarn, key) for key, yarn in yarns.items()}
    found: list[WovenLine] = []
    steps: list[Step] = []
    pieces = {section.name: section.pieces for section in plan.sections}
    several = len(plan.sections) > 1

    def close() -> None:
        first, last = steps[0], steps[-1].ordinal
        is_near = woven - 80 * len(steps) <= last <= woven + 80 * len(steps)
        throws = tuple(_throw(step, sheds, names, looks) for step in steps) if is_near else ()
        place = ", ".join(
            part
            for part in (
                first.section if several else "",
                f"piece {first.piece}" if pieces[first.section] > 1 else "",
                first.band,
            )
            if part
        )
        is_next = steps[0].ordinal <= woven + 1 <= last
        found.append(WovenLine(place, first.line, last, last <= woven, is_next, throws))
        steps.clear()

    for step in plan.steps():
        if steps and (step.line, step.piece, step.section) != (steps[0].line, steps[0].piece, steps[0].section):
            close()
        steps.append(step)
    if steps:
        close()
    return found


def _throw(step: Step, sheds: dict[tuple[int, ...], int], names: dict[str, str], looks: dict[str, Swatch]) -> Throw:
    wound = tuple((key, names[key], looks[key]) for key, _ in step.strands)
    return Throw(step.pick, step.lift.words(), sheds.get(step.shed, 0), step.lift.shafts, step.strip, wound)
