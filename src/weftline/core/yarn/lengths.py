"""Lengths with masses on a label: "100 m / 50 g", "800 yd/lb", "2.5 g/m"; arithmetic, no custom."""

from fractions import Fraction

from weftline.core.yarn.label import Label, Quantity
from weftline.core.yarn.size import Reading, number_words
from weftline.core.yarn.systems import OUNCE_G, POUND_G, SPYNDLE_M, SYSTEMS, YARD_M

_SAME_SHARE = Fraction(3, 100)
"""Two statements on one label agree within 3 %: rounded metres and yards, published conversions."""


def agree(texes: list[float]) -> bool:
    """Whether sizes (tex) agree as closely as one label's do."""
    return not texes or max(texes) - min(texes) <= _SAME_SHARE * Fraction(max(texes))


def length_readings(label: Label, ply: int | None) -> list[Reading]:
    """The readings of lengths with masses: one where they agree, as in "100 m (109 yd) / 50 g"."""
    pairs = [
        (label.lengths[min(i, len(label.lengths) - 1)], label.masses[min(i, len(label.masses) - 1)])
        for i in range(max(len(label.lengths), len(label.masses)))
    ]
    readings = [length_reading(length, mass, ply) for length, mass in pairs if length.size > 0 and mass.size > 0]
    return readings[:1] if agree([reading.tex for reading in readings]) else readings


def length_reading(length: Quantity, mass: Quantity, ply: int | None = None) -> Reading:
    """One length (m, above 0) with one mass (g, above 0): the label's own word."""
    tex = 1000 * mass.size / length.size
    weighed = length.number is None and mass.number is not None
    system = _system(length, mass, weighed)
    words = [_words(length), _words(mass)]
    plies = "" if ply is None else ", singles" if ply == 1 else f", {ply} plies"
    said = " per ".join(reversed(words) if weighed else words) + plies
    return Reading(float(tex), system, SYSTEMS[system].number_from(tex), ply, said)


def bare_lengths(number: Fraction) -> list[Reading]:
    """What a number alone can mean as m/kg and as yd/lb."""
    kilo, pound = (Quantity("mass", None, unit, word) for unit, word in ((Fraction(1000), "kg"), (POUND_G, "lb")))
    return [
        length_reading(Quantity("length", number, Fraction(1), "m"), kilo),
        length_reading(Quantity("length", number, YARD_M, "yd"), pound),
    ]


def _system(length: Quantity, mass: Quantity, weighed: bool) -> str:
    """The system that a length with a mass is nearest to."""
    if length.unit == SPYNDLE_M and mass.unit == POUND_G:
        return "jute"
    if weighed or (length.word == "km" and length.number in (None, 1)):
        return "tex"
    if length.unit in (YARD_M, YARD_M / 3):
        return "dew" if mass.size == mass.unit == OUNCE_G else "ypp"
    return "Nm"


def _words(quantity: Quantity) -> str:
    """A quantity as printed: "125 m", or "kg" alone."""
    return quantity.word if quantity.number is None else f"{number_words(float(quantity.number))} {quantity.word}"
