"""Several sections on one warp: which ends wait in each, and how one section follows another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.edges.edge_ends import edge_of
from weftline.core.findings import Basis, Quantity
from weftline.sheets.reed_rows import own_sley, strip_feet
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
    found: list[Rich] = []
    for place, section in enumerate(sections):
        words = [*_floats(plan, section), *([] if changes_before(plan, place) else _idle_words(plan, section))]
        if words:
            found.append([" ".join(words)])
    changed = [printable(section.name) for place, section in enumerate(sections) if changes_before(plan, place)]
    if changed:
        found.append(
            [
                f"Before {listed(changed)} the warp is cut and the reed sleyed again; Weaving tells how. The warp’s length "
                "counts the loom waste once, so tying on again must come out of ",
                *_spare(plan, units),
                ". If your loom needs more for that, make the warp so much longer now.",
            ]
        )
    return found


def again_dressed(plan: Plan, place: int, units: Units) -> list[Rich]:
    """Return the steps on the loom from one section to the next, in order; none where the ends lie as before."""
    if not changes_before(plan, place):
        return []
    last, here = plan.cloth.sections[place - 1], plan.cloth.sections[place]
    name, of = printable(here.name), plan.settings
    words = [*_floats_come(plan, place), *_idle_words(plan, here)]
    waiting: list[Rich] = [[" ".join(words)]] if words else []
    heading = f"Weave the second scrap heading of {printable(last.name)} and let" if of.heading_mm.value else "Let"
    fringe: Rich = (
        [", ", units.short(of.fringe_each_end_mm), " beyond it for the fringe,"]
        if of.fringe_each_end_mm.value
        else [","]
    )
    return [
        [
            f"{heading} the tension off in steps. Cut the cloth off",
            *fringe,
            " a bunch of ends at a time, and tie every bunch in a slip knot in front of the reed, so that nothing slips back. "
            f"{printable(last.name)} now goes through Finishing, from step {rest_step(plan)} on.",
        ],
        [
            "Take bunch after bunch: undo its knot, draw it out of the reed and knot it again between reed and heddles. There "
            "the knot keeps the ends in their heddles, and they can be sleyed anew.",
        ],
        [f"Sley as Dressing the loom lists it for {name}, undoing a bunch at a time. ", *_stay(plan, place, units)],
        *waiting,
        [
            "Tie on in front and even the tension. From the cut to the next scrap heading you have ",
            *_spare(plan, units),
            "; the knots are undone later, so they may lie in the fringe.",
        ],
    ]


def rest_step(plan: Plan) -> int:
    """Return the number of the step of Finishing that follows the cutting off."""
    return 3 if plan.settings.heading_mm.value else 2


def _spare(plan: Plan, units: Units) -> Rich:
    """Return the warp that lies bare between the cut and the next heading."""
    between, fringe = plan.settings.between_pieces_mm, plan.settings.fringe_each_end_mm
    found: Rich = ["the ", units.short(between), " between pieces"]
    return [*found, " and the ", units.short(fringe), " of the next fringe"] if fringe.value else found


def _lain(section: SectionCloth) -> list[tuple[int, int, float]]:
    return [(strip.lay.first_end, strip.written.ends, strip.written.gap_after_cm) for strip in section.strips]


def changes_before(plan: Plan, place: int) -> bool:
    """Return whether a section lies otherwise in the reed than the one before it."""
    return place > 0 and _lain(plan.cloth.sections[place]) != _lain(plan.cloth.sections[place - 1])


def reed_changes(plan: Plan) -> bool:
    """Return whether any section lies otherwise in the reed than the one before it."""
    return any(changes_before(plan, place) for place in range(len(plan.cloth.sections)))


def _stay(plan: Plan, place: int, units: Units) -> Rich:
    """Return whether strips can stay in their dents: where their gaps are there already, or nearly."""
    sley, dents = own_sley(plan), plan.project.loom.reed_dents_per_10cm
    last, here = plan.cloth.sections[place - 1], plan.cloth.sections[place]
    if sley is None or dents is None or len(here.strips) == 1 or len(last.strips) != 1:
        return []
    before = last.strips[0]
    if (
        before.lay.first_end > here.strips[0].lay.first_end
        or before.written.ends
        < sum(strip.written.ends + strip.written.idle_after for strip in here.strips[:-1])
        + here.strips[-1].written.ends
    ):
        return []
    starts = [sley.dents(strip.lay.first_end - before.lay.first_end + 1) - 1 for strip in here.strips]
    if [start - starts[0] for start in starts] == strip_feet(plan, here, sley):
        return ["The strips lie right already: leave them in their dents, and draw out only the ends between them."]
    widths = [sley.dents(strip.written.ends) for strip in here.strips]
    gaps = [after - start - width for start, after, width in zip(starts, starts[1:], widths, strict=False)]
    if min(gaps) < (2 if edge_of(plan.project)[0] == "floating" else 1):
        return []
    gap = Quantity(min(gaps) * 100.0 / float(dents), Basis.COMPUTED)
    return [
        f"Where they are, the strips stand {min(gaps)} dents apart, ",
        units.short(gap),
        ": if your shuttles can do with that, leave them there and draw out only the ends between them.",
    ]


def _floats(plan: Plan, section: SectionCloth) -> list[str]:
    """Return how many floating ends a section uses, and what the others do."""
    kind, each = edge_of(plan.project)
    if kind != "floating":
        return []
    used, whole = 2 * each * len(section.strips), plan.warp.edge_ends
    sides = "at its outer sides" if len(section.strips) == 1 else "at both sides of every strip"
    if used == whole:
        return [f"{printable(section.name)} uses all {whole} floating ends, {sides}."]
    rest = whole - used
    return [
        f"{printable(section.name)} uses {used} of the {whole} floating ends, {sides}; keep the other {rest} chained and "
        "off the loom meanwhile."
    ]


def _floats_come(plan: Plan, place: int) -> list[str]:
    """Return which floating ends are hung or taken off before a section."""
    kind, each = edge_of(plan.project)
    more = 2 * each * (len(plan.cloth.sections[place].strips) - len(plan.cloth.sections[place - 1].strips))
    if kind != "floating" or not more:
        return []
    if more > 0:
        return [f"Hang the {more} floating ends that waited, each with its weight, at the inner sides."]
    return [f"Chain the {-more} floating ends that are no longer used, and take them off the loom."]


def _idle_words(plan: Plan, section: SectionCloth) -> list[str]:
    """Return what is done with the threaded ends that a section does not weave."""
    idle = _idle(plan, section)
    if not idle:
        return []
    many = len(idle) > 1 or "–" in idle[0]
    which, it, its = ("Ends", "them", "their heddles") if many else ("End", "it", "its heddle")
    return [
        f"{which} {listed(idle)} {'are' if many else 'is'} not woven in {printable(section.name)}: leave {it} in {its} but out "
        f"of the reed, knotted between reed and heddles, and hang a small weight on {it} behind the heddles, so that the "
        "slack stays at the back, clear of the shuttles."
    ]


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
