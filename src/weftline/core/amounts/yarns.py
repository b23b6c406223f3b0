"""What each yarn of a piece comes to: metres, grams, packs, money, and what stays on hand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import NOTHING, Basis, Quantity
from weftline.core.yarn import YarnSizeError, read_size, tex_from_m_per_kg

if TYPE_CHECKING:
    from weftline.core.amounts.warp import WarpAmount
    from weftline.core.amounts.weft import WeftAmount
    from weftline.core.piece.values import Project, Yarn


@dataclass(frozen=True, slots=True)
class Grist:
    """A yarn's number, or why there is none.

    Parameters
    ----------
    tex : Quantity or None
        g per km of one strand.
    question : str or None
        What to ask where the size reads several ways.
    trouble : str or None
        What is wrong where no system reads the size.
    """

    tex: Quantity | None = None
    question: str | None = None
    trouble: str | None = None


def grist_of(yarn: Yarn) -> Grist:
    """Return the yarn's number; a length from the label overrides the size, an ambiguous size is asked."""
    if yarn.m_per_kg is not None:
        return Grist(Quantity(tex_from_m_per_kg(yarn.m_per_kg), Basis.LABEL))
    if yarn.size is None:
        return Grist()
    try:
        size = read_size(yarn.size, yarn.fibre)
    except YarnSizeError as cause:
        return Grist(trouble=str(cause))
    if size.tex is None:
        return Grist(question=size.question)
    return Grist(Quantity(size.tex, Basis.LABEL))


@dataclass(frozen=True, slots=True)
class YarnAmount:
    """One yarn, warp and weft together; what cannot be told is None.

    Parameters
    ----------
    warp_mm, weft_mm : Quantity
        Single strands, end to end.
    tex : Quantity or None
    mass_g : Quantity or None
        All of it.
    cost : Quantity or None
        Its share of a pack's price.
    packs : int or None
        Whole packs that hold it.
    on_hand_g, remains_g : Quantity or None
        Before, and after; negative where there is too little.
    packs_to_buy : int or None
        Whole packs for what is missing.
    cost_to_buy : Quantity or None
    """

    warp_mm: Quantity
    weft_mm: Quantity
    tex: Quantity | None
    mass_g: Quantity | None
    cost: Quantity | None
    packs: int | None
    on_hand_g: Quantity | None
    remains_g: Quantity | None
    packs_to_buy: int | None
    cost_to_buy: Quantity | None


def mass_of(length_mm: Quantity, tex: Quantity | None) -> Quantity | None:
    """Return the mass in grams of so much yarn (tex is grams a kilometre)."""
    return None if tex is None else length_mm * tex * 1e-6


def yarn_amount(yarn: Yarn, warp_mm: Quantity, weft_mm: Quantity) -> YarnAmount:
    """Return what one yarn comes to."""
    tex = grist_of(yarn).tex
    mass = mass_of(warp_mm + weft_mm, tex)
    on_hand = None if yarn.on_hand_g is None else Quantity(float(yarn.on_hand_g), Basis.LABEL)
    remains = None if mass is None or on_hand is None else on_hand - mass
    cost = packs = to_buy = cost_to_buy = None
    if mass is not None and yarn.pack is not None:
        packs = _packs(mass.value, yarn.pack.mass_g)
        to_buy = _packs(mass.value if remains is None else max(0.0, -remains.value), yarn.pack.mass_g)
        if yarn.pack.price is not None:
            price = Quantity(float(yarn.pack.price), Basis.LABEL)
            cost = price * mass / float(yarn.pack.mass_g)
            cost_to_buy = price * to_buy
    return YarnAmount(warp_mm, weft_mm, tex, mass, cost, packs, on_hand, remains, to_buy, cost_to_buy)


def _packs(mass_g: float, pack_g: float) -> int:
    return math.ceil(mass_g / pack_g - 1e-9)


def yarn_amounts(project: Project, warp: WarpAmount, weft: dict[str, WeftAmount]) -> dict[str, YarnAmount]:
    """Return what every yarn that the piece uses comes to, in the order of the file's yarns."""
    amounts = {}
    for key, yarn in project.yarns.items():
        as_warp = warp.total_mm if key == project.warp.yarn else NOTHING
        if key in weft or key == project.warp.yarn:
            amounts[key] = yarn_amount(yarn, as_warp, weft[key].length_mm if key in weft else NOTHING)
    return amounts
