"""How this cloth is woven, for somebody who never wove it: what it is, its shuttles, its width, its sample."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.core.edges.edge_ends import edge_of
from weftline.core.edges.runs import CARRIED_LINES
from weftline.core.findings import Basis, Quantity
from weftline.sheets.figures import Figure, share
from weftline.sheets.lines import lines_of
from weftline.sheets.shuttles import most_shuttles
from weftline.sheets.wording import NUMBERS, count, lines_words, printable

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.core.weave.picks import Picks
    from weftline.sheets.figures import Rich, Units

SAMPLE_LEAST_MM = 50.0
"""So much of the cloth settles how many lines close up into a centimetre."""


def cloth_data(plan: Plan, units: Units) -> list[dict[str, Any]]:
    """Return the words of the page, each a term with what it says."""
    rows: list[tuple[str, Rich]] = [
        ("The cloth", _cloth(plan)),
        ("Shuttles", _shuttles(plan)),
        ("Carry or cut", carry_words(plan, units)),
        ("Begin and end", _tails_words(plan)),
        ("The arc", _arc(plan, units)),
        ("The width", _width(plan, units)),
        ("The edges", _edges(plan)),
        ("The sides", _sides()),
    ]
    if plan.settings.sample_mm.value:
        rows += [("The sample", _sample(plan, units)), ("If the beat differs", _beat(plan, units))]
    else:
        rows.append(("If the beat differs", _beat(plan, units)))
    return [{"word": word, "says": says} for word, says in rows]


def _cloth(plan: Plan) -> Rich:
    sheds = len(plan.cloth.technique.sheds)
    picks = "one pick" if sheds == 1 else f"{NUMBERS[sheds] if sheds < len(NUMBERS) else sheds} picks"
    return [
        "It is weft-faced: the weft is beaten so close that it hides the warp, and only weft is seen. A line is "
        f"{picks}; beaten in, they close up into one row across the cloth. Which yarn goes into which shed makes the "
        "figure; the sheds always follow each other in the order of the table."
    ]


def _shuttles(plan: Plan) -> Rich:
    """Return how many windings a line and a band use at most."""
    most_line, most_band, where = most_shuttles(plan)
    if not most_line:
        return ["No line is written yet."]
    each = (
        " on each strip, since every strip has its own"
        if max(len(one.strips) for one in plan.cloth.sections) > 1
        else ""
    )
    return [
        f"At most {count(most_line, 'shuttle')} {'is' if most_line == 1 else 'are'} used within one line, and "
        f"{most_band} within one band ({printable(where)}){each}. Butterflies do as well as shuttles where a yarn is "
        "used little (common practice)."
    ]


def carry_words(plan: Plan, units: Units) -> Rich:
    """Return the rule of carrying and cutting, as the amounts count it."""
    short = " or ".join(NUMBERS[number] for number in range(1, CARRIED_LINES + 1))
    runs = sum(amount.runs for amount in plan.weft.values())
    return [
        f"A yarn that is not used for {short} whole lines is carried up the edge, the working weft going round it "
        "there. Out for longer, it is cut and joined in again later. What lies between start and cut is a run; every "
        "strand of it has a tail at both ends, ",
        units.short(plan.settings.tail_mm),
        f" each. There are {count(runs, 'run')} in all; Materials says how many of each yarn, the steps say where.",
    ]


def _tails_words(plan: Plan) -> Rich:
    """Return how weft is begun, ended and joined; common practice."""
    back = "down to the back" if plan.project.weave.face == "up" else "up to the back, which you see,"
    return [
        "To begin, lay the tail round the outermost end and back into the same shed for about three fingers’ width; then "
        f"bring its end {back} between two ends. To end, do the same with the last pick. Where a shuttle runs out, let old "
        "and new weft overlap as far in one shed, away from the edge. The tails are worked in when the piece is off the loom "
        "(common practice).",
    ]


def _arc(plan: Plan, units: Units) -> Rich:
    take_up = plan.settings.weft_take_up
    widest = max((widths.in_reed_mm for one in plan.sections for widths in one.size.strips), key=lambda mm: mm.value)
    return [
        "Weft that goes over and under the ends is longer than the shed is wide. Lay every pick in an arc or at a slant "
        "before you beat, so that the cloth does not draw in. The amounts count ",
        share(take_up),
        " over the width in the reed: ",
        units.short(widest * (take_up + 1), 1),
        " of weft for a pick across ",
        units.short(widest, 1),
        ". Beat hard, on a tight warp, until the last line hides its warp (common practice).",
    ]


def _width(plan: Plan, units: Units) -> Rich:
    found: Rich = [
        "Measure the width at the fell often, or keep it with a temple that is moved along (common practice). Planned"
    ]
    for place, section in enumerate(plan.sections):
        for strip, widths in zip(section.strips, section.size.strips, strict=True):
            name = f" for {printable(strip.name)}" if len(plan.sections) > 1 or len(section.strips) > 1 else ""
            found += [
                f"{';' if place or strip is not section.strips[0] else ''}{name} ",
                units.short(widths.on_loom_mm),
            ]
    found.append(" on the loom. Narrower: lay more weft into the arc; loops at the edge: lay less.")
    return found[:60]


def _edges(plan: Plan) -> Rich:
    kind, _ = edge_of(plan.project)
    if kind == "floating":
        return [
            "The shuttle goes over the floating end on the way in and under the one on the way out; so every turn "
            "catches the edge."
        ]
    return [
        "A weft catches the outermost end at a turn only if it passes that end on opposite faces before and after. "
        "Where a turn is missed, lock the two wefts round each other."
    ]


def _sides() -> Rich:
    return ["Begin a yarn from either side. After that every shuttle comes back in from the side where it went out."]


def _sample(plan: Plan, units: Units) -> Rich:
    of = plan.settings
    return [
        "The warp has ",
        units.short(of.sample_mm),
        f" for a sample at its start. Weave {_what_to_sample(plan)} with the yarns, the arc and the beat of the piece: at "
        "least ",
        units.short(Quantity(SAMPLE_LEAST_MM, Basis.LABEL)),
        ". With the tension let off, count its lines over a measured length, and measure its width. Wash and dry "
        "it as the piece will be, once it is cut off, and measure again.",
    ]


def _what_to_sample(plan: Plan) -> str:
    """Return the first run of lines of the technique's own sheds, by their band."""
    strip = plan.cloth.sections[0].strips[0]
    picks = strip.weaving.picks
    firsts: dict[int, tuple[int, int]] = {}
    for band, line in zip(picks.band.tolist(), picks.line.tolist(), strict=True):
        first, _ = firsts.get(band, (line, line))
        firsts[band] = (first, line)
    own = [band for band in firsts if strip.written.bands[band].sheds is None] or list(firsts)
    if not own:
        return "some lines"
    best = max(own, key=lambda band: (len(np.unique(picks.wound[picks.band == band])), -band))
    first, last, again = _high_enough(picks, firsts[best])
    on = "" if last <= firsts[best][1] else " and on"
    times = "" if again == 1 else f", {count(again, 'time')} one after another"
    return (
        f"lines of the piece itself, as {lines_words(first + 1, last + 1)} ({printable(strip.bands[best])}{on}){times},"
    )


