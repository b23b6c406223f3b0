"""pint as an independent library: it holds the textile units, with traps.

Cotton count to tex needs its context "textile"; "Nm" is the metric number there, "nm" a length and "N*m" a torque.
It has no worsted, lea, run or cut, and no folding.
"""

from functools import cache
from typing import Final

import pint
import pytest

from weftline.core.yarn import SYSTEMS, m_per_kg, read_size

pytestmark = pytest.mark.outside

UNITS: Final = {
    "tex": "tex",
    "dtex": "dtex",
    "den": "denier",
    "jute": "jute",
    "Ne": "number_english",
    "Nm": "number_meter",
}
NUMBERS: Final = (0.5, 1.0, 8.0, 12.0, 20.0, 40.0, 167.0)
DEFINED: Final = {  # by their definitions, in units that pint knows exactly
    "ktex": ("kg/km", True),
    "grain120": ("grain / (120 yard)", True),
    "manchester": ("dram / (1000 yard)", True),
    "oldden": ("3 ounce / (1600 * 520 yard)", True),
    "Nw": ("560 yard / pound", False),
    "run": ("1600 yard / pound", False),
    "lea": ("300 yard / pound", False),
    "cut": ("300 yard / pound", False),
    "ypp": ("yard / pound", False),
    "ysk": ("1536 yard / (6 pound)", False),
    "gala": ("300 yard / (24 ounce)", False),
    "woe": ("320 yard / pound", False),
    "asb_am": ("100 yard / pound", False),
    "dew": ("yard / ounce", False),
    "Nf": ("1000 meter / (500 gram)", False),
}
LABELS: Final = {
    "800 yd/lb": "800 yard/pound",
    "100 m / 50 g": "2 meter/gram",
    "1 400 yd/oz": "1400 yard/ounce",
    "2,5 g/m": "2.5 gram/meter",
    "840 yd per 1/2 lb": "1680 yard/pound",
    "14 lb/spyndle": "14 jute",
    "9000 ft / 2 lb": "4500 foot/pound",
}


@cache
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


def tex_by_pint(magnitude: float, unit: str) -> float:
    quantity = magnitude * registry().parse_expression(unit)
    return float(quantity.to("tex", "textile").magnitude)


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("system", UNITS)
def test_pint_gives_the_same_tex(system: str, number: float) -> None:
    assert SYSTEMS[system].tex_from(number) == pytest.approx(tex_by_pint(number, UNITS[system]), rel=1e-12)


@pytest.mark.parametrize("system", DEFINED)
def test_a_definition_written_in_pint_gives_the_same_constant(system: str) -> None:
    unit, direct = DEFINED[system]
    assert direct == (SYSTEMS[system].kind == "direct")
    assert SYSTEMS[system].tex_from(1) == pytest.approx(tex_by_pint(1, unit), rel=1e-12)


@pytest.mark.parametrize("label", LABELS)
def test_a_length_with_a_mass_is_what_pint_makes_of_it(label: str) -> None:
    assert read_size(label).tex == pytest.approx(tex_by_pint(1, LABELS[label]), rel=1e-12)


@pytest.mark.parametrize("tex", [4.0, 29.527, 333.3, 1908.0])
def test_metres_a_kilogram_agree(tex: float) -> None:
    assert m_per_kg(tex) == pytest.approx((tex * registry().tex).to("m/kg", "textile").magnitude, rel=1e-12)


@pytest.mark.parametrize("label, tex", [
    ("1 Ne", 590.5412474482357), ("8 Ne", 73.81765593102946), ("12 Ne", 49.21177062068631),
    ("20 Ne", 29.527062372411788), ("20 Nm", 50.0), ("8 lb jute", 275.58591547584336), ("1 denier", 0.1111111),
])  # fmt: skip
def test_values_that_pint_0_25_3_printed(label: str, tex: float) -> None:
    assert read_size(label).tex == pytest.approx(tex, rel=2e-7)
