"""Worked examples that weavers and yarn merchants have printed, as projects: the plan must find their figures.

Each figure is read from the plan of a small project (``printed_example``). T and W number the
examples; the page of each stands in ``SOURCES``. Widths and draw-in are in ``test_trade_widths``.
Where a page rounded, the figure without rounding stands beside the printed one; where a page
slipped, the plan must not agree with it.

Left out
--------
T6, T10, T12 and W2, W7, W10, W15, W17, W18, W25 are numbers that were never given. Sleying: W4, W5,
W6, W8, W9, W30. Raddle and reed dents: W11. Times: W12 (clock times added up). Feet to yards
alone: W16. Sett from a yarn's thickness (Ashenhurst, wraps): W21, W22, W23. Knots a square: W33, W34,
W35. Of W31 the page gives 450 ends and a yard of width, but no sett to hold them against. Of W14 the
77 repeats and the bundles wound and of W26 the odd three extra ends (ours are as many a side) are
left out as well; W1 calls its weft a warp, which does not touch the figure.
"""

from dataclasses import dataclass
from typing import Final

import pytest

import weftline
from tests.outside.printed_example import CM, EXACT, INCH, METRE, POUND_G, YARD, Example, cases


def warp_g(plan: weftline.Plan) -> float:
    mass = plan.yarns["w"].mass_g
    assert mass is not None
    return mass.value


def weft_g(plan: weftline.Plan) -> float:
    mass = plan.yarns["f"].mass_g
    assert mass is not None
    return mass.value


# --- length of the warp ------------------------------------------------------------------------------------------------

T1: Final = Example(
    ends=246,
    a_mm=0.3,
    edge_a_side=2,
    woven_mm=2 * METRE,
    pieces=2,
    warp_take_up=0.15,
    fringe_mm=10 * CM,
    waste_mm=60 * CM,
    warp_m_per_kg=1400 * 12 / 6,  # the handout's own figure for cotton 12/6
)
T2_ONE: Final = Example(woven_mm=40 * INCH, warp_take_up=0.15, waste_mm=36 * INCH)
T2_TWO: Final = Example(woven_mm=40 * INCH, warp_take_up=0.15, waste_mm=36 * INCH, pieces=2)
T5: Final = Example(
    ends=440, a_mm=0.8, woven_mm=50 * CM, pieces=3, warp_take_up=0.1, sample_mm=5 * CM, waste_mm=(10 + 50) * CM
)
T7: Final = Example(
    ends=84,
    a_mm=4 / INCH,
    woven_mm=38 * INCH,
    picks=21 * 38,
    waste_mm=30 * INCH,
    weft_m_per_kg=260 * 0.9144 / 0.45359237,
)
N74: Final = Example(woven_mm=40 * CM, pieces=3, warp_take_up=0.25, between_mm=15 * CM, waste_mm=15 * CM)
W3: Final = Example(
    ends=2304,
    a_mm=48 / INCH,
    woven_mm=7.5 * YARD,
    picks=48 * 270,
    warp_m_per_kg=8400 * 0.9144 / 0.45359237,
    weft_m_per_kg=8400 * 0.9144 / 0.45359237,
)


def long_warp(length_mm: float, ends: int, m_per_kg: float = 3000.0, edge_a_side: int = 0) -> Example:
    """An example of which the page tells no more than the whole length of its warp: all but 10 cm is waste."""
    return Example(ends=ends, edge_a_side=edge_a_side, waste_mm=length_mm - 100.0, warp_m_per_kg=m_per_kg)


@dataclass(frozen=True)
class Length:
    """The warp of an example is so long."""

    says: str
    example: Example
    length: float
    unit: float


