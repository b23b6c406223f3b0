"""The yarn-number systems, each with its exact constant.

A direct system weighs a fixed length: ``tex = constant * number``.
An indirect system measures a fixed weight: ``tex = constant / number``.
Constants are exact fractions, from 1 yd = 0.9144 m and 1 lb = 0.45359237 kg (exact by the
international yard and pound agreement of 1959) and from each system's own definition.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

YARD_M = Fraction(9144, 10_000)
POUND_G = Fraction(45_359_237, 100_000)
OUNCE_G = POUND_G / 16
DRAM_G = OUNCE_G / 16
GRAIN_G = POUND_G / 7000
SPYNDLE_M = 14_400 * YARD_M

THINNEST_TEX = Fraction(1, 100)
"""Nothing thinner is read as a yarn (tex); a single silk filament is about 0.1 tex."""
THICKEST_TEX = Fraction(1_000_000)
"""Nothing thicker is read as a yarn (tex); that is a rope of 1 kg a metre."""


@dataclass(frozen=True)
class System:
    """One way to number a yarn.

    Attributes
    ----------
    id : the short name, as in ``Reading.system``
    name : how a sentence calls it
    kind : ``"direct"`` (mass of a fixed length) or ``"indirect"`` (length of a fixed mass)
    constant : tex at number 1, exact
    source : where the definition was read
    """

    id: str
    name: str
    kind: Literal["direct", "indirect"]
    constant: Fraction
    source: str

    def tex_from(self, number: Fraction | float) -> float:
        """Tex of a yarn numbered `number` (> 0) in this system.

        >>> round(SYSTEMS["Ne"].tex_from(20), 4)
        29.5271
        """
        exact = Fraction(number)
        return float(self.constant * exact if self.kind == "direct" else self.constant / exact)

    def number_from(self, tex: Fraction | float) -> float:
        """Number in this system of a yarn of `tex` (> 0).

        >>> round(SYSTEMS["Ne"].number_from(30), 1)
        19.7
        """
        exact = Fraction(tex)
        return float(exact / self.constant if self.kind == "direct" else self.constant / exact)


def _direct(id: str, name: str, grams: Fraction, metres: Fraction | int, source: str) -> System:
    """A direct system: number 1 weighs `grams` (g) on `metres` (m)."""
    return System(id, name, "direct", 1000 * grams / metres, source)


def _indirect(id: str, name: str, metres: Fraction, grams: Fraction, source: str) -> System:
    """An indirect system: number 1 runs `metres` (m) in `grams` (g)."""
    return System(id, name, "indirect", 1000 * grams / metres, source)


def _yards_a_pound(id: str, name: str, yards: int, source: str) -> System:
    """An indirect system: number 1 runs `yards` (yd) in a pound."""
    return _indirect(id, name, yards * YARD_M, POUND_G, source)


_D2260 = "ASTM D2260-03(2013) Table 1"
_TAYLOR = "J.T. Taylor, Cotton Weaving and Designing, 6th ed., pp. 238-239"
_ROSS = "M. Ross, Encyclopedia of Handspinning, quoted at bellaonline art12329"
_ISO1144 = "ISO 1144:2016"

_ALL = (
    _direct("tex", "tex", Fraction(1), 1000, f"{_ISO1144}; {_D2260}"),
    _direct("dtex", "decitex", Fraction(1), 10_000, _ISO1144),
    _direct("ktex", "kilotex", Fraction(1), 1, _ISO1144),
    _direct("den", "denier", Fraction(1), 9000, _D2260),
    _direct("grain120", "American grain", GRAIN_G, 120 * YARD_M, _D2260),
    _direct("jute", "jute pounds a spyndle", POUND_G, SPYNDLE_M,
            "Woodhouse & Kilgour, The Jute Industry; Encyclopaedia Britannica 11th ed., Jute"),
    _direct("manchester", "silk drams", DRAM_G, 1000 * YARD_M, _TAYLOR),
    _direct("oldden", "old denier", OUNCE_G * Fraction(3, 1600), 520 * YARD_M, _TAYLOR),
    _yards_a_pound("Ne", "cotton count", 840, _D2260),
    _yards_a_pound("Nw", "worsted count", 560, _D2260),
    _yards_a_pound("run", "woollen run", 1600, _D2260),
    _yards_a_pound("lea", "linen lea", 300, _D2260),
    _yards_a_pound("cut", "woollen cut", 300, _D2260),
    _yards_a_pound("ypp", "yards a pound", 1, _D2260),
    _yards_a_pound("ysk", "Yorkshire skeins", 256,
                   "textilecalculations.com; blackeryarns.co.uk, yarn weights"),
    _yards_a_pound("gala", "Galashiels cut", 200, f"{_ROSS}; olivershetlandwoolblog 2020-05-10"),
    _yards_a_pound("woe", "West of England count", 320, _ROSS),
    _yards_a_pound("asb_am", "asbestos cut", 100, "ASTM D1059-97, 3.1.2"),
    _yards_a_pound("dew", "yards an ounce", 16, f"{_ISO1144} list, from memory"),
    _indirect("Nm", "metric number", Fraction(1), Fraction(1), _D2260),
    _indirect("Nf", "French cotton count", Fraction(1000), Fraction(500),
              "C.P. Brooks, Cotton Manufacturing, p. 91; sajou.fr"),
)  # fmt: skip

SYSTEMS: Mapping[str, System] = MappingProxyType({system.id: system for system in _ALL})
"""Every system by its id, in a fixed order."""


def tex_from_m_per_kg(m_per_kg: float) -> float:
    """Tex of a yarn that runs `m_per_kg` (m/kg, > 0).

    Raises
    ------
    ValueError : `m_per_kg` is not a positive, finite number, or the tex would not be.

    >>> tex_from_m_per_kg(3000.0)
    333.3333333333333
    """
    return _reciprocal(m_per_kg, "m/kg")


def m_per_kg(tex: float) -> float:
    """Length of a yarn of `tex` (> 0), in metres a kilogram.

    Raises
    ------
    ValueError : `tex` is not a positive, finite number, or the m/kg would not be.

    >>> m_per_kg(25.0)
    40000.0
    """
    return _reciprocal(tex, "tex")


def _reciprocal(value: float, unit: str) -> float:
    """1 000 000 over `value`; both scales are g and m, so the same rule leads both ways."""
    if 1e-300 < value < 1e300:
        return 1_000_000 / value
    raise ValueError(f"{value} {unit} is no yarn: it must be a finite number above 0.")
