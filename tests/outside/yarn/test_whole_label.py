"""All that a label tells, against pint, exact fractions and printed examples: strands, mixed strands, wraps, diameters."""

import csv
import math
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Final

import pint
import pytest

from weftline.core.yarn.numbers import yarn_numbers

pytestmark = pytest.mark.outside

DATA: Final = Path(__file__).resolve().parents[2] / "data" / "yarn_counts.csv"
with DATA.open(encoding="utf-8", newline="") as lines:
    ROWS: Final = list(csv.DictReader(lines))

YD: Final = Fraction(9144, 10_000)
LB: Final = Fraction(45_359_237, 100_000)


def named(row: dict[str, str]) -> str:
    return row["label"].encode("ascii", "replace").decode()


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_a_label_of_the_table_tells_tex_and_metres(row: dict[str, str]) -> None:
    found = yarn_numbers(row["label"])
    assert found.tex.value == pytest.approx(float(row["tex_resultant"]), rel=6e-6)
    assert found.m_per_kg == pytest.approx(float(row["m_per_kg"]), rel=6e-6)
    assert found.tex.value * found.m_per_kg == pytest.approx(1e6, rel=1e-12)
    mm = found.diameter.mm
    assert 0 < (mm.low or 0) < mm.value < (mm.high or 0)


@cache
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


STRANDS: Final = [  # tex by exact fractions: tex of a count is 1000 g over its metres
    ("2 strands of Nm 6/2", Fraction(2000, 3)),
    ("Nm 6/2 doubled", Fraction(2000, 3)),
    ("2 x Nm 6/2", Fraction(2000, 3)),
    ("3 strands of 34 tex x 2", Fraction(204)),
    ("8/5 linen doubled", 2 * 1000 * LB / (300 * YD) * 5 / 8),
    ("2 ends of 8/4 cotton", 2 * 1000 * LB / (840 * YD) * 4 / 8),
    ("Nm 6/2 + NeC 16/2", Fraction(1000, 3) + 1000 * LB / (840 * YD) * 2 / 16),
    ("2 strands of Nm 6/2 + NeC 16/2", Fraction(2000, 3) + 1000 * LB / (840 * YD) * 2 / 16),
    ("3 strands of Nm 6/2 with 2 strands of worsted 2/8", 1000 + 2 * 1000 * LB / (560 * YD) * 2 / 8),
    ("8/2 cotton + 16/2 linen", 1000 * LB / (840 * YD) / 4 + 1000 * LB / (300 * YD) / 8),
    ("300 m / 100 g and 500 tex", Fraction(1000, 3) + 500),
    ("40s + 20s cotton", 1000 * LB / (840 * YD) * (Fraction(1, 40) + Fraction(1, 20))),
    ("800 yd/lb wool", 1000 * LB / (800 * YD)),
    ("50 yd per oz wool", 1000 * LB / (800 * YD)),
    ("R 60 tex / 2", Fraction(60)),
    ("dtex 167", Fraction(167, 10)),
    ("8 lb jute", 1000 * LB * 8 / (14_400 * YD)),
    ("3 run", 1000 * LB / (4800 * YD)),
    ("6 cut", 1000 * LB / (1800 * YD)),
    ("8/4 cotton 1600 yd/lb", 1000 * LB / (1600 * YD)),
    ("12/6 cotton 2800 m/kg", Fraction(1_000_000, 2800)),
]


@pytest.mark.parametrize("label, tex", STRANDS, ids=[label for label, _ in STRANDS])
def test_strands_add_exactly(label: str, tex: Fraction) -> None:
    assert yarn_numbers(label).tex.value == pytest.approx(float(tex), rel=1e-12)


@pytest.mark.parametrize("number", [1, 2, 3, 5, 40])
def test_pint_adds_strands_alike(number: int) -> None:
    one = (12 * registry().number_meter).to("tex", "textile").magnitude
    assert yarn_numbers("Nm 12", strands=number).tex.value == pytest.approx(float(one) * number, rel=1e-12)


