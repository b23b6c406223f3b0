"""Dent by dent: what lies where in the reed while a section is woven, from the left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.edges.edge_ends import edge_of
from weftline.core.findings import Basis, Quantity
from weftline.sheets.sley import sley_of
from weftline.sheets.wording import count, printable, span

if TYPE_CHECKING:
    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Figure, Units
    from weftline.sheets.sley import Sley


@dataclass(frozen=True, slots=True)
class Place:
    """A run of dents: what lies there, and the first and last of them, counted from the section's first end on a shaft.

    Parameters
    ----------
    what : str
        ``strip``, ``floating``, ``shared`` (a floating end in the dent of the strip's outermost end) or ``empty``.
    strip : int
        The strip that it belongs to, or that the gap follows.
    first, last : int
        From 0; a floating end outside the first strip has -1.
    """

    what: str
    strip: int
    first: int
    last: int


def own_sley(plan: Plan) -> Sley | None:
    """Return the sley in the reed that is named, or None."""
    dents = plan.project.loom.reed_dents_per_10cm
    return None if dents is None else sley_of(plan.settings.sett_per_mm.value * 10, float(dents))


def gap_dents(gap_cm: float, plan: Plan) -> int:
    """Return how many dents a gap between strips takes."""
    return round(gap_cm * float(plan.project.loom.reed_dents_per_10cm or 0) / 10)


def strip_feet(plan: Plan, section: SectionCloth, sley: Sley) -> list[int]:
    """Return the dent of each strip's first end, counted from 0 at the first of all."""
    feet, at = [], 0
    for strip in section.strips:
        feet.append(at)
        at += sley.dents(strip.written.ends) + gap_dents(strip.written.gap_after_cm, plan)
    return feet


def span_dents(plan: Plan, section: SectionCloth, sley: Sley) -> int:
    """Return how many dents a section reaches over, from its first end on a shaft to its last."""
    return strip_feet(plan, section, sley)[-1] + sley.dents(section.strips[-1].written.ends)


def loom_dents(plan: Plan) -> int | None:
    """Return how many dents a reed as wide as the loom has, where both are known."""
    loom = plan.project.loom
    if loom.reed_dents_per_10cm is None or loom.weaving_width_cm is None:
        return None
    return int(float(loom.weaving_width_cm) * float(loom.reed_dents_per_10cm) / 10 + 1e-9)


def first_dent(plan: Plan, section: SectionCloth, sley: Sley) -> int | None:
    """Return the dent of the first end on a shaft, from 1, where the section stands in the middle of its loom's reed."""
    whole = loom_dents(plan)
    spare = -1 if whole is None else whole - span_dents(plan, section, sley)
    return spare // 2 + 1 if spare >= 0 else None


def places(plan: Plan, section: SectionCloth, sley: Sley) -> list[Place]:
    """Return everything that a section has in the reed, from the left."""
    floats = edge_of(plan.project)[0] == "floating"
    feet, found, last = strip_feet(plan, section, sley), list[Place](), len(section.strips) - 1
    has_room = True
    for number, (strip, foot) in enumerate(zip(section.strips, feet, strict=True)):
        top = foot + sley.dents(strip.written.ends) - 1
        if floats:
            found.append(
                Place("floating", number, foot - 1, foot - 1) if has_room else Place("shared", number, foot, foot)
            )
        found.append(Place("strip", number, foot, top))
        gap = feet[number + 1] - top - 1 if number < last else 2
        has_room = gap >= 2
        if floats:
            found.append(Place("floating", number, top + 1, top + 1) if has_room else Place("shared", number, top, top))
        beside = 1 if floats and has_room else 0
        if number < last and gap > 2 * beside:
            found.append(Place("empty", number, top + 1 + beside, feet[number + 1] - 1 - beside))
    return found


def place_rows(plan: Plan, place: int, units: Units) -> list[dict[str, Any]]:
    """Return the rows of a section's list: what lies there, how many dents, which, and the width of a strip."""
    section, sley = plan.cloth.sections[place], own_sley(plan)
    if sley is None:
        return []
    foot = first_dent(plan, section, sley)
    return [_row(plan, place, one, foot, units) for one in places(plan, section, sley)]


def _row(plan: Plan, place: int, one: Place, foot: int | None, units: Units) -> dict[str, Any]:
    section, strip = plan.cloth.sections[place], plan.cloth.sections[place].strips[one.strip]
    low, high = (0, 0) if foot is None else (foot + one.first, foot + one.last)
    width: Figure | str = ""
    if one.what == "strip":
        width = units.short(plan.sections[place].size.strips[one.strip].in_reed_mm, 1)
    elif one.what == "empty":
        width = units.short(Quantity(strip.written.gap_after_cm * 10.0, Basis.LABEL), 1)
    return {
        "what": _what(plan, section, one),
        "dents": "in the strip’s outer dent" if one.what == "shared" else count(one.last - one.first + 1, "dent"),
        "where": f"dent{'' if low == high else 's'} {span(low, high)}" if low >= 1 else "",
        "width": width,
        "is_strip": one.what == "strip",
    }


def _what(plan: Plan, section: SectionCloth, one: Place) -> str:
    kind, each = edge_of(plan.project)
    if one.what == "empty":
        gap = section.strips[one.strip].written.gap_after_cm
        return (
            "left empty; gap with its floating ends"
            if kind == "floating" and gap_dents(gap, plan) >= 2
            else "left empty"
        )
    if one.what in ("floating", "shared"):
        return "floating end" if each == 1 else f"{each} floating ends"
    strip = section.strips[one.strip]
    first = strip.lay.first_end
    return f"{printable(strip.name)}, ends {span(first + 1, first + strip.written.ends)}"
