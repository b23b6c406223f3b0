"""The reed: how the ends are sleyed, how wide each strip stands, where to begin."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from weftline.core.edges.edge_ends import edge_of
from weftline.core.findings import Basis, Quantity
from weftline.sheets.figures import Figure
from weftline.sheets.reed_rows import first_dent, gap_dents, loom_dents, own_sley, place_rows
from weftline.sheets.sley import LONGEST, Sley
from weftline.sheets.wording import count, printable

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan, SectionFacts
    from weftline.sheets.figures import Rich, Units


COMMON_METRIC = (20, 25, 30, 40, 50, 60)
"""Common reeds, dents in 10 cm."""

COMMON_INCH = (5, 6, 8, 10, 12, 15)
"""Common reeds, dents in an inch."""

OFFERED, LONGEST_OFFERED, EACH_DENT_COSTS = 3, 5, 1.2
"""How many reeds are offered, how long an order may be, and how many % of deviation a dent more of it is worth."""


def reed_data(plan: Plan, units: Units) -> dict[str, Any]:
    """Return the sentences about sett and reed, and for each section how it stands in the reed."""
    dents = plan.project.loom.reed_dents_per_10cm
    sett = plan.settings.sett_per_mm
    sley = own_sley(plan)
    spreads = [_spread(plan, place, facts, sley, units) for place, facts in enumerate(plan.sections)]
    common = COMMON_INCH if units.imperial else COMMON_METRIC
    own = None if dents is None else float(dents) * (0.254 if units.imperial else 1.0)
    plain = sley is not None and sley.is_exact and len(sley.order) == 1
    usual = own is not None and any(abs(own - one) < 0.005 * one for one in common)
    return {
        "sentences": _sley_words(sett, dents, sley, units),
        "others": [] if plain and usual else other_reeds(sett, units),
        "spreads": spreads,
    }


def other_reeds(sett: Quantity, units: Units) -> list[dict[str, str]]:
    """Return the sley in the common reeds that suit a sett best: how far off, in how short an order."""
    found = []
    for dents in COMMON_INCH if units.imperial else COMMON_METRIC:
        per_10cm = dents / 0.254 if units.imperial else float(dents)
        wanted = sett.value * 100 / per_10cm
        for longest in range(1, LONGEST_OFFERED + 1):
            near = Fraction(wanted).limit_denominator(longest)
            if near > 0 and near.denominator == longest:
                off = (float(near) / wanted - 1) * 100
                found.append((abs(off) + EACH_DENT_COSTS * (longest - 1), dents, Sley(near, abs(off) < 0.05), off))
    best: dict[int, tuple[float, int, Sley, float]] = {}
    for one in sorted(found, key=lambda one: one[:2]):
        best.setdefault(one[1], one)
    kept = sorted(list(best.values())[:OFFERED], key=lambda one: one[1])
    return [
        {
            "reed": f"{dents} dents per {'inch' if units.imperial else '10 cm'}",
            "order": _short_order(sley),
            "off": "as planned" if sley.is_exact else f"{abs(off):.1f} % {'closer' if off > 0 else 'more open'}",
        }
        for _, dents, sley, off in kept
    ]


def _sley_words(sett: Quantity, dents: float | None, sley: Sley | None, units: Units) -> list[Rich]:
    found: list[Rich] = [["Sett: ", units.per_length(sett, "ends"), "."]]
    if dents is None or sley is None:
        found.append(["No reed is named. A reed with one dent for each end at this sett would do."])
        return found
    found.append(["Reed: ", units.dents(float(dents)), "."])
    found.append([_order_words(sley)])
    if not sley.is_exact:
        real = Quantity(float(sley.per_dent) * float(dents) / 100, sett.basis)
        off = (real.value / sett.value - 1) * 100
        said = Figure(f"{abs(off):.1f} %", Basis.COMPUTED)
        found.append(
            [
                "No short order gives the sett exactly. This one comes to ",
                units.per_length(real, "ends"),
                f", {'closer' if off > 0 else 'more open'} by ",
                said,
                ": every width in the reed changes by as much.",
            ]
        )
    return found


def _order_words(sley: Sley) -> str:
    order = sley.order
    if len(order) == 1:
        return f"Sley {count(order[0], 'end')} in every dent."
    if len(order) > LONGEST:
        return f"Sley one end, then leave {len(order) - 1:,} dents empty, again and again."
    said = " ".join(map(str, order))
    empty = " (0 is an empty dent)" if 0 in order else ""
    return f"Sley in this order again and again: {said}{empty}; that is {sum(order)} ends in {len(order)} dents."


def _short_order(sley: Sley) -> str:
    order = sley.order
    if len(order) == 1:
        return f"{count(order[0], 'end')} in every dent"
    return f"{' '.join(map(str, order))} again and again: {count(sum(order), 'end')} in {len(order)} dents"


def _spread(plan: Plan, place: int, facts: SectionFacts, sley: Sley | None, units: Units) -> dict[str, Any]:
    section = plan.cloth.sections[place]
    strips = [
        {
            "name": printable(strip.name),
            "ends": count(strip.ends, "end"),
            "width": units.short(widths.in_reed_mm, 1),
            "dents": "" if sley is None else count(sley.dents(strip.ends), "dent"),
            "gap": _gap_words(cloth.written.gap_after_cm, plan, units) if number + 1 < len(facts.strips) else [],
        }
        for number, (strip, widths, cloth) in enumerate(
            zip(facts.strips, facts.size.strips, section.strips, strict=True)
        )
    ]
    return {
        "name": printable(facts.name),
        "strips": strips,
        "across": units.short_sum([one.in_reed_mm for one in facts.size.strips], facts.size.across.in_reed_mm, 1),
        "rows": place_rows(plan, place, units),
        "start": _start(plan, place, units),
    }


def _gap_words(gap_cm: float, plan: Plan, units: Units) -> Rich:
    if not gap_cm:
        return []
    gap: Rich = ["then ", units.short(Quantity(gap_cm * 10.0, Basis.LABEL), 1), " empty"]
    dents = plan.project.loom.reed_dents_per_10cm
    return gap if dents is None else [*gap, f" ({count(gap_dents(gap_cm, plan), 'dent')})"]


def _start(plan: Plan, place: int, units: Units) -> Rich:
    """Return where to begin so that the section stands in the middle of the reed."""
    loom, wide = plan.project.loom, plan.sections[place].size.across.in_reed_mm
    found: Rich = [
        "To centre it, put the first end on a shaft ",
        units.short(wide * 0.5, 1),
        " left of the middle of the reed",
    ]
    if edge_of(plan.project)[0] == "floating":
        found.append("; the floating end lies in the next dent outside")
    sley, whole = own_sley(plan), loom_dents(plan)
    if loom.weaving_width_cm is None or float(loom.weaving_width_cm) * 10.0 < wide.value:
        return [*found, "."]
    planned = Quantity(float(loom.weaving_width_cm) * 10.0, Basis.LABEL)
    found += [". On the loom that this was planned for, ", units.short(planned, 1), " wide, that is "]
    foot = None if sley is None else first_dent(plan, plan.cloth.sections[place], sley)
    if foot is not None:
        return [*found, f"dent {foot} of {whole}."]
    return [*found, units.short((planned - wide) * 0.5, 1), " from the left end of its width."]
