"""Numbers as they are printed: in one system of units, no finer than they deserve, with their basis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis, Quantity, joined

if TYPE_CHECKING:
    from collections.abc import Sequence

CM_PER_INCH, MM_PER_INCH, MM_PER_YARD, G_PER_OUNCE = 2.54, 25.4, 914.4, 28.349523125
YD_PER_LB_OF_ONE_TEX = 453_592.37 / 0.9144
"""Yards in a pound of a yarn of 1 tex (1 g in 1000 m; 1 lb = 453.59237 g)."""

EIGHTHS_BELOW_IN = 12.0
"""Shorter lengths are said in eighths of an inch, as a rule shows them."""

TENTHS_BELOW_CM, TENTHS_BELOW_IN = 50.0, 30.0
"""Longer ones that rest on common practice are said in whole centimetres or inches."""

BASIS_WORDS = {
    Basis.MEASURED: "measured",
    Basis.COMPUTED: "computed",
    Basis.DEFAULT: "common practice",
    Basis.LABEL: "as the author wrote it",
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as printed, and what it rests on."""

    text: str
    basis: Basis

    @property
    def word(self) -> str:
        """What it rests on, in a weaver's words."""
        return BASIS_WORDS[self.basis]


Rich = list[str | Figure]
"""A sentence: words and figures."""


def plain_text(rich: Rich) -> str:
    """Return a sentence as words alone."""
    return "".join(part if isinstance(part, str) else part.text for part in rich)


