"""Bands to picks, written out: lines part by bars, and each pick is its shed with its yarn."""

import re
from typing import Any

import pytest

from tests.pieces import Piece, cloth_of, one_strip, read, weaving_of
from weftline.core.piece.values import Project
from weftline.core.weave.technique import mask_shafts
from weftline.errors import PieceTooLargeError

GROUND = {"lines": ["o o o"]}


def said(piece: Piece) -> str:
    """The picks of the first strip: ``1s 2o 3o | 1o 2o 3o``; shafts of one shed stand together."""
    weaving = weaving_of(piece)
    lines: list[list[str]] = [[] for _ in range(weaving.picks.line_count)]
    for place in range(len(weaving.picks)):
        shed = "".join(map(str, mask_shafts(int(weaving.picks.shed[place]))))
        yarn = "+".join(key for key, _ in weaving.windings[weaving.picks.wound[place]])
        lines[weaving.picks.line[place]].append(shed + yarn)
    return " | ".join(" ".join(line) for line in lines)


@pytest.mark.parametrize(
    "band,picks",
    [
        pytest.param({"lines": ["s o m"]}, "1s 2o 3m", id="one line"),
        pytest.param({"lines": ["s o m *2"]}, "1s 2o 3m | 1s 2o 3m", id="one line twice"),
        pytest.param({"lines": ["s o m back"]}, "3m 2o 1s", id="a line from the last shed"),
        pytest.param({"lines": ["s - m", "- o -"]}, "1s 3m | 2o", id="sheds not thrown"),
        pytest.param({"lines": ["s+o - -"]}, "1o+s", id="two yarns wound together"),
        pytest.param({"sheds": [[1, 3], [2]], "lines": ["s o"]}, "13s 2o", id="sheds of its own"),
        pytest.param({"lines": ["s - -", "o - -"], "times": 2}, "1s | 1o | 1s | 1o", id="two lines twice"),
        pytest.param(
            {"lines": ["s o m", "o o o"], "mirror": "lines"}, "1s 2o 3m | 1o 2o 3o | 1s 2o 3m",
            id="lines mirrored about a single middle",
        ),
        pytest.param(
            {"lines": ["s o m", "o o o"], "mirror": "lines", "middle": "double"},
            "1s 2o 3m | 1o 2o 3o | 1o 2o 3o | 1s 2o 3m", id="lines mirrored about a double middle",
        ),
        pytest.param(
            {"lines": ["s o m", "o o o"], "mirror": "picks"}, "1s 2o 3m | 1o 2o 3o | 2o 1o | 3m 2o 1s",
            id="picks mirrored about a single middle",
        ),
        pytest.param(
            {"lines": ["s o m"], "mirror": "picks", "middle": "double"}, "1s 2o 3m | 3m 2o 1s",
            id="picks mirrored about a double middle",
        ),
        pytest.param({"lines": ["s - -"], "mirror": "picks"}, "1s", id="one pick mirrored about itself"),
        pytest.param({"lines": ["s - -"], "mirror": "lines"}, "1s", id="one line mirrored about itself"),
        pytest.param(
            {"lines": ["s o -"], "mirror": "picks", "times": 3}, "1s 2o | 1s | 2o | 1s | 2o | 1s",
            id="a single joint drops the first pick of each later copy",
        ),
        pytest.param(
            {"lines": ["s o -"], "mirror": "picks", "times": 2, "joint": "double"}, "1s 2o | 1s | 1s 2o | 1s",
            id="a double joint drops nothing",
        ),
        pytest.param(
            {"lines": ["s - -", "o - -"], "mirror": "lines", "times": 2}, "1s | 1o | 1s | 1o | 1s",
            id="a single joint of lines drops the first line",
        ),
        pytest.param(
            {"lines": ["s o -"], "mirror": "picks", "times": 2, "middle": "double"},
            "1s 2o | 2o 1s | 1s 2o | 2o 1s", id="the joint is as the middle where it is left out",
        ),
        pytest.param(
            {"lines": ["s - -"], "mirror": "picks", "times": 9}, "1s", id="one pick with single joints stays one pick"
        ),
        pytest.param({"lines": ["o o -"], "times": 2, "joint": "single"}, "1o 2o | 1o 2o", id="a joint needs a mirror"),
    ],
)  # fmt: skip
def test_a_band_is_thrown_as(band: Piece, picks: str) -> None:
    assert said(one_strip(band)) == picks


@pytest.mark.parametrize(
    "bands,picks,notes",
    [
        pytest.param(
            [{"lines": ["o - s"]}, {"lines": ["s o o back"], "resume": True}], "1o 3s | 2o 1s", [],
            id="the same shed twice drops the first pick",
        ),
        pytest.param(
            [{"lines": ["o o o"]}, {"lines": ["s o o"], "resume": True}], "1o 2o 3o | 1s 2o 3o", ["Band 2"],
            id="another shed drops nothing and is noted",
        ),
        pytest.param([{"lines": ["o o o"], "resume": True}], "1o 2o 3o", ["Band 1"], id="nothing lies before the first band"),
        pytest.param(
            [{"lines": ["o - -"]}, {"lines": ["s - -"], "resume": True}, {"lines": ["m o -"], "resume": True}],
            "1o | 2o", [], id="a band of one pick may vanish, and the next resumes too",
        ),
        pytest.param(
            [{"sheds": [[1, 2]], "lines": ["o"]}, {"sheds": [[2, 1], [3]], "lines": ["s o"], "resume": True}],
            "12o | 3o", [], id="a shed is the same however its shafts are written",
        ),
        pytest.param(
            [{"lines": ["o - -"]}, {"lines": ["s o -"], "mirror": "lines", "resume": True}], "1o | 2o", [],
            id="only a pick is dropped where lines are mirrored too",
        ),
    ],
)  # fmt: skip
def test_a_band_resumes(bands: list[Piece], picks: str, notes: list[str]) -> None:
    assert said(one_strip(*bands)) == picks
    assert [one.where.band for one in cloth_of(one_strip(*bands)).findings if one.code == "resume-idle"] == notes


