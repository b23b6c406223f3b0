"""Ends, setts and widths that weavers have printed: the plan must find the same, and must not repeat their slips.

T and W number the examples as in ``printed_example.SOURCES``, where the page of each stands.
``test_trade_amounts`` says which numbers are left out and why.
"""

from dataclasses import dataclass

import pytest

from tests.outside.printed_example import CM, EXACT, INCH, Example, cases, plan_of, width_in_reed

# --- ends from width and sett ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Ends:
    """So many ends at this sett fill this width; with the edges they are so many in all."""

    says: str
    ends: int
    sett: float
    width: float
    unit: float
    edge_a_side: int = 0
    in_all: int = 0


ENDS = [
    Ends("T1: 80 + 2 cm at 3 per cm are 246 ends, 250 with four for the edges", 246, 3, 82, CM, 2, 250),
    Ends("T3: 19.5 inches at 20 per inch are 390 ends", 390, 20, 19.5, INCH),
    Ends("T4: 55 cm at 8 per cm are 440 ends", 440, 8, 55, CM),
    Ends("T7: 21 inches at 4 per inch are 84 ends", 84, 4, 21, INCH),
    Ends("T11: 36 inches at 12 per inch and eight to double the edges are 440 ends", 432, 12, 36, INCH, 4, 440),
    Ends("T14: 86.8 cm at 2.5 per cm are 217 ends and four", 217, 2.5, 86.8, CM, 2, 221),
    Ends("T15: 120 cm at 2 per cm are 240 ends and four", 240, 2, 120, CM, 2, 244),
    Ends("W3: 48 inches at 48 per inch are 2,304 ends", 2304, 48, 48, INCH),
    Ends("W13: 22 inches at 24 per inch are 528 ends", 528, 24, 22, INCH),
    Ends("W20: 9 inches at 6 per inch are 54 ends", 54, 6, 9, INCH),
    Ends("W20: 9 inches at 8 per inch are 72 ends", 72, 8, 9, INCH),
    Ends("W24: 84.8 cm at 2.5 per cm are 212 ends and four", 212, 2.5, 84.8, CM, 2, 216),
    Ends("W26: 80 cm at 2 per cm are 160 ends", 160, 2, 80, CM),
    Ends("W27: 90 cm at 2 per cm are 184 ends with four for the edges", 180, 2, 90, CM, 2, 184),
    Ends("W29: 27 inches at 8 per inch are 216 ends", 216, 8, 27, INCH),
]


@pytest.mark.outside
@cases(ENDS)
def test_ends_fill_the_printed_width(row: Ends) -> None:
    plan = Example(ends=row.ends, a_mm=row.sett / row.unit, edge_a_side=row.edge_a_side).plan()
    assert width_in_reed(plan) == pytest.approx(row.width * row.unit, rel=EXACT)
    assert plan.warp.threaded_ends == row.ends
    assert plan.warp.threaded_ends + plan.warp.edge_ends == (row.in_all or row.ends)


@dataclass(frozen=True)
class EndsSlip:
    """So many ends were printed for this width; the plan makes them another width."""

    says: str
    ends: int
    sett: float
    printed: float
    right: float
    unit: float


ENDS_SLIPS = [
    EndsSlip("W19: 72 ends at 6 per inch were printed for 21 inches but fill 12", 72, 6, 21, 12, INCH),
    EndsSlip("T3: 390 ends for 19.5 inches come of 20 per inch, not of the 18 printed", 390, 18, 19.5, 390 / 18, INCH),
    EndsSlip("T13: 211 ends at 2.5 per cm were printed for 84.8 cm but fill 84.4", 211, 2.5, 84.8, 84.4, CM),
    EndsSlip(
        "W14: 1,232 ends at 40 per inch were printed for 77.5 cm but fill 78.23", 1232, 40 / 2.54, 77.5, 78.232, CM
    ),
]


@pytest.mark.outside
@cases(ENDS_SLIPS)
def test_plan_does_not_repeat_a_slip_in_the_ends(row: EndsSlip) -> None:
    width = width_in_reed(Example(ends=row.ends, a_mm=row.sett / row.unit).plan())
    assert width == pytest.approx(row.right * row.unit, rel=EXACT)
    assert abs(width - row.printed * row.unit) > 3


@pytest.mark.outside
def test_w19_right_number_of_ends_is_126() -> None:
    assert width_in_reed(Example(ends=126, a_mm=6 / INCH).plan()) == pytest.approx(21 * INCH, rel=EXACT)


@pytest.mark.outside
def test_w14_two_widths_of_1072_and_160_ends_make_a_warp_of_1232() -> None:
    written = Example(ends=1072, a_mm=40 / INCH).written()
    (strip,) = written["sections"][0]["strips"]
    written["sections"][0]["strips"] = [strip, strip | {"ends": 160}]
    plan = plan_of(written)
    assert plan.warp.threaded_ends == plan.sections[0].ends == 1232


@pytest.mark.outside
def test_w29_stripes_of_3_1_2_17_2_1_3_inches_do_not_fit_27_inches() -> None:
    written = Example(a_mm=8 / INCH).written()
    (strip,) = written["sections"][0]["strips"]
    written["sections"][0]["strips"] = [strip | {"ends": 8 * inches} for inches in (3, 1, 2, 17, 2, 1, 3)]
    plan = plan_of(written)
    assert plan.sections[0].ends == 232
    assert width_in_reed(plan) == pytest.approx(29 * INCH, rel=EXACT)
    assert width_in_reed(plan) > 27 * INCH + 3


# --- draw-in -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Narrowing:
    """A width in the reed and the width that the page gives for the cloth on the loom."""

    says: str
    in_reed: float
    draw_in: float
    on_loom: float
    unit: float
    rounding: float = 0.0  # in the unit


NARROWINGS = [
    Narrowing("T8: one sixth makes 24 inches 20", 24, 1 / 6, 20, INCH),
    Narrowing("T8: the same sixth will make 30 inches 25", 30, 1 / 6, 25, INCH),
    Narrowing("T7: 7.1 % makes 21 inches 19 1/2", 21, 0.071, 19.5, INCH, 0.01),
    Narrowing("T4: 50 cm + 10 % loses an eleventh again", 55, 1 / 11, 50, CM),
    Narrowing("T3: 17 inches + 15 %, rounded to 19.5, comes back to 17", 19.5, 1 - 1 / 1.15, 17, INCH, 0.05),
]


@pytest.mark.outside
@cases(NARROWINGS)
def test_cloth_draws_in_as_printed(row: Narrowing) -> None:
    plan = Example(ends=60, a_mm=60 / (row.in_reed * row.unit), draw_in=row.draw_in).plan()
    across = plan.sections[0].size.across
    assert across.in_reed_mm.value == pytest.approx(row.in_reed * row.unit, rel=EXACT)
    assert across.on_loom_mm.value == pytest.approx(row.on_loom * row.unit, rel=EXACT, abs=row.rounding * row.unit)
    assert across.finished_mm.value == pytest.approx(across.on_loom_mm.value), "nothing relaxes or shrinks here"


@pytest.mark.outside
def test_ten_percent_put_on_is_not_the_ten_percent_drawn_in() -> None:
    """T4 adds a tenth to 50 cm; ten per cent off 55 cm would leave half a centimetre too little."""
    plan = Example(ends=440, a_mm=0.8, draw_in=0.10).plan()
    assert plan.sections[0].size.across.on_loom_mm.value == pytest.approx(49.5 * CM)
