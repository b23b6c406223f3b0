"""What a skein's label tells: how heavy and how thick the yarn is, or the readings that it may have and what to ask."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis, Quantity
from weftline.core.yarn import YarnSizeError, tex_from_m_per_kg
from weftline.core.yarn.diameter import diameter_of, stuff_of
from weftline.core.yarn.numbers import yarn_numbers
from weftline.core.yarn.words import fibres_in
from weftline.sheets.figures import MM_PER_INCH, Figure, Units
from weftline.sheets.ranges import interval

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class LabelAnswer:
    """What a label tells.

    Parameters
    ----------
    tex, m_per_kg, thick : Figure or None
        Of one strand; None where the label does not tell.
    means : str
        How it was read.
    question : str
        What tells its readings apart; empty where there is one reading.
    readings : tuple of (Figure, str)
        Every way to read it: tex, and what it means.
    remarks : tuple of str
    trouble : str
        Why it cannot be read.
    """

    tex: Figure | None = None
    m_per_kg: Figure | None = None
    thick: Figure | None = None
    means: str = ""
    question: str = ""
    readings: tuple[tuple[Figure, str], ...] = ()
    remarks: tuple[str, ...] = ()
    trouble: str = ""


def label_answer(document: Mapping[str, Any] | None, units: Units) -> LabelAnswer | None:
    """Return what a skein's label tells; None where it says nothing of its size."""
    if document is None:
        return None
    size, fibre = document.get("size"), document.get("fibre") or None
    if document.get("m_per_kg") is not None:
        tex = tex_from_m_per_kg(float(document["m_per_kg"]))
        mm = diameter_of(tex, stuff_of(fibres_in(fibre or "") or fibres_in(size or ""))).mm
        return _told(Quantity(tex, Basis.LABEL), mm, "length and mass as the label has them", units)
    if not size:
        return None
    try:
        numbers = yarn_numbers(size, fibre if fibre and fibres_in(fibre) else None)
    except YarnSizeError as cause:
        return LabelAnswer(trouble=str(cause))
    if numbers.question is not None:
        ways = tuple((units.grist(Quantity(way.tex, Basis.COMPUTED)), way.means) for way in numbers.readings)
        return LabelAnswer(question=numbers.question, readings=ways)
    return _told(numbers.tex, numbers.diameter.mm, numbers.readings[0].means, units, tuple(numbers.remarks))


def _told(tex: Quantity, mm: Quantity, means: str, units: Units, remarks: tuple[str, ...] = ()) -> LabelAnswer:
    basis = Basis.COMPUTED
    computed = Quantity(tex.value, basis, tex.low, tex.high)
    grist = units.grist(computed) if tex.low is None else interval(computed, 1.0, "tex")
    if tex.low is None or tex.high is None:
        per_kg = Figure(f"{float(f'{1e6 / tex.value:.3g}'):,.0f} m/kg", basis)
    else:
        per_kg = interval(Quantity(1e6 / tex.value, basis, 1e6 / tex.high, 1e6 / tex.low), 1.0, "m/kg")
    thick = Quantity(mm.value, basis, mm.low, mm.high)
    said = interval(thick, 1 / MM_PER_INCH if units.imperial else 1.0, "in" if units.imperial else "mm")
    return LabelAnswer(grist, per_kg, said, means, remarks=remarks)
