"""The reed: how the ends are sleyed, how wide each strip stands, where to begin."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis, Quantity
from weftline.sheets.figures import Figure
from weftline.sheets.sley import LONGEST, Sley, sley_of
from weftline.sheets.wording import count, listed, printable

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan, SectionFacts
    from weftline.sheets.figures import Rich, Units


def reed_data(plan: Plan, units: Units) -> dict[str, Any]:
    """Return the sentences about sett and reed, and for each section how it stands in the reed."""
    dents = plan.project.loom.reed_dents_per_10cm
    sett = plan.settings.sett_per_mm
    sley = None if dents is None else sley_of(sett.value * 10, float(dents))
    spreads = [_spread(plan, place, facts, sley, units) for place, facts in enumerate(plan.sections)]
    return {"sentences": _sley_words(sett, dents, sley, units), "spreads": spreads}


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
        "across": units.short(facts.size.across.in_reed_mm, 1),
        "start": _start(plan, facts, units),
    }


def _gap_words(gap_cm: float, plan: Plan, units: Units) -> Rich:
    if not gap_cm:
        return []
    gap: Rich = ["then ", units.short(Quantity(gap_cm * 10.0, Basis.LABEL), 1), " empty"]
    dents = plan.project.loom.reed_dents_per_10cm
    return gap if dents is None else [*gap, f" ({count(round(gap_cm * dents / 10), 'dent')})"]


def _start(plan: Plan, facts: SectionFacts, units: Units) -> Rich:
    """Return where to begin so that the section stands in the middle of the reed."""
    loom, across = plan.project.loom, facts.size.across.in_reed_mm
    half = units.short(across * 0.5, 1)
    found: Rich = ["To centre it, put the first end ", half, " left of the middle of the reed"]
    if loom.weaving_width_cm is not None:
        margin = (Quantity(loom.weaving_width_cm * 10.0, Basis.LABEL) - across) * 0.5
        if margin.value >= 0:
            found += [", which is ", units.short(margin, 1), " from the left end of the weaving width"]
            if loom.reed_dents_per_10cm is not None:
                first = int(margin.value * loom.reed_dents_per_10cm / 100) + 1
                found.append(f" (in dent {first})")
    return [*found, "."]


def sections_differ(plan: Plan) -> str:
    """Return what to do between sections that stand differently in the reed; nothing where there is one."""
    if len(plan.sections) == 1:
        return ""
    names = listed([printable(section.name) for section in plan.sections[1:]])
    return f"Before {names}, cut or tie off what is woven, then sley again as the table shows and tie on evenly."