def test_each_pick_knows_its_slot_written_line_band_and_height() -> None:
    first = {"lines": ["o o o", "- s o back *2"]}
    picks = weaving_of(one_strip(first, {"sheds": [[1], [2]], "lines": ["o -"], "lines_per_cm": 5})).picks
    assert picks.slot.tolist() == [0, 1, 2, 2, 1, 2, 1, 0]
    assert picks.written.tolist() == [0, 0, 0, 1, 1, 1, 1, 0]
    assert picks.band.tolist() == [0] * 7 + [1]
    assert picks.line.tolist() == [0, 0, 0, 1, 1, 2, 2, 3]
    assert picks.step_mm.tolist() == pytest.approx([10 / 3.75 / 3] * 7 + [1.0])


@pytest.mark.parametrize(
    "band,path,count",
    [
        pytest.param({"lines": ["o o o *66667"]}, "sections[0].strips[0].bands[0]", "200,001", id="picks of one line"),
        pytest.param({"lines": ["o o o *999999999"]}, "sections[0].strips[0].bands[0]", "999,999,999", id="lines alone"),
        pytest.param(
            {"lines": ["o o o *9"], "times": 200_000}, "sections[0].strips[0].bands[0]", "5,400,000", id="a band repeated"
        ),
        pytest.param(
            {"lines": ["o o o *66666"], "mirror": "picks", "middle": "double"}, "sections[0].strips[0].bands[0]", "399,996",
            id="a band mirrored",
        ),
    ],
)  # fmt: skip
def test_more_than_200_000_picks_are_refused(band: Piece, path: str, count: str) -> None:
    says = f"{path}: a piece has at most 200,000 picks, this makes {count}; repeat less"
    with pytest.raises(PieceTooLargeError, match=re.escape(says)):
        read(one_strip(band))


def test_exactly_200_000_picks_are_woven() -> None:
    piece = one_strip({"lines": ["o o o *66666"]}, {"lines": ["o o -"]})
    assert len(weaving_of(piece).picks) == 200_000


@pytest.mark.parametrize(
    "sections",
    [
        pytest.param([[{"lines": ["o o o *40000"]}] * 2], id="over the bands of a strip"),
        pytest.param([[{"lines": ["o o o *40000"]}]] * 2, id="over the sections of a piece"),
    ],
)
def test_picks_are_counted_over_the_whole_piece(sections: list[list[Piece]]) -> None:
    written: Any = [{"strips": [{"ends": 9, "bands": bands}]} for bands in sections]
    with pytest.raises(PieceTooLargeError, match=r"a piece has at most 200,000 picks, this makes 240,000; repeat less"):
        read({**one_strip(GROUND), "sections": written})


def test_a_warp_has_at_most_4_000_ends() -> None:
    strips = [{"ends": 2000, "idle_after": 1, "bands": [GROUND]}, {"ends": 2000, "bands": [GROUND]}]
    with pytest.raises(PieceTooLargeError, match=r"sections: a warp has at most 4,000 ends, this one 4,001"):
        read({**one_strip(GROUND), "sections": [{"strips": strips}]})


def test_a_piece_has_at_most_2_000_bands_in_all() -> None:
    half = one_strip(*[GROUND] * 1000)["sections"]
    more = one_strip(*[GROUND] * 1001)["sections"]
    assert isinstance(read({**one_strip(GROUND), "sections": half + half}), Project)
    with pytest.raises(PieceTooLargeError, match=r"sections: a piece has at most 2,000 bands, this one 2,001"):
        read({**one_strip(GROUND), "sections": half + more})


@pytest.mark.parametrize(
    "piece,basis",
    [
        pytest.param(one_strip(GROUND), "default", id="a height left out is a default"),
        pytest.param(one_strip(GROUND, beat={"lines_per_cm": 4}), "computed", id="a height written is computed with"),
        pytest.param(one_strip({**GROUND, "lines_per_cm": 4}), "computed", id="a height written for every band"),
        pytest.param(one_strip({**GROUND, "lines_per_cm": 4}, GROUND), "default", id="one band without a height"),
    ],
)
def test_the_woven_length_rests_on(piece: Piece, basis: str) -> None:
    assert cloth_of(piece).sections[0].height_basis.value == basis


def test_names_are_as_written_or_by_place() -> None:
    piece = one_strip(GROUND, {**GROUND, "name": "Teeth"}, {**GROUND, "name": ""})
    strip = cloth_of(piece).sections[0].strips[0]
    assert (cloth_of(piece).sections[0].name, strip.name) == ("Section 1", "Strip 1")
    assert strip.bands == ("Band 1", "Teeth", "Band 3")