def _high_enough(picks: Picks, band: tuple[int, int]) -> tuple[int, int, int]:
    """Return lines around a band that are high enough for a sample: the first and last, and how often they are woven."""
    tops = picks.top_mm
    heights = tops[np.flatnonzero(np.diff(picks.line, append=-1))].tolist()
    first, last = band
    while last + 1 < len(heights) and heights[last] - (heights[first - 1] if first else 0.0) < SAMPLE_LEAST_MM - 1e-6:
        last += 1
    while first and heights[last] - heights[first - 1] < SAMPLE_LEAST_MM - 1e-6:
        first -= 1
    high = heights[last] - (heights[first - 1] if first else 0.0)
    return first, last, max(1, math.ceil(SAMPLE_LEAST_MM / high - 1e-9)) if high else 1


def _beat(plan: Plan, units: Units) -> Rich:
    per_mm = Quantity(1 / plan.settings.line_height_mm.value, plan.settings.line_height_mm.basis)
    more = Figure(units.per_length(per_mm * 1.1, "lines", 1).text, Basis.COMPUTED)
    length = plan.sections[0].size.lengths.woven_mm
    name = f" of {printable(plan.sections[0].name)}" if len(plan.sections) > 1 else ""
    return [
        "Weave to the count of lines, not to a length. Planned are ",
        units.per_length(per_mm, "lines"),
        *(
            [", where an incomplete line counts only by its share of picks"]
            if any(
                line.is_incomplete
                for section in plan.cloth.sections
                for line in set(lines_of(plan.cloth, section.strips))
            )
            else []
        ),
        ". With more lines to the same length the cloth comes out shorter in proportion, with fewer longer: at ",
        more,
        f" the woven length{name} is ",
        units.short(length * (1 / 1.1)),
        " instead of ",
        units.short(length),
        ". The weft for the same lines stays the same. If you add or leave out lines to keep the length, weft changes "
        "in proportion to the lines; if the width differs, in proportion to the width. Check the warp’s length first.",
    ]