@pytest.mark.parametrize(
    "wraps, low, high", [(10, 800, 1000), (13.5, 1200, 1800), (17, 2000, 2400), (7, 400, 500), (5, 300, 300)]
)
def test_loose_wraps_hold_the_knitters_table(wraps: float, low: float, high: float) -> None:
    """bellaonline.com art34962, yards a pound for wool by wraps per inch: its whole row lies in the interval."""
    found = yarn_numbers(f"{wraps} wpi wool").tex
    for yards in (low, high):
        assert (found.low or 0) <= 496_055 / yards <= (found.high or 0)


@pytest.mark.parametrize("yards", [3360, 1600, 840])
def test_touching_wraps_hold_the_weavers_rule(yards: float) -> None:
    """peggyosterkamp.com: wraps are 0.7 of Ashenhurst's diameters, 0.9 times the root of the yards a pound."""
    wraps = 0.7 * 0.9 * math.sqrt(yards)
    found = yarn_numbers("cotton", wraps_per_inch=wraps).tex
    assert (found.low or 0) <= 496_055 / yards <= (found.high or 0)


@pytest.mark.parametrize("label, fibre, constant", [
    ("8/2 cotton", "cotton", 0.90), ("8/4 cotton", "cotton", 0.90), ("12/6 cotton", "cotton", 0.92),
    ("worsted 2/8", "worsted", 0.90), ("NeL 8/5", "linen", 0.92), ("Yorkshire skein 8", "wool", 0.84),
    ("260 yd/lb wool", "wool", 0.84), ("Nm 6/2 wool", "wool", 0.84), ("12/6 cotton", "cotton", 0.95),
])  # fmt: skip
def test_the_diameter_lies_where_ashenhurst_puts_it(label: str, fibre: str, constant: float) -> None:
    """Diameters per inch, c times the root of the yards a pound; the interval holds every constant in print."""
    found = yarn_numbers(label)
    assert found.fibres == (fibre,)
    by_rule = 25.4 / (constant * math.sqrt(496_054.7 / found.tex.value))
    assert (found.diameter.mm.low or 0) <= by_rule <= (found.diameter.mm.high or 0)


@pytest.mark.parametrize("label, mm", [("NeC 12/6", 0.64145), ("NeC 1", 0.90714), ("NeC 20", 0.20284)])
def test_a_cotton_diameter_is_peirce_s(label: str, mm: float) -> None:
    """J. Text. Inst. 28 (1937) T45: 1 / (28 sqrt count) inch."""
    assert yarn_numbers(label).diameter.mm.value == pytest.approx(mm, rel=0.02)


def test_15_g_of_a_ball_of_50_g_and_125_m_are_37_5_m() -> None:
    """[N70]."""
    assert 0.015 * yarn_numbers("125 m / 50 g").m_per_kg == pytest.approx(37.5, rel=1e-12)


def test_a_pound_price_of_warp() -> None:
    """[N58]: 528 ends of 4 yards, 3,360 yards a pound: 0.629 lb."""
    assert 528 * 4 * 914.4 / 453_592.37 * yarn_numbers("8/2 cotton").tex.value / 1000 == pytest.approx(0.6286, abs=5e-5)


@pytest.mark.parametrize("ends, metres, label, grams", [
    (215, 1.0, "tex 30x12, 2560 m/kg", 84.0), (216, 9.2, "tex 30x12, 2560 m/kg", 776), (240, 10, "2020 m/kg", 1188),
    (250, 5.6, "12/6 cotton 2800 m/kg", 500),
])  # fmt: skip
def test_the_mass_of_a_warp_by_its_label(ends: int, metres: float, label: str, grams: float) -> None:
    """mallikerta.fi and sunnano.se: the label's length, not the nominal count, gives the mass on the scales."""
    assert ends * metres * yarn_numbers(label).tex.value / 1000 == pytest.approx(grams, rel=1.5e-3)


def test_the_slip_5_2_cotton_of_2400_yards_is_not_repeated() -> None:
    """oocities.org/rugtalk prints 4200/2 as 2400, then 2280; it is 2100."""
    assert 496_054.654 / yarn_numbers("5/2 cotton").tex.value == pytest.approx(2100, rel=1e-5)
