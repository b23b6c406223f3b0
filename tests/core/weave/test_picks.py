"""Picks as arrays, the drawdown, and sheds as a strip sees them."""

import numpy as np
import pytest

from tests.pieces import PIECES, Piece, named, one_strip, own_technique, weaving_of
from weftline.core.piece.cloth import expand
from weftline.core.weave.picks import covered, drawdown, join_picks


def rows(table: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]") -> list[str]:
    return ["".join("#" if over else "." for over in row) for row in table[::-1]]


@pytest.mark.parametrize(
    "piece,cloth",
    [
        pytest.param(
            one_strip({"lines": ["o o o"]}, ends=9),
            [
                "..#...#..",
                ".#.#.#.#.",
                "#...#...#",
            ],
            id="one shaft at a time",
        ),
        pytest.param(
            one_strip({"lines": ["o - o back"]}, ends=5),
            [
                "#...#",
                "..#..",
            ],
            id="from the last shed, one of them not thrown",
        ),
        pytest.param(
            one_strip({"lines": ["o o o o"]}, ends=7, weave={"technique": "boundweave on opposites"}),
            [
                "#..#..#",
                ".##.##.",
                "..###..",
                "##...##",
            ],
            id="a pattern pick and its opposite by turns",
        ),
        pytest.param(
            one_strip({"lines": ["o o"]}, ends=6, weave=own_technique(16, [1, 16], [[16], [1]])),
            [
                "#.#.#.",
                ".#.#.#",
            ],
            id="the last of sixteen shafts",
        ),
    ],
)
def test_the_drawdown(piece: Piece, cloth: list[str]) -> None:
    weaving = weaving_of(piece)
    assert rows(drawdown(weaving)) == cloth


def test_covered_tells_each_shed_and_end() -> None:
    found = covered(np.array([0, 0b101, 0xFFFF], dtype=np.uint16), np.array([1, 2, 3, 16], dtype=np.uint8))
    assert rows(found) == ["####", "#.#.", "...."]


def test_a_shed_of_a_strip_leaves_out_shafts_that_it_has_no_end_on() -> None:
    weave = own_technique(4, [1, 2, 3, 4], [[1, 4], [2, 3]])
    weaving = weaving_of(one_strip({"lines": ["o o"]}, ends=3, weave=weave))
    assert weaving.shafts == (1, 2, 3)
    assert weaving.picks.shed.tolist() == [0b1001, 0b0110]
    assert weaving.own_shed.tolist() == [0b0001, 0b0110]


@pytest.mark.parametrize("name", PIECES)
def test_heights_of_picks_rise_by_their_steps(name: str) -> None:
    for section in expand(named(name)).sections:
        picks = section.picks
        assert np.allclose(np.diff(picks.top_mm), picks.step_mm[1:])
        assert np.allclose(picks.centre_mm, picks.top_mm - picks.step_mm / 2)
        assert picks.height_mm == picks.top_mm[-1]
        assert picks.line_count == picks.line[-1] + 1


def test_joined_picks_number_their_lines_through() -> None:
    one = weaving_of(one_strip({"lines": ["o o o *2"]})).picks
    joined = join_picks([one, one, one])
    assert joined.line.tolist() == [line for line in range(6) for _ in range(3)]
    assert len(joined) == 18
    assert joined.height_mm == pytest.approx(3 * one.height_mm)
    assert join_picks([one]) is one
