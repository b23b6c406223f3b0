"""The face, drawn by hand: which pick shows in each column, from the foot up, in rows of 2 mm."""

import numpy as np
import pytest

from tests.pieces import drawn, one_strip, own_technique, weaving_of
from weftline.core.weave.face import face_columns, face_of_shaft

LINE_MM = 12.0


@pytest.mark.parametrize(
    "lines,ends,face",
    [
        pytest.param(["o o o"], 9, ["012101210"] * 6, id="the beads of one line fill its height"),
        pytest.param(["o s o back"], 9, ["210121012"] * 6, id="thrown from the last shed, shaft 3 comes first"),
        pytest.param(["o o o"], 1, ["0"] * 6, id="one end shows one pick"),
        pytest.param(
            ["o o o", "s s s"],
            9,
            [
                "345434543",
                "345434543",
                "345434543",
                "345434543",
                "342434243",
                "342434243",
                "312131213",
                "312131213",
                "012101210",
                "012101210",
                "012101210",
                "012101210",
            ],
            id="beads grow halfway to their neighbours, so that columns step",
        ),
        pytest.param(
            ["o o -", "o - -"],
            9,
            [
                "21.121.12",
                "21.121.12",
                "21.121.12",
                "01.101.10",
                "01.101.10",
                "01.101.10",
            ],
            id="ends that no pick covers stay bare",
        ),
        pytest.param(
            ["o - -", "o o o"],
            5,
            [
                "12321",
                "12321",
                "12321",
                "12321",
                "12321",
                "12321",
                "02320",
                "02320",
            ],
            id="a column reaches the foot however late its first bead comes",
        ),
    ],
)
def test_the_face_of_a_point_threading(lines: list[str], ends: int, face: list[str]) -> None:
    weaving = weaving_of(one_strip({"lines": lines}, ends=ends, beat={"lines_per_cm": 10 / LINE_MM}))
    assert drawn(face_columns(weaving), weaving.picks.height_mm, 2.0) == face


@pytest.mark.parametrize(
    "sheds,line,face",
    [
        pytest.param([[1], [2], [3, 4]], "m m o", "0101222201012222", id="one block in stripes, the other all in one pick"),
        pytest.param([[1, 3], [2, 4], [1, 3]], "m o -", "0101010101010101", id="both blocks alike"),
        pytest.param([[1], [2], [1]], "m o -", "0101....0101....", id="a block without a shed is bare"),
    ],
)  # fmt: skip
def test_the_face_of_blocks(sheds: list[list[int]], line: str, face: str) -> None:
    weave = own_technique(4, [1, 2, 1, 2, 3, 4, 3, 4], [[1, 3], [2, 4]])
    beat = {"lines_per_cm": 10 / LINE_MM}
    weaving = weaving_of(one_strip({"sheds": sheds, "lines": [line]}, ends=16, weave=weave, beat=beat))
    assert set(drawn(face_columns(weaving), weaving.picks.height_mm, 2.0)) == {face}


def test_a_bead_reaches_halfway_to_its_neighbours_in_the_column_and_to_both_ends_of_the_cloth() -> None:
    weaving = weaving_of(one_strip({"lines": ["o o o *2", "- o o"]}, beat={"lines_per_cm": 10 / LINE_MM}))
    beads = face_of_shaft(weaving, 2)
    assert beads.pick.tolist() == [1, 4, 6]
    assert np.allclose(beads.low_mm, [0, 12, 22])
    assert np.allclose(beads.high_mm, [12, 22, 32])


def test_a_column_shows_a_pick_at_every_height_and_the_upper_one_where_two_beads_meet() -> None:
    weaving = weaving_of(one_strip({"lines": ["o o o *2"]}, beat={"lines_per_cm": 10 / LINE_MM}))
    beads = face_of_shaft(weaving, 1)
    assert beads.at(np.array([0.0, 7.9, 8.1, 24.0])).tolist() == [0, 0, 3, 3]
    assert beads.at(np.array([-1.0, 99.0])).tolist() == [0, 3]


def test_a_bare_column_shows_no_pick_anywhere() -> None:
    weaving = weaving_of(one_strip({"lines": ["o - -"]}))
    assert face_of_shaft(weaving, 3).at(np.array([0.0, 1.0])).tolist() == [-1, -1]


def test_equal_columns_share_one_value() -> None:
    columns = face_columns(weaving_of(one_strip({"lines": ["o o o"]}, ends=9)))
    assert columns[1] is columns[3]
    assert columns[0] is not columns[2]