LENGTHS = [
    Length("T1: two mats of 2 m, 15 %, fringes 4 x 10 cm and 60 cm for tying need 5.6 m", T1, 5.6, METRE),
    Length(
        "T2: a runner of 36 inches with two hems of 2, 15 % and 36 inches of waste needs 82 inches", T2_ONE, 82, INCH
    ),
    Length("T2: two such runners need 128 inches", T2_TWO, 128, INCH),
    Length("T7: 38 inches and 30 for waste and take-up need 68 inches", T7, 68, INCH),
]
LENGTHS_WORKED_OUT = [
    Length("T5: 3 x 50 cm, 10 %, 10 cm to tie on, a header of 5 and 50 of waste need 230 cm", T5, 230, CM),
    Length("N74: three mats of 40 cm at 25 %, 15 cm between them and 15 of waste need 195 cm", N74, 195, CM),
]


def assert_warp_is_long(row: Length) -> None:
    assert row.example.plan().warp.length_mm.value == pytest.approx(row.length * row.unit, rel=EXACT)


@pytest.mark.outside
@cases(LENGTHS)
def test_warp_is_as_long_as_printed(row: Length) -> None:
    assert_warp_is_long(row)


@cases(LENGTHS_WORKED_OUT)
def test_warp_is_as_long_as_printed_allowances_add_up_to(row: Length) -> None:
    """The pages give the allowances, or are cut before their sum: the sum was worked out by hand."""
    assert_warp_is_long(row)


@pytest.mark.outside
def test_t2_two_runners_do_not_fit_the_three_and_a_half_yards_printed() -> None:
    """128 inches are 3.56 yards; the page rounded down, and the warp would run out two inches early."""
    assert T2_TWO.plan().warp.length_mm.value - 3.5 * YARD == pytest.approx(2 * INCH)


def test_stretches_between_pieces_are_one_fewer_than_the_pieces() -> None:
    """N74's rule of 10 to 15 cm between pieces: three mats have two such stretches, one mat has none."""
    three = {part.what: part.length_mm.value for part in N74.plan().warp.parts}
    one = Example(woven_mm=40 * CM, warp_take_up=0.25, between_mm=15 * CM, waste_mm=15 * CM).plan()
    assert three["between pieces"] == pytest.approx(30 * CM)
    assert {part.what: part.length_mm.value for part in one.warp.parts}["between pieces"] == 0
    assert one.warp.length_mm.value == pytest.approx((50 + 15) * CM)


# --- all of the warp, and its mass -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Amount:
    """An example needs this much without rounding; what the page prints lies so near (a share of it)."""

    says: str
    example: Example
    exact: float
    printed: float
    unit: float
    near: float = EXACT


WARPS = [
    Amount("T3: 390 ends of 3.5 yards are 1,365 yards", long_warp(3.5 * YARD, 390), 1365, 1365, YARD),
    Amount("T7: 84 ends of 68 inches are 158.7 yards, printed 160", T7, 84 * 68 / 36, 160, YARD, 0.01),
    Amount("W3: 2,304 ends of 7.5 yards are 17,280 yards", W3, 17280, 17280, YARD),
    Amount("W13: 528 ends of 4 yards are 2,112 yards", long_warp(4 * YARD, 528), 2112, 2112, YARD),
]


@pytest.mark.outside
@cases(WARPS)
def test_all_of_the_warp_is_as_printed(row: Amount) -> None:
    total = row.example.plan().warp.total_mm.value
    assert total == pytest.approx(row.exact * row.unit, rel=EXACT)
    assert total == pytest.approx(row.printed * row.unit, rel=row.near)


def test_all_of_the_warp_of_t5_is_1012_m() -> None:
    """440 ends of the 230 cm above; the page is cut before it."""
    assert T5.plan().warp.total_mm.value == pytest.approx(1012 * METRE, rel=EXACT)


@pytest.mark.outside
def test_t7_160_yards_are_not_the_181_m_printed_beside_them() -> None:
    total_m = T7.plan().warp.total_mm.value / METRE
    assert total_m == pytest.approx(160 * 0.9144, rel=0.01)
    assert abs(total_m - 181) > 30