def plain_data(value: Any) -> Any:
    """Return a document as lists, objects, strings and numbers alone."""
    if isinstance(value, Figure):
        return {"text": value.text, "basis": value.basis.value, "word": value.word}
    if isinstance(value, dict):
        return {key: plain_data(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain_data(part) for part in value]
    return value


@dataclass(frozen=True, slots=True)
class Units:
    """Says quantities in one system of units."""

    imperial: bool

    def short(self, mm: Quantity, digits: int | None = None) -> Figure:
        """Say a width or a length of cloth: whole centimetres where it rests on common practice and is long.

        Short lengths in inches are in eighths, unless two digits or more are asked for.
        """
        return self._short(mm.value / (MM_PER_INCH if self.imperial else 10.0), mm.basis, digits)

    def short_sum(self, parts: Sequence[Quantity], whole: Quantity, digits: int | None = None) -> Figure:
        """Say a whole of which parts are printed, so that what is printed adds up; what they leave is a part too."""
        if len(parts) == 1:
            return self.short(whole, digits)
        unit = MM_PER_INCH if self.imperial else 10.0
        rest = whole.value - sum(part.value for part in parts)
        pieces = [*((part.value, part.basis) for part in parts), (rest, Basis.LABEL)]
        said = sum(self._said(value / unit, basis, digits) for value, basis in pieces)
        finest = max(self._digits(value / unit, basis) for value, basis in pieces)
        return self._short(said, whole.basis, finest if digits is None else digits)

    def _digits(self, value: float, basis: Basis) -> int:
        return 0 if basis is Basis.DEFAULT and value >= (TENTHS_BELOW_IN if self.imperial else TENTHS_BELOW_CM) else 1

    def _said(self, value: float, basis: Basis, digits: int | None) -> float:
        """Return a length as it is printed, in centimetres or inches."""
        if self.imperial and value < EIGHTHS_BELOW_IN and (digits or 0) < 2:
            return round(value * 8) / 8
        return round(value, self._digits(value, basis) if digits is None else digits)

    def _short(self, value: float, basis: Basis, digits: int | None) -> Figure:
        name = "in" if self.imperial else "cm"
        said = self._said(value, basis, digits)
        if self.imperial and said < EIGHTHS_BELOW_IN and (digits or 0) < 2 and (said or not value):
            return Figure(f"{_eighths(said)} {name}", basis)
        is_round = digits is None and basis is Basis.DEFAULT and abs(value - round(value)) < 1e-9
        digits = (2 if value and not said else self._digits(value, basis)) if digits is None else digits
        return Figure(f"{_number(value, digits, trim=basis is Basis.LABEL or is_round)} {name}", basis)

    def size(self, across: Quantity, along: Quantity) -> Figure:
        """Say ``23 cm wide × 45 cm long``."""
        basis = Basis.DEFAULT if Basis.DEFAULT in (across.basis, along.basis) else across.basis
        return Figure(f"{self.short(across).text} wide × {self.short(along).text} long", basis)

    def yarn(self, mm: Quantity) -> Figure:
        """Say a length of yarn, in whole metres or yards."""
        unit, name = (MM_PER_YARD, "yd") if self.imperial else (1000.0, "m")
        return Figure(f"{_number(mm.value / unit, 0)} {name}", mm.basis)

    def warp(self, mm: Quantity) -> Figure:
        """Say the length of a warp, to the centimetre or the inch, as its parts add up."""
        if self.imperial:
            inches = round(mm.value / MM_PER_INCH)
            return Figure(f"{inches:,} in ({_number(inches / 36, 2)} yd)", mm.basis)
        return Figure(f"{_number(round(mm.value / 10.0) / 100, 2)} m", mm.basis)

    def parts(self, lengths: Sequence[Quantity], whole: Quantity) -> tuple[list[Figure], Figure]:
        """Say lengths to a tenth of a centimetre or inch, and the sum of what is printed."""
        unit, name = (MM_PER_INCH, "in") if self.imperial else (10.0, "cm")
        said = [round(length.value / unit, 1) for length in lengths]
        figures = [Figure(f"{_number(one, 1)} {name}", length.basis) for one, length in zip(said, lengths, strict=True)]
        return figures, Figure(f"{_number(sum(said), 1)} {name}", whole.basis)

    def grist(self, tex: Quantity) -> Figure:
        """Say how fine a yarn is: in tex, with yards in a pound where these are asked for."""
        yards = f" ({_number(round(YD_PER_LB_OF_ONE_TEX / tex.value, -1), 0)} yd/lb)" if self.imperial else ""
        return Figure(f"{_number(tex.value, 0)} tex{yards}", tex.basis)

    def mass(self, grams: Quantity | None) -> Figure | str:
        """Say a mass, in whole grams or tenths of an ounce."""
        if grams is None:
            return "weight not known"
        if self.imperial:
            return Figure(f"{_number(grams.value / G_PER_OUNCE, 1)} oz", grams.basis)
        return Figure(f"{_number(grams.value, 0)} g", grams.basis)

    def mass_sum(self, grams: Sequence[Quantity]) -> Figure:
        """Say the sum of masses as the masses are printed, so that it adds up."""
        unit, digits = (G_PER_OUNCE, 1) if self.imperial else (1.0, 0)
        whole = sum(round(one.value / unit, digits) for one in grams)
        return Figure(
            f"{_number(whole, digits)} {'oz' if self.imperial else 'g'}", joined(*(one.basis for one in grams))
        )

    def yarn_sum(self, lengths: Sequence[Quantity]) -> Figure:
        """Say the sum of lengths of yarn as they are printed."""
        unit, name = (MM_PER_YARD, "yd") if self.imperial else (1000.0, "m")
        whole = sum(round(one.value / unit) for one in lengths)
        return Figure(f"{whole:,} {name}", joined(*(one.basis for one in lengths)))

    def pack(self, grams: float) -> Figure:
        """Say a pack's mass as its label does, with ounces beside it where these are asked for."""
        ounces = f" ({_number(grams / G_PER_OUNCE, 1)} oz)" if self.imperial else ""
        return Figure(f"{grams:g} g{ounces}", Basis.LABEL)

    def per_length(self, per_mm: Quantity, what: str, digits: int | None = None) -> Figure:
        """Say so many ends or lines to the centimetre or inch: to hundredths or tenths, if not otherwise told."""
        unit, name = (MM_PER_INCH, "inch") if self.imperial else (10.0, "cm")
        if digits is None:
            digits = 1 if self.imperial else 2
        return Figure(f"{_number(per_mm.value * unit, digits, trim=True)} {what} per {name}", per_mm.basis)

    def dents(self, per_10cm: float) -> Figure:
        """Say a reed."""
        if self.imperial:
            return Figure(f"{_number(per_10cm * 0.254, 1, trim=True)} dents per inch", Basis.LABEL)
        return Figure(f"{per_10cm:g} dents per 10 cm", Basis.LABEL)

    def area_mass(self, g_m2: Quantity) -> Figure:
        """Say the mass of an area."""
        if self.imperial:
            digits = 0 if g_m2.basis is Basis.DEFAULT else 1
            return Figure(f"{_number(g_m2.value / 33.9057, digits)} oz per square yard", g_m2.basis)
        grams = round(g_m2.value, -1) if g_m2.basis is Basis.DEFAULT else g_m2.value
        return Figure(f"{_number(grams, 0)} g per square metre", g_m2.basis)


def share(part: Quantity) -> Figure:
    """Say a share as a percentage."""
    return Figure(f"{_number(part.value * 100, 1, trim=True)} %", part.basis)


def hours(time_h: Quantity) -> Figure:
    """Say a time: to the half hour above two hours, else to five minutes."""
    if time_h.value < 2:
        return Figure(f"{max(5, round(time_h.value * 12) * 5)} minutes", time_h.basis)
    return Figure(f"{_number(round(time_h.value * 2) / 2, 1, trim=True)} hours", time_h.basis)


def _eighths(inches: float) -> str:
    """Return inches as a rule shows them: ``5 7/8``, ``1/2``, ``9``."""
    whole, part = divmod(round(inches * 8), 8)
    over = 8
    while part and part % 2 == 0:
        part, over = part // 2, over // 2
    return " ".join([*([f"{whole}"] if whole or not part else []), *([f"{part}/{over}"] if part else [])])


def _number(value: float, digits: int, *, trim: bool = False) -> str:
    text = f"{value:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if trim and "." in text else text
