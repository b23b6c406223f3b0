"""The physical mean: worked by hand, its limits, and what must hold for any yarn, sett and weave."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from weftline.core.geometry.closure import closure, closure_of
from weftline.core.geometry.physics import (
    CONSTANTS,
    Physics,
    Yarns,
    draw_in_of,
    extra_over_reed,
    gap_jam,
    physics_of,
)
from weftline.core.geometry.setting import straight_warp_crimp
from weftline.core.weave.technique import (
    BOUNDWEAVE,
    KROKBRAGD,
    TECHNIQUES,
    TWO_AGAINST_TWO,
    WEFT_FACED_PLAIN,
    Technique,
)
from weftline.core.yarn.diameter import contact_diameter_mm

COTTON_MM = contact_diameter_mm(310, 1.52, 0.60)


def cloth(weft_tex: float = 1000, sett: float = 2.4, technique: Technique = KROKBRAGD, beat: float = 0.0) -> Physics:
    """310 tex of cotton with wool."""
    wool = contact_diameter_mm(weft_tex, 1.31, 0.50)
    return physics_of(Yarns(310, weft_tex, COTTON_MM, wool, 1.31), closure_of(technique), sett, beat)


def test_a_cloth_worked_by_hand() -> None:
    found = cloth()
    assert found.pitch_mm == pytest.approx(3.815, abs=2e-3)
    assert found.jam == pytest.approx(1.028, abs=5e-4)
    assert found.line_height_mm == pytest.approx(1.970, abs=2e-3)
    assert found.pass_mm == pytest.approx(1.211, abs=1e-3)
    assert found.thickness_mm == pytest.approx(4.3, abs=0.05)
    assert found.crowding == pytest.approx(0.490, abs=1e-3)
    assert found.crimps == pytest.approx((0.119, 0.149, 0.119), abs=5e-4)
    assert found.draw_in == pytest.approx(0.084, abs=6e-4)
    over_reed = [extra_over_reed(crimp, found.draw_in) for crimp in found.crimps]
    assert over_reed == pytest.approx([0.024, 0.052, 0.024], abs=1e-3)
    assert found.mass_g_m2 == pytest.approx(1810, abs=10)


@pytest.mark.parametrize("weft_tex, lines", [(250, 10.4), (500, 7.3), (1000, 5.1), (2000, 3.4)])
def test_lines_by_weft(weft_tex: float, lines: float) -> None:
    assert cloth(weft_tex).lines_per_cm == pytest.approx(lines, abs=0.05)


@pytest.mark.parametrize("sett, lines", [(1.6, 5.2), (2.4, 5.1), (3.0, 4.9), (3.5, 4.6), (4.5, 3.9)])
def test_lines_by_sett(sett: float, lines: float) -> None:
    assert cloth(sett=sett).lines_per_cm == pytest.approx(lines, abs=0.05)


@pytest.mark.parametrize("technique, lines, g, mean_bend", [
    (WEFT_FACED_PLAIN, 6.4, 1.0, 1.0), (KROKBRAGD, 5.1, 2 ** (1 / 3), 2.6 / 3), (BOUNDWEAVE, 5.1, 2 ** (1 / 3), 0.73),
    (TWO_AGAINST_TWO, 3.2, 2.0, 0.5),
])  # fmt: skip
def test_lines_and_closure_by_weave(technique: Technique, lines: float, g: float, mean_bend: float) -> None:
    assert cloth(technique=technique).lines_per_cm == pytest.approx(lines, abs=0.05)
    assert closure_of(technique).g == pytest.approx(g, rel=1e-9)
    assert closure_of(technique).mean_bend == pytest.approx(mean_bend, abs=5e-3)


def test_twice_the_strands_and_the_beat() -> None:
    assert cloth(500).lines_per_cm / cloth(1000).lines_per_cm == pytest.approx(1.44, abs=0.01)
    assert cloth(500, 4.5).lines_per_cm / cloth(1000, 4.5).lines_per_cm == pytest.approx(1.66, abs=0.02)
    harder = cloth(beat=1).lines_per_cm / cloth(beat=0).lines_per_cm
    assert math.log(harder) == pytest.approx(CONSTANTS.beat_step, abs=0.01)


def test_the_swing_of_shed_one_is_that_of_its_layers() -> None:
    """Behind shaft 2 two floats share a layer, behind 3 its float rides outside: 2 (d + 1.5 w)^2 + w^2 / 2 over 4 (d + w)^2."""
    d, w = 1.0, 2.0
    by_layers = (2 * (d + 1.5 * w) ** 2 + w * w / 2) / (4 * (d + w) ** 2)
    first, second, third = closure_of(KROKBRAGD).bends
    assert second == pytest.approx(1.0)
    assert first == third == pytest.approx(by_layers * (1 - 0.0765 * 2), rel=1e-9)


yarns = st.tuples(st.floats(100, 1500), st.floats(150, 4000), st.floats(1.3, 1.5))
setts = st.floats(0.8, 6)
weaves = st.sampled_from(TECHNIQUES)


@given(yarns, setts, weaves, st.floats(-1, 1))
def test_every_cloth_is_a_cloth(
    sizes: tuple[float, float, float], sett: float, technique: Technique, beat: float
) -> None:
    warp, weft, density = sizes
    made = Yarns(warp, weft, contact_diameter_mm(warp, 1.52, 0.6), contact_diameter_mm(weft, density, 0.5), density)
    found = physics_of(made, closure_of(technique), sett, beat)
    assert found.jam >= 1
    assert 0 <= found.draw_in < 1 - math.exp(-CONSTANTS.draw_in_most)
    assert found.draw_in == pytest.approx(draw_in_of(found.crimp), abs=1e-9)
    assert found.pitch_mm == pytest.approx(10 / sett * (1 - found.draw_in), rel=1e-9)
    section = weft / (1000 * density * CONSTANTS.cloth_packing)
    assert found.pass_mm * found.line_height_mm == pytest.approx(section, rel=1e-9), "the wool of a pass is all there"
    assert found.crimp == pytest.approx(sum(found.crimps) / len(found.crimps), rel=1e-9)


@given(st.floats(200, 3000), setts, st.floats(1.05, 2))
def test_more_wool_never_makes_more_lines(weft: float, sett: float, times: float) -> None:
    assert cloth(weft * times, sett).lines_per_cm < cloth(weft, sett).lines_per_cm
    assert cloth(weft, sett * times).lines_per_cm <= cloth(weft, sett).lines_per_cm * (1 + 1e-9)


@given(st.floats(1.5, 10), st.floats(0.3, 1), st.floats(0.3, 2))
def test_a_wide_gap_jams_nothing(pitch: float, warp: float, weft: float) -> None:
    assume(pitch - warp > 10 * weft or pitch - warp < weft)
    jam = gap_jam(pitch, warp, weft)
    assert jam < 1.001 if pitch - warp > 10 * weft else jam > 2 ** (1 / 3) - 1e-9


def test_crimp_stands_near_arcs_and_lines_where_plain_weft_is_open() -> None:
    """Against Peirce's circles over a straight warp: 0.62 x^2 is within a quarter where x is below 0.5."""
    for x in (0.2, 0.3, 0.4, 0.5):
        assert CONSTANTS.crimp * x * x == pytest.approx(straight_warp_crimp(1.0, x), rel=0.25)