W13_M_PER_KG = 3360 * 0.9144 / 0.45359237
MASSES = [
    Amount("T1: 250 ends of 5.6 m at 2,800 m/kg weigh 0.5 kg", T1, 0.5, 0.5, 1000),
    Amount(
        "T13: 211 + 4 ends at 2,560 m/kg weigh 84 g a metre, printed 85",
        long_warp(METRE, 211, 2560, 2),
        215 / 2.56,
        85,
        1,
        0.013,
    ),
    Amount(
        "T14: 217 + 4 ends of 6.8 m at 2,560 m/kg weigh 587 g, printed 585",
        long_warp(6.8 * METRE, 217, 2560, 2),
        221 * 6.8 / 2.56,
        585,
        1,
        0.004,
    ),
    Amount(
        "T15: 240 ends of 10 m at 2,020 m/kg weigh 1,188 g, printed 1,190",
        long_warp(10 * METRE, 240, 2020),
        2400 / 2.02,
        1190,
        1,
        0.002,
    ),
    Amount("W3: 17,280 yards at 8,400 yards a pound weigh 2.057 lb", W3, 17280 / 8400, 2.057, POUND_G, 1e-4),
    Amount(
        "W13: 2,112 yards at 3,360 yards a pound weigh 0.629 lb, nearly two thirds",
        long_warp(4 * YARD, 528, W13_M_PER_KG),
        2112 / 3360,
        2 / 3,
        POUND_G,
        0.06,
    ),
    Amount(
        "W24: 212 + 4 ends of 9.2 m at 2,560 m/kg weigh 776 g, printed 790",
        long_warp(9.2 * METRE, 212, 2560, 2),
        216 * 9.2 / 2.56,
        790,
        1,
        0.018,
    ),
    Amount("W32: the 15 g left of a ball of 50 g and 125 m are 37.5 m", long_warp(37.5 * METRE, 1, 2500), 15, 15, 1),
]


@pytest.mark.outside
@cases(MASSES)
def test_warp_weighs_as_printed(row: Amount) -> None:
    mass = warp_g(row.example.plan())
    assert mass == pytest.approx(row.exact * row.unit, rel=EXACT)
    assert mass == pytest.approx(row.printed * row.unit, rel=row.near)


@pytest.mark.outside
def test_finnish_warp_of_269_ends_weighs_more_than_the_600_g_printed() -> None:
    """5.8 m at 2,560 m/kg (mallikerta.fi): the print fits 265 ends, as if the four at the edges had been forgotten."""
    assert warp_g(long_warp(5.8 * METRE, 265, 2560, 2).plan()) == pytest.approx(609, abs=0.5)
    assert warp_g(long_warp(5.8 * METRE, 265, 2560).plan()) == pytest.approx(600, abs=0.5)


# --- weft --------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Weft:
    """So many picks of this width, with or without take-up, are so much weft; the page prints it so."""

    says: str
    picks: int
    width_mm: float
    woven_mm: float
    take_up: float
    exact: float
    printed: float
    unit: float
    rounding: float = 0.0  # how far the print may lie away, in its unit
    draw_in: float = 0.071  # T7's; weft is reckoned over the width in the reed, so it must not matter


