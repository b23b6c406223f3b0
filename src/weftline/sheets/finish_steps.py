"""Finishing: what is done when the last line is woven, in order, up to the finished thing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.sheets.headings import bare_mm
from weftline.sheets.resley import changes_before
from weftline.sheets.wording import count, listed, printable

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


def finishing_steps(plan: Plan, units: Units) -> list[Rich]:
    """Return what is to be done when the last line is woven, in order.

    Tails, knots and hems as common practice has them.
    """
    of = plan.settings
    tails = sum(amount.runs for amount in plan.weft.values())
    found: list[Rich] = []
    if of.heading_mm.value:
        found.append(["Weave the second scrap heading, ", units.short(of.heading_mm), ", against the last line."])
    found.append(_cut(plan, units))
    alone = " each piece by itself," if sum(section.pieces for section in plan.sections) > 1 else ""
    found.append(
        [
            f"Let it rest for a night, then measure it off the loom,{alone} before it is wet; write the sizes in the table."
        ]
    )
    found.append(
        [
            f"Work in the tails: {count(tails, 'run')} of yarn start and end in the cloth, so {2 * tails:,} places. Draw each "
            "with a blunt needle into the weft beside a warp end, and trim it at the back."
        ]
    )
    found += _edges(plan, units)
    seams = [strip for section in plan.cloth.sections for strip in section.strips if strip.written.seam_after]
    if seams:
        names = ", ".join(printable(strip.name) for strip in seams)
        found.append([f"Sew the strips together: the right side of {names} to the left side of the next."])
    found.append(["Wash as the yarns' makers say, lay it flat to its finished size, and let it dry."])
    found.append(["Measure it finished, and write the sizes beside those that were planned. Trim the fringe last."])
    return found


def _cut(plan: Plan, units: Units) -> Rich:
    """Return how the cloth comes off, and when each section does."""
    of = plan.settings
    if of.fringe_each_end_mm.value:
        beyond = " of warp beyond each scrap heading" if of.heading_mm.value else " of warp left at each end"
        found: Rich = ["Let the tension off in steps and cut with ", units.short(of.fringe_each_end_mm), f"{beyond}."]
    else:
        where = "at the scrap heading" if of.heading_mm.value else "with as much warp left as the edge needs"
        found = [f"Let the tension off in steps and cut {where}."]
    groups: list[list[str]] = []
    for place, section in enumerate(plan.sections):
        if not groups or changes_before(plan, place):
            groups.append([])
        groups[-1].append(printable(section.name))
    if len(groups) > 1:
        said = [
            f"{listed(names)} {'before the reed is sleyed again' if names is not groups[-1] else 'at the end'}"
            for names in groups
        ]
        found.append(f" The sections come off one after another: {', '.join(said)}. Go on with each when it is off.")
    return found


def _edges(plan: Plan, units: Units) -> list[Rich]:
    """Return the choice of edges and what each needs."""
    of = plan.settings
    bare = bare_mm(of)
    if not bare.value:
        return [["Secure the warp ends at once: knot neighbouring ends in pairs against the first line and the last."]]
    out = "Take the scrap heading out a few ends at a time, and as" if of.heading_mm.value else "As"
    return [
        [
            f"{out} you go knot the ends in bunches of three or four, close against the line. For a fringe that is all; there "
            "are ",
            units.short(bare),
            " for knot and fringe at each end. For a hem knot neighbouring ends in pairs instead, trim them to a finger’s "
            "width, turn the first and the last band to the back and sew them down with warp yarn, one and a half times as "
            "long as the edge. A hem takes its band off the length at each end.",
        ]
    ]