repeats = st.lists(st.integers(1, 6), min_size=2, max_size=14).map(tuple)
sheds = st.lists(st.frozensets(st.integers(1, 6), min_size=1, max_size=4), min_size=1, max_size=6).map(tuple)


@given(repeats, sheds)
def test_any_weave_has_a_closure(threading: tuple[int, ...], of_a_line: tuple[frozenset[int], ...]) -> None:
    found = closure(threading, of_a_line)
    assert 1 - 1e-12 <= found.g <= len(of_a_line) + 1e-9
    assert len(found.bends) == found.passes == len(of_a_line)
    assert all(bend >= 0 for bend in found.bends)
    assert 0 <= found.face_passes <= found.passes


@given(repeats, sheds, st.integers(0, 13))
def test_a_closure_does_not_care_where_the_repeat_begins(
    threading: tuple[int, ...], of_a_line: tuple[frozenset[int], ...], turn: int
) -> None:
    turn %= len(threading)
    first, turned = closure(threading, of_a_line), closure(threading[turn:] + threading[:turn], of_a_line)
    assert turned.g == pytest.approx(first.g, rel=1e-9)
    assert turned.bends == pytest.approx(first.bends, rel=1e-9)
    assert closure(threading * 2, of_a_line).g == pytest.approx(first.g, rel=1e-9)
