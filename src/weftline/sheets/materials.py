"""Materials: every yarn with its mark, its number, how it is wound, how much of it is needed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.amounts.yarns import grist_of
from weftline.core.findings import Basis
from weftline.core.piece.names import yarn_name
from weftline.sheets.figures import Figure
from weftline.sheets.marks import looks
from weftline.sheets.wording import count, printable

if TYPE_CHECKING:
    from weftline.core.amounts.yarns import YarnAmount
    from weftline.core.piece.values import Yarn
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Rich, Units


def materials_data(plan: Plan, units: Units) -> dict[str, Any]:
    """Return weft and warp, a row for each yarn and use; the weft in the order of the file."""
    seen = looks(plan.project)
    weft = [_row(plan, key, units, as_warp=False) for key in plan.weft]
    warp = [] if plan.project.warp.yarn is None else [_row(plan, plan.project.warp.yarn, units, as_warp=True)]
    return {
        "weft": weft,
        "warp": warp,
        "marks": {key: look.words for key, look in seen.items()},
    }


def _row(plan: Plan, key: str, units: Units, *, as_warp: bool) -> dict[str, Any]:
    yarn, amount = plan.project.yarns[key], plan.yarns[key]
    length = amount.warp_mm if as_warp else amount.weft_mm
    share = length.value / (amount.warp_mm.value + amount.weft_mm.value or 1.0)
    mass = None if amount.mass_g is None else amount.mass_g * share
    return {
        "key": key,
        "mark": looks(plan.project)[key].words,
        "name": printable(yarn_name(yarn, key)),
        "size": _size(yarn),
        "lot": f"lot {printable(yarn.lot)}" if yarn.lot else "",
        "strands": "single" if as_warp else count(yarn.strands, "strand"),
        "length": units.yarn(length),
        "mass": "not known" if mass is None else units.mass(mass),
        "packs": _packs(yarn, amount, units),
        "both": share < 0.999,
    }


def _size(yarn: Yarn) -> Rich:
    """Return fibre, size as on the label, and what it is in tex."""
    found: Rich = [printable(yarn.fibre)] if yarn.fibre else []
    if yarn.size:
        found += [", " if found else "", printable(yarn.size)]
    elif yarn.m_per_kg:
        found += [", " if found else "", Figure(f"{yarn.m_per_kg:g} m per kg", Basis.LABEL)]
    tex = grist_of(yarn).tex
    if tex is None:
        return [*found, ", " if found else "", "number not known"]
    return [*found, ", " if found else "", Figure(f"{tex.value:.0f} tex", Basis.COMPUTED)]


def _packs(yarn: Yarn, amount: YarnAmount, units: Units) -> list[Rich]:
    found: list[Rich] = []
    if amount.packs is not None and yarn.pack is not None:
        pack = Figure(f"{yarn.pack.mass_g:g} g", Basis.LABEL)
        found.append([f"{count(amount.packs, 'pack')} of ", pack])
    if amount.on_hand_g is not None and amount.remains_g is not None:
        if amount.remains_g.value >= 0:
            found.append(["enough on hand"])
        elif amount.packs_to_buy is not None:
            found.append([f"buy {count(amount.packs_to_buy, 'pack')}"])
        else:
            found.append(["get ", units.mass(amount.remains_g * -1.0), " more"])
    return found
