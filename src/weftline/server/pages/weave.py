"""Weave: the pick that is next at a glance, what follows it, and how far the piece has come."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

from weftline.core.edges.edge_ends import edge_of
from weftline.core.weave.technique import shed_mask
from weftline.core.weaving.log import MEASURED
from weftline.server.pages.care import cautions
from weftline.server.pages.rail import to_go
from weftline.server.pages.weave_signs import Shuttle, Sign, shuttles, signs
from weftline.server.pages.whole import Whole, whole
from weftline.sheets.figures import MM_PER_INCH

if TYPE_CHECKING:
    from weftline.core.findings import Caution
    from weftline.core.plan.plan import Plan
    from weftline.core.weave.picks import Winding
    from weftline.core.weaving.coming import PlannedThrow, PlannedThrows
    from weftline.core.weaving.fold import Woven
    from weftline.server.desk import Sheet
    from weftline.services.weaving import Weaving
    from weftline.sheets.figures import Figure

THEN = 3
"""So many picks are shown after the next one."""
WIDEST_ARC_MM = 300.0
"""A weft is laid in arcs of at most so much width; a wide one hangs in the middle."""


@dataclass(frozen=True, slots=True)
class Prompt:
    """One pick as it is prompted.

    Parameters
    ----------
    sign : Sign
    shuttle : Shuttle
    is_from_left : bool
        From which side its shuttle comes, as the weaver sits.
    line, pick, picks : int
        Running line, place in it, and how many picks the line has.
    band, strip : str
    ordinal : int
    """

    sign: Sign
    shuttle: Shuttle
    is_from_left: bool
    line: int
    pick: int
    picks: int
    band: str
    strip: str
    ordinal: int


@dataclass(frozen=True, slots=True)
class Arc:
    """How the weft is laid, mm; ``share`` is the extra that it takes, of the width."""

    width_mm: float
    share: float
    arcs: int
    height_mm: float
    measured_mm: float | None


@dataclass(frozen=True, slots=True)
class WeaveView:
    """The pick that is next, those after it, and how far the piece has come."""

    next: Prompt | None
    then: tuple[Prompt, ...]
    has_edge_end: bool
    is_face_down: bool
    is_left: bool
    strips: tuple[tuple[str, bool], ...]
    throws_done: int
    throws: int
    lines_to_go: int
    line_back: int
    line_on: int
    to_go: Figure
    arc: Arc
    arc_words: str
    cautions: tuple[Caution, ...]
    whole: Whole


def weave_view(sheet: Sheet, plan: Plan, weaving: Weaving) -> WeaveView:
    """Return the page."""
    throws, stand, woven = weaving.throws(sheet.id), weaving.stand(sheet.id), weaving.woven(sheet.id)
    place = min(stand.plan.ordinal, throws.total + 1)
    coming = throws.coming(place, 1 + THEN)
    prompts = _prompts(plan, throws, coming, passes(woven, throws, place))
    following = prompts[0] if prompts and not stand.left else None
    arc = arc_of(plan, woven)
    return WeaveView(
        next=following,
        then=tuple(prompts[1:]) if following else (),
        has_edge_end=edge_of(plan.project)[0] == "floating",
        is_face_down=plan.project.weave.face == "down",
        is_left=stand.left,
        strips=_strips(plan, coming),
        throws_done=place - 1,
        throws=throws.total,
        lines_to_go=_lines_to_go(plan, throws, place),
        line_back=_border(throws, place - 1, -1) if place > 1 else 0,
        line_on=_border(throws, place, 1),
        to_go=to_go(plan, place - 1),
        arc=arc,
        arc_words=arc_words(arc, imperial=plan.project.units == "imperial"),
        cautions=cautions(plan, "weave"),
        whole=whole(sheet, plan, (500, 500)),
    )


def passes(woven: Woven, throws: PlannedThrows, place: int) -> dict[str, Counter[Winding]]:
    """Return how often each shuttle was thrown in each strip, by the strip's id; its side follows from that.

    Where nothing is known of what was thrown, the plan up to its next throw stands for it.
    """
    found: dict[str, Counter[Winding]] = {strip: Counter() for strips in throws.strips for strip in strips}
    laid = woven.top
    if laid is None:
        for ordinal in range(1, place):
            one = throws.at(ordinal)
            found[throws.strips[one.section][one.strip]][one.strands] += 1
    while laid is not None:
        found.setdefault(laid.throw.strip, Counter())[laid.throw.strands] += 1
        laid = laid.below
    return found


def _prompts(
    plan: Plan, throws: PlannedThrows, coming: list[PlannedThrow], counts: dict[str, Counter[Winding]]
) -> list[Prompt]:
    sheds, carried = signs(plan.cloth), shuttles(plan)
    counts = {strip: Counter(one) for strip, one in counts.items()}
    found = []
    for one in coming:
        own = counts[throws.strips[one.section][one.strip]]
        strip = plan.cloth.sections[one.section].strips[one.strip]
        picks = strip.weaving.picks
        found.append(
            Prompt(
                sheds[shed_mask(one.shed)],
                carried[one.strands],
                own[one.strands] % 2 == 0,
                one.line,
                one.pick,
                int((picks.line == picks.line[one.index]).sum()),
                strip.bands[int(picks.band[one.index])],
                strip.name,
                one.ordinal,
            )
        )
        own[one.strands] += 1
    return found


def _strips(plan: Plan, coming: list[PlannedThrow]) -> tuple[tuple[str, bool], ...]:
    """Return the strips that are thrown in turn, and whose turn it is; none where there is one."""
    if not coming:
        return ()
    strips = plan.cloth.sections[coming[0].section].strips
    return tuple((one.name, place == coming[0].strip) for place, one in enumerate(strips)) if len(strips) > 1 else ()


def _border(throws: PlannedThrows, ordinal: int, step: int) -> int:
    """Return how many throws are woven when the line of a throw is woven, or was not begun."""
    if not 1 <= ordinal <= throws.total:
        return max(0, min(ordinal, throws.total))
    here = throws.at(ordinal)
    while 1 <= ordinal + step <= throws.total:
        one = throws.at(ordinal + step)
        if (one.line, one.piece, one.section) != (here.line, here.piece, here.section):
            break
        ordinal += step
    return ordinal if step > 0 else ordinal - 1


def _lines_to_go(plan: Plan, throws: PlannedThrows, place: int) -> int:
    """Return how many lines are still to be begun, pieces and sections together."""
    if place > throws.total:
        return 0
    sections, now = plan.cloth.sections, throws.at(place)
    lines = [section.picks.line_count for section in sections]
    total = sum(own * section.written.pieces for own, section in zip(lines, sections, strict=True))
    before = sum(own * one.written.pieces for own, one in zip(lines[: now.section], sections, strict=False))
    return total - before - lines[now.section] * (now.piece - 1) - now.line


def arc_of(plan: Plan, woven: Woven) -> Arc:
    """Return the arc in which the weft is laid so that the cloth does not draw in.

    Notes
    -----
    A shallow arc of width W and height h is longer than W by 8 h^2 / (3 W); so for an extra t of
    the width, h = W sqrt(3 t / 8). Laid as n arcs, each has a width and a height of one n-th.
    Where she measured a width m instead of W, the weft (1 + t) W lies in a width m, so what it
    takes is (1 + t) W / m - 1.
    """
    width = max(strip.in_reed_mm.value for section in plan.sections for strip in section.size.strips)
    measured = [one.payload["width_mm"] for one in woven.marks if one.kind == MEASURED and "width_mm" in one.payload]
    share = plan.settings.weft_take_up.value
    share = max(0.0, (1 + share) * width / measured[-1] - 1) if measured else share
    arcs = max(1, -(-int(width) // int(WIDEST_ARC_MM)))
    return Arc(width, share, arcs, width / arcs * sqrt(3 * share / 8), measured[-1] if measured else None)


def arc_words(arc: Arc, *, imperial: bool) -> str:
    """Return how the weft is laid, as one arc or as several.

    Examples
    --------
    >>> arc_words(Arc(400.0, 0.15, 2, 47.4, None), imperial=False)
    'Lay the weft in 2 arcs, each 200 mm wide and 47 mm high.'
    """

    def length(mm: float) -> str:
        return f"{mm / MM_PER_INCH:.1f} in" if imperial else f"{mm:.0f} mm"

    if arc.arcs == 1:
        return f"Lay the weft in one arc, {length(arc.height_mm)} high in the middle."
    each = length(arc.width_mm / arc.arcs)
    return f"Lay the weft in {arc.arcs} arcs, each {each} wide and {length(arc.height_mm)} high."
