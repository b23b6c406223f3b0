"""The back, drawn by hand in the order of the face's ends: which float lies uppermost behind each end."""

import numpy as np
import pytest

from tests.pieces import drawn, one_strip, own_technique, weaving_of
from weftline.core.weave.back import LongestFloat, back_columns, float_lengths, longest_floats

LINE_MM = 12.0


@pytest.mark.parametrize(
    "ends,shafts,lengths",
    [
        pytest.param("123212321", [1], "033303330", id="shaft 1 floats behind three ends"),
        pytest.param("123212321", [2], "101010101", id="shaft 2 floats behind single ends, at the edges too"),
        pytest.param("123212321", [3], "220333022", id="at an edge a float is counted to the edge"),
        pytest.param("123212321", [1, 2], "001000100", id="two shafts leave single ends"),
        pytest.param("123212321", [1, 2, 3], "000000000", id="no float where every end is covered"),
        pytest.param("12321", [4], "55555", id="a shed that covers no end floats behind all"),
        pytest.param("12121234343434", [3, 4], "66666600000000", id="a whole block floats"),
        pytest.param("1", [1], "0", id="one end covered"),
        pytest.param("1", [2], "1", id="one end not covered"),
    ],
)
def test_floats_are_counted_in_ends(ends: str, shafts: list[int], lengths: str) -> None:
    shed = sum(1 << (shaft - 1) for shaft in shafts)
    found = float_lengths(shed, np.array([int(end) for end in ends], dtype=np.uint8))
    assert "".join(map(str, found)) == lengths


@pytest.mark.parametrize(
    "lines,ends,back",
    [
        pytest.param(
            ["o o o"],
            9,
            [
                "200222002",
                "200222002",
                "200222002",
                "200020002",
                "200020002",
                "200020002",
            ],
            id="the longest float shows, and of two equally long ones each half",
        ),
        pytest.param(
            ["o o o back"],
            9,
            [
                "022202220",
                "022202220",
                "022202220",
                "022000220",
                "022000220",
                "022000220",
            ],
            id="thrown from the last shed the halves change places",
        ),
        pytest.param(
            ["o o o"],
            5,
            [
                "20002",
                "20002",
                "20002",
                "20002",
                "20002",
                "20002",
            ],
            id="at both edges the float of shaft 3 is shorter than that of shaft 1",
        ),
        pytest.param(
            ["o o -", "o - -"],
            9,
            [
                "122212221",
                "122212221",
                "122212221",
                "100010001",
                "100010001",
                "100010001",
            ],
            id="each line shows its own longest float",
        ),
        pytest.param(
            ["o - -"],
            9,
            [
                ".000.000.",
                ".000.000.",
            ],
            id="behind an end that every pick covers nothing shows",
        ),
    ],
)
def test_the_back_of_a_point_threading(lines: list[str], ends: int, back: list[str]) -> None:
    weaving = weaving_of(one_strip({"lines": lines}, ends=ends, beat={"lines_per_cm": 10 / LINE_MM}))
    shows = [column.shows for column in back_columns(weaving)]
    assert drawn(shows, weaving.picks.height_mm, 2.0) == back


@pytest.mark.parametrize(
    "sheds,line,back",
    [
        pytest.param(
            [[1], [2], [3, 4]],
            "m m o",
            [
                "2220111112200000",
                "2220111112200000",
                "2220111112200000",
                "2220111112200000",
                "2220000012200000",
                "2220000012200000",
            ],
            id="an absent shaft floats behind the whole block and one end beside it",
        ),
        pytest.param(
            [[1, 2], [3, 4]],
            "m o",
            [
                "1111000011110000",
                "1111000011110000",
                "1111000011110000",
                "1111000011110000",
                "1111000011110000",
                "1111000011110000",
            ],
            id="blocks change places with the face",
        ),
    ],
)
def test_the_back_of_blocks(sheds: list[list[int]], line: str, back: list[str]) -> None:
    weave = own_technique(4, [1, 2, 1, 2, 3, 4, 3, 4], [[1, 3], [2, 4]])
    beat = {"lines_per_cm": 10 / LINE_MM}
    weaving = weaving_of(one_strip({"sheds": sheds, "lines": [line]}, ends=16, weave=weave, beat=beat))
    shows = [column.shows for column in back_columns(weaving)]
    assert drawn(shows, weaving.picks.height_mm, 2.0) == back


def test_shorter_floats_lie_under_the_longest_of_their_line() -> None:
    columns = back_columns(weaving_of(one_strip({"lines": ["o o o *2"]}, ends=9)))
    assert [column.under.tolist() for column in columns] == [
        [1, 4], [2, 5], [1, 4], [], [1, 4], [], [1, 4], [2, 5], [1, 4],
    ]  # fmt: skip


def test_the_longest_float_of_each_shed_longest_first_and_of_equals_the_first_thrown() -> None:
    weaving = weaving_of(one_strip({"lines": ["o o o back", "o - o"]}, ends=9))
    assert longest_floats(weaving) == [
        LongestFloat(ends=3, pick=0, first_end=3, picks=2),
        LongestFloat(ends=3, pick=2, first_end=1, picks=2),
        LongestFloat(ends=1, pick=1, first_end=0, picks=1),
    ]


def test_sheds_that_a_strip_cannot_tell_apart_count_as_one() -> None:
    sheds = [[1], [1, 4], [2, 3, 4]]
    weave = own_technique(4, [1, 2, 3, 2, 4], [[1], [2]])
    weaving = weaving_of(one_strip({"sheds": sheds, "lines": ["o o o"]}, ends=4, weave=weave))
    assert [(found.ends, found.picks) for found in longest_floats(weaving)] == [(3, 2), (1, 1)]
