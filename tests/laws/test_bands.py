"""Laws of bands: mirrored, repeated and numbered."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tests.pieces import Piece, cloth_of, weaving_of
from tests.strategies import MEETINGS, YARNS, bands, pieces, techniques
from weftline.core.edges.runs import strands_by_yarn, yarn_uses
from weftline.core.weave.picks import Weaving

Thrown = tuple[int, int]
"""A shed and a winding."""


def woven(technique: str | Piece, *bands: Piece) -> Weaving:
    strips = [{"ends": 12, "bands": list(bands)}]
    piece = {"weftline": 1, "yarns": YARNS, "weave": {"technique": technique}, "sections": [{"strips": strips}]}
    return weaving_of(piece)


@st.composite
def banded(draw: st.DrawFn, mirror: str | None = None) -> tuple[str | Piece, Piece]:
    technique = draw(techniques())
    return technique, draw(bands(technique, mirror))


def thrown(weaving: Weaving) -> list[Thrown]:
    return list(zip(weaving.picks.shed.tolist(), weaving.picks.wound.tolist(), strict=True))


def lines_of(weaving: Weaving) -> list[tuple[Thrown, ...]]:
    numbers = weaving.picks.line.tolist()
    found: list[list[Thrown]] = [[] for _ in range(weaving.picks.line_count)]
    for number, pick in zip(numbers, thrown(weaving), strict=True):
        found[number].append(pick)
    return [tuple(line) for line in found]


def passes(weaving: Weaving) -> dict[str, int]:
    return {key: use.passes for key, use in yarn_uses(weaving, strands_by_yarn(weaving.windings)).items()}


@given(banded(mirror="lines"))
def test_mirrored_lines_read_backwards_are_the_same_lines(case: tuple[str | Piece, Piece]) -> None:
    lines = lines_of(woven(*case))
    assert lines[::-1] == lines


@given(banded(mirror="picks"))
def test_mirrored_picks_thrown_backwards_are_the_same_picks(case: tuple[str | Piece, Piece]) -> None:
    picks = thrown(woven(*case))
    assert picks[::-1] == picks


@given(banded(mirror="lines"))
def test_a_double_middle_weaves_the_last_line_twice_and_a_single_middle_once(case: tuple[str | Piece, Piece]) -> None:
    technique, band = case
    there = lines_of(woven(technique, {**band, "mirror": "none", "times": 1}))
    double = lines_of(woven(technique, {**band, "middle": "double", "times": 1}))
    single = lines_of(woven(technique, {**band, "middle": "single", "times": 1}))
    assert double == there + there[::-1]
    assert single == there + there[-2::-1]


@given(banded(mirror="picks"))
def test_a_double_middle_throws_the_last_pick_twice_and_a_single_middle_once(case: tuple[str | Piece, Piece]) -> None:
    technique, band = case
    there = thrown(woven(technique, {**band, "mirror": "none", "times": 1}))
    double = thrown(woven(technique, {**band, "middle": "double", "times": 1}))
    single = thrown(woven(technique, {**band, "middle": "single", "times": 1}))
    assert double == there + there[::-1]
    assert single == there + there[-2::-1]


@given(banded(), st.integers(1, 7))
def test_yarn_of_a_repeated_band_with_double_joints_adds_up(case: tuple[str | Piece, Piece], times: int) -> None:
    technique, band = case
    one = passes(woven(technique, {**band, "joint": "double", "times": 1}))
    many = passes(woven(technique, {**band, "joint": "double", "times": times}))
    assert many == {key: count * times for key, count in one.items()}


@given(banded(mirror="picks"), st.integers(1, 7))
def test_each_single_joint_saves_one_pick(case: tuple[str | Piece, Piece], times: int) -> None:
    technique, band = case
    one = thrown(woven(technique, {**band, "joint": "single", "times": 1}))
    many = thrown(woven(technique, {**band, "joint": "single", "times": times}))
    assert many == one + one[1:] * (times - 1)


@given(banded(), st.sampled_from(MEETINGS))
def test_a_joint_left_out_is_as_the_middle(case: tuple[str | Piece, Piece], middle: str) -> None:
    technique, band = case
    without = {key: value for key, value in band.items() if key != "joint"} | {"middle": middle}
    assert lines_of(woven(technique, without)) == lines_of(woven(technique, {**without, "joint": middle}))


@given(banded())
def test_a_resumed_band_drops_its_first_pick_exactly_where_the_shed_was_the_same(
    case: tuple[str | Piece, Piece],
) -> None:
    technique, band = case
    plain = {**band, "resume": False}
    both = thrown(woven(technique, plain, plain))
    resumed = thrown(woven(technique, plain, {**band, "resume": True}))
    first = both[: len(both) // 2]
    same = first[0][0] == first[-1][0]
    assert resumed == first + (first[1:] if same else first)


@given(pieces())
def test_lines_are_numbered_one_after_the_other_and_each_has_a_pick(piece: Piece) -> None:
    for section in cloth_of(piece).sections:
        for strip in section.strips:
            picks = strip.weaving.picks
            assert np.unique(picks.line).tolist() == list(range(picks.line_count))
            assert set(np.diff(picks.line).tolist()) <= {0, 1}


@given(pieces())
def test_a_band_never_shares_a_line_with_the_next(piece: Piece) -> None:
    for section in cloth_of(piece).sections:
        for strip in section.strips:
            picks = strip.weaving.picks
            assert (np.diff(picks.line)[np.diff(picks.band) != 0] == 1).all()
            assert (np.diff(picks.band) >= 0).all()


@given(pieces())
def test_heights_of_the_picks_add_up_to_the_woven_length(piece: Piece) -> None:
    for section in cloth_of(piece).sections:
        for strip in section.strips:
            picks = strip.weaving.picks
            assert abs(sum(picks.step_mm.tolist()) - picks.height_mm) <= 1e-9
            assert (np.diff([0.0, *picks.centre_mm, picks.height_mm]) > 0).all()