WEFTS = [
    Weft(
        "W1: 8 picks per cm over 220 cm at 50 cm + 10 % are 1,760 picks and 968 m",
        1760,
        50 * CM,
        220 * CM,
        0.10,
        968,
        968,
        METRE,
    ),
    Weft(
        "T7: 21 picks per inch over 38 inches at 21 inches are 465.5 yards",
        21 * 38,
        21 * INCH,
        38 * INCH,
        0,
        465.5,
        465.5,
        YARD,
    ),
    Weft(
        "T7: 6.3 % on top of them makes the 495 yards printed",
        21 * 38,
        21 * INCH,
        38 * INCH,
        0.063,
        465.5 * 1.063,
        495,
        YARD,
        0.5,
    ),
    Weft("T7: over the 34 inches woven 416.5 yards lie straight", 21 * 34, 21 * INCH, 34 * INCH, 0, 416.5, 416.5, YARD),
    Weft(
        "T7: 18.8 % on top of those makes the 495 yards printed",
        21 * 34,
        21 * INCH,
        34 * INCH,
        0.188,
        416.5 * 1.188,
        495,
        YARD,
        0.5,
    ),
    Weft(
        "T9: 20 picks per inch over 65 inches at 8 inches are 10,400 inches",
        20 * 65,
        8 * INCH,
        65 * INCH,
        0,
        10400,
        10400,
        INCH,
    ),
    Weft("T9: those are 288.9 yards, printed 288", 20 * 65, 8 * INCH, 65 * INCH, 0, 10400 / 36, 288, YARD, 1),
    Weft(
        "T9: with 10 % they are 317.8 yards, printed 317", 20 * 65, 8 * INCH, 65 * INCH, 0.1, 11440 / 36, 317, YARD, 1
    ),
]


@pytest.mark.outside
@cases(WEFTS)
def test_weft_is_as_long_as_printed(row: Weft) -> None:
    example = Example(
        ends=42,
        a_mm=42 / row.width_mm,
        woven_mm=row.woven_mm,
        picks=row.picks,
        weft_take_up=row.take_up,
        draw_in=row.draw_in,
    )
    plan = example.plan()
    length = plan.weft["f"].length_mm.value
    assert plan.sections[0].picks == plan.weft["f"].passes == row.picks
    assert plan.sections[0].size.lengths.woven_mm.value == pytest.approx(row.woven_mm, rel=EXACT)
    assert length == pytest.approx(row.exact * row.unit, rel=EXACT)
    assert length == pytest.approx(row.printed * row.unit, rel=EXACT, abs=row.rounding * row.unit)


@pytest.mark.outside
def test_t7_weft_at_260_yards_a_pound_weighs_1_90_lb() -> None:
    plan = Example(
        ends=84,
        a_mm=4 / INCH,
        woven_mm=38 * INCH,
        picks=21 * 38,
        weft_take_up=495 / 465.5 - 1,
        weft_m_per_kg=260 * 0.9144 / 0.45359237,
    ).plan()
    assert weft_g(plan) == pytest.approx(1.90 * POUND_G, abs=0.005 * POUND_G)


@pytest.mark.outside
def test_w3_as_much_weft_as_warp_weighs_4_114_lb_in_all() -> None:
    plan = W3.plan()
    assert plan.weft["f"].length_mm.value == pytest.approx(17280 * YARD, rel=EXACT)
    assert warp_g(plan) + weft_g(plan) == pytest.approx(4.114 * POUND_G, abs=0.0005 * POUND_G)


@pytest.mark.outside
@pytest.mark.parametrize(
    "rugs, enough",
    [
        pytest.param(1, True, id="W28: 9 lb are enough for a rug of 2.7 lb"),
        pytest.param(3, True, id="W28: they are enough for two more"),
        pytest.param(4, False, id="W28: they are not enough for three more"),
    ],
)
def test_w28_how_many_rugs_nine_pounds_make(rugs: int, enough: bool) -> None:
    """1,000 picks of 1 m at a length per weight that makes each rug 2.7 lb."""
    example = Example(
        ends=100,
        a_mm=0.1,
        woven_mm=METRE,
        picks=1000,
        pieces=rugs,
        weft_m_per_kg=1000 / (2.7 * POUND_G / 1000),
        weft_on_hand_g=9 * POUND_G,
    )
    plan = example.plan()
    remains = plan.yarns["f"].remains_g
    assert remains is not None
    assert remains.value == pytest.approx((9 - 2.7 * rugs) * POUND_G, rel=EXACT)
    assert any(finding.where.yarn == "f" for finding in plan.findings) is not enough
