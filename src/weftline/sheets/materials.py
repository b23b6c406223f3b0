"""Materials: every yarn with its mark, its number, how it is wound, how much of it is needed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.amounts.yarns import grist_of
from weftline.core.findings import Basis, Quantity
from weftline.core.piece.names import yarn_name
from weftline.sheets.figures import Figure
from weftline.sheets.marks import looks
from weftline.sheets.needs import needs_data
from weftline.sheets.wording import count, printable

if TYPE_CHECKING:
    from weftline.core.amounts.yarns import YarnAmount
    from weftline.core.piece.values import Yarn
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


JUST_ENOUGH = 0.05
"""Share of what is needed; less than this left over is said to be just enough."""


def materials_data(plan: Plan, units: Units) -> dict[str, Any]:
    """Return weft and warp, a row for each yarn and use; the weft in the order of the file."""
    seen = looks(plan.project)
    weft = [_row(plan, key, units, as_warp=False) for key in plan.weft]
    warp = [] if plan.project.warp.yarn is None else [_row(plan, plan.project.warp.yarn, units, as_warp=True)]
    return {
        "weft": weft,
        "warp": warp,
        "not_counted": _not_counted(plan),
        "needs": needs_data(plan, units),
        "marks": {key: look.words for key, look in seen.items()},
    }


def _not_counted(plan: Plan) -> str:
    """Return what the amounts of weft leave out."""
    of = plan.settings
    left = [*(["the sample"] if of.sample_mm.value else []), *(["the scrap headings"] if of.heading_mm.value else [])]
    return f"Not counted: weft for {' and '.join(left)}." if left else ""


def _row(plan: Plan, key: str, units: Units, *, as_warp: bool) -> dict[str, Any]:
    yarn, amount = plan.project.yarns[key], plan.yarns[key]
    length = amount.warp_mm if as_warp else amount.weft_mm
    share = length.value / (amount.warp_mm.value + amount.weft_mm.value or 1.0)
    mass = None if amount.mass_g is None else amount.mass_g * share
    return {
        "key": key,
        "mark": looks(plan.project)[key].words,
        "name": printable(yarn_name(yarn, key)),
        "size": _size(yarn, units),
        "lot": f"lot {printable(yarn.lot)}" if yarn.lot else "",
        "strands": "one strand" if as_warp else count(yarn.strands, "strand"),
        "runs": "" if as_warp else count(plan.weft[key].runs, "run"),
        "length": units.yarn(length),
        "mass": "not known" if mass is None else units.mass(mass),
        "packs": _packs(yarn, amount, units),
        "both": share < 0.999,
    }


def _size(yarn: Yarn, units: Units) -> Rich:
    """Return fibre, size as on the label, and what it is in tex."""
    found: Rich = [printable(yarn.fibre)] if yarn.fibre else []
    if yarn.size:
        found += [", " if found else "", printable(yarn.size)]
    elif yarn.m_per_kg:
        found += [", " if found else "", Figure(f"{yarn.m_per_kg:g} m per kg", Basis.LABEL)]
    tex = grist_of(yarn).tex
    if tex is None:
        return [*found, ", " if found else "", "number not known"]
    return [*found, ", " if found else "", units.grist(Quantity(float(tex.value), Basis.COMPUTED))]


def _packs(yarn: Yarn, amount: YarnAmount, units: Units) -> list[Rich]:
    """Return what its author had and what is to be got; never nothing."""
    if amount.mass_g is None:
        need: Rich = ["get ", units.yarn(amount.warp_mm + amount.weft_mm)]
        return [need] if amount.on_hand_g is None else [["the author had ", _said(amount.on_hand_g, units)], need]
    if amount.on_hand_g is None:
        return [_buy(yarn, amount, amount.mass_g, units)]
    hand: Rich = ["the author had ", _said(amount.on_hand_g, units), ": "]
    over = amount.on_hand_g + amount.mass_g * -1.0
    if over.value < 0:
        return [[*hand, "too little"], _buy(yarn, amount, over * -1.0, units)]
    if over.value < JUST_ENOUGH * amount.mass_g.value:
        return [[*hand, "just enough, ", units.mass(over), " over"]]
    return [[*hand, "enough"]]


def _said(grams: Quantity, units: Units) -> Figure | str:
    return Figure(f"{grams.value:g} g", grams.basis) if not units.imperial else units.mass(grams)


def _buy(yarn: Yarn, amount: YarnAmount, missing: Quantity, units: Units) -> Rich:
    if amount.packs_to_buy is None or yarn.pack is None:
        return ["get ", units.mass(missing), "" if amount.on_hand_g is None else " more"]
    return [f"buy {count(amount.packs_to_buy, 'pack')} of ", units.pack(float(yarn.pack.mass_g))]
