"""Several sections on one warp: which ends wait in each, and what to do between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.edges.edge_ends import edge_of
from weftline.sheets.wording import listed, printable, span

if TYPE_CHECKING:
    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


def sections_words(plan: Plan, units: Units) -> list[Rich]:
    """Return what is to be known before dressing for several sections; nothing where there is one."""
    sections = plan.cloth.sections
    if len(sections) == 1:
        return []
    found = [words for section in sections if (words := _waiting(plan, section))]
    if reed_changes(plan):
        names = listed([printable(section.name) for section in sections[1:]])
        found.append(
            [
                f"Before {names} the reed is sleyed again, as the table shows; Weaving reminds you. ",
                *_waste(plan, units),
            ]
        )
    return found


def again_dressed(plan: Plan, units: Units) -> list[Rich]:
    """Return what is to be done on the loom before a section that is not the first."""
    if not reed_changes(plan):
        return []
    return [
        [
            "First dress the reed again: knot the warp behind the cloth so that it cannot slip back, cut off what is woven, "
            "sley as the table in Dressing the loom shows for this section, tie on and even the tension. ",
            *_waste(plan, units),
        ]
    ]


def _waste(plan: Plan, units: Units) -> Rich:
    return [
        "The warp’s length counts the loom waste once. What cutting off and tying on a second time takes must come out of "
        "the ",
        units.short(plan.settings.between_pieces_mm),
        " between pieces; if your loom needs more for that, make the warp so much longer before you begin.",
    ]


def reed_changes(plan: Plan) -> bool:
    """Return whether any section lies otherwise in the reed than the first."""
    lain = [
        [(strip.lay.first_end, strip.written.ends, strip.written.gap_after_cm) for strip in section.strips]
        for section in plan.cloth.sections
    ]
    return any(one != lain[0] for one in lain)


def _waiting(plan: Plan, section: SectionCloth) -> Rich:
    """Return which ends wait while a section is woven."""
    kind, each = edge_of(plan.project)
    edge = plan.warp.edge_ends - 2 * each * len(section.strips) if kind == "floating" else 0
    idle = _idle(plan, section)
    said: list[str] = []
    if kind == "floating":
        used = 2 * each * len(section.strips)
        which = f"{used} of the" if used < plan.warp.edge_ends else "all"
        sides = "outer sides of the strip" if len(section.strips) == 1 else "two sides of each strip"
        said.append(f"{which} {plan.warp.edge_ends} floating ends are used, at the {sides}")
    if edge:
        wait = "the other waits" if edge == 1 else f"the other {edge} wait"
        said.append(
            f"{wait} idle: lead {'it' if edge == 1 else 'them'} out of the reed and hang a weight behind the loom"
        )
    if idle:
        said.append(
            f"threaded ends {listed(idle)} are not woven: they stay in their heddles and go up and down with their shafts; "
            "take them out of the reed or let them run through empty dents, and hang a weight behind the loom"
        )
    return [f"In {printable(section.name)} {'; '.join(said)}."] if said else []


def _idle(plan: Plan, section: SectionCloth) -> list[str]:
    """Return the runs of threaded ends that no strip of a section uses."""
    runs, next_end = [], 0
    for strip in section.strips:
        if strip.lay.first_end > next_end:
            runs.append(span(next_end + 1, strip.lay.first_end))
        next_end = strip.lay.first_end + strip.written.ends
    if next_end < plan.cloth.warp_ends:
        runs.append(span(next_end + 1, plan.cloth.warp_ends))
    return runs
