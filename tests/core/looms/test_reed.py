"""The reed: orders, strips, edges, and what cannot be sleyed."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weftline.core.looms.densities import DensityError, density_per_cm, length_cm
from weftline.core.looms.reed import doubled_edges, first_dent, left_of_middle
from weftline.core.looms.sleying import StripWanted, sleying

setts = st.fractions(Fraction(1, 2), 20, max_denominator=50)
reeds = st.sampled_from(
    [Fraction(2), Fraction(3), Fraction(4), Fraction(8) / Fraction("2.54"), Fraction(12) / Fraction("2.54")]
)


@given(setts, reeds, st.lists(st.integers(1, 200), min_size=1, max_size=4), st.integers(0, 4))
def test_strips_hold_their_ends_and_stand_centred(sett: Fraction, reed: Fraction, ends: list[int], gap: int) -> None:
    wanted = [StripWanted(str(place), number, Fraction(gap) / reed) for place, number in enumerate(ends)]
    found = sleying(sett, reed, wanted, reed_cm=Fraction(5000))
    for strip, number in zip(found.strips, ends, strict=True):
        assert sum(strip.spread) == number
        assert len(strip.spread) == strip.dents
        assert strip.spread[0] >= 1
        assert strip.last_dent == (strip.first_dent or 0) + strip.dents - 1
    for before, after in zip(found.strips, found.strips[1:], strict=False):
        assert (after.first_dent or 0) - (before.last_dent or 0) - 1 == gap
    left, right = (found.strips[0].first_dent or 0) - 1, (found.reed_dents or 0) - (found.strips[-1].last_dent or 0)
    assert 0 <= right - left <= 1


@given(setts, reeds)
def test_an_order_is_exact_or_says_how_far_off(sett: Fraction, reed: Fraction) -> None:
    found = sleying(sett, reed)
    order = found.sley.order
    assert Fraction(sum(order), len(order)) * reed == found.actual_per_cm
    assert max(order) - min(order) <= 1
    assert found.sley.is_exact is (abs(found.deviation) < 1e-6)
    assert found.deviation == pytest.approx(float(found.actual_per_cm / sett) - 1, abs=1e-12)


@pytest.mark.parametrize("spread, dents, doubled", [
    ((1, 1, 1, 1), 1, (2, 1, 1, 2)), ((1, 0, 1, 0, 1), 2, (2, 0, 2, 0, 2)), ((2, 1, 2), 1, (4, 1, 4)), ((1, 1), 5, (2, 2)),
    ((1, 1, 1), 0, (1, 1, 1)),
])  # fmt: skip
def test_edge_dents_are_doubled(spread: tuple[int, ...], dents: int, doubled: tuple[int, ...]) -> None:
    assert doubled_edges(spread, dents) == doubled


def test_the_middle_is_told_where_the_reed_s_width_is_not_known() -> None:
    found = sleying(Fraction(3), Fraction(3), [StripWanted("Left", 30), StripWanted("Right", 30)])
    assert [strip.left_of_middle for strip in found.strips] == [30, 0]
    assert found.strips[0].first_dent is None
    assert (left_of_middle(85), first_dent(85, 180)) == (43, 48)


@pytest.mark.parametrize("text, says", [
    ("6", "could be per inch or per cm; write 6/in or 6/cm"), ("wide", "is no sett; write it like 6/in"),
    ("0/in", "is none that a loom has"), ("-6/in", "is no sett"), ("1e9/in", "is no sett"), ("", "is no sett"),
    ("999999/in", "is none that a loom has"),
])  # fmt: skip
def test_a_sett_that_nobody_can_read_gets_one_sentence(text: str, says: str) -> None:
    with pytest.raises(DensityError, match=says):
        density_per_cm(text, "sett")


@pytest.mark.parametrize("text", ["21", "cm", "0 cm", "-3 in", "21 miles", "900000 m"])
def test_a_width_that_nobody_can_read_gets_one_sentence(text: str) -> None:
    with pytest.raises(DensityError, match=r"is no width; write it like|is none that a loom has"):
        length_cm(text, "width")


def test_what_no_reed_can_do_is_refused() -> None:
    with pytest.raises(DensityError, match="puts 300 ends in a dent; choose a reed"):
        sleying(Fraction(300), Fraction(1))
    with pytest.raises(DensityError, match="takes 400 dents and a reed of 70 cm has 210"):
        sleying(Fraction(3), Fraction(3), [StripWanted("Warp", 400)], reed_cm=Fraction(70))
    with pytest.raises(DensityError, match="a warp has 1 to 4,000 ends, this one 0"):
        sleying(Fraction(3), Fraction(3), [StripWanted("Warp", 0)])
    with pytest.raises(DensityError, match="21 dents cannot be doubled"):
        sleying(Fraction(3), Fraction(3), [StripWanted("Warp", 40)], doubled=21)
    with pytest.raises(DensityError, match="an order of 0 dents is none"):
        sleying(Fraction(3), Fraction(3), longest=0)
