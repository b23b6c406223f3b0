"""Strips on the threaded ends: sums that do not fit, and starts that follow."""

import re
from typing import Any

import pytest

from tests.pieces import TWO_STRAPS, Piece, changed, cloth_of, named, one_strip, read
from weftline.core.findings import Finding, Severity, Where
from weftline.core.piece.laying import Lay, lay_strips, warp_ends
from weftline.core.piece.written import technique_of
from weftline.errors import PieceError

STRAPS = ("sections", 1, "strips")
BANDS = [{"lines": ["o o o"]}]


def strip(ends: int, **keys: Any) -> Piece:
    return {"ends": ends, "bands": BANDS, **keys}


def laid(piece: Piece, place: int) -> tuple[list[tuple[int, int]], list[Finding]]:
    project = read(piece)
    findings: list[Finding] = []
    lays = lay_strips(project, technique_of(project), place, findings)
    return [(lay.first_end, lay.start) for lay in lays], findings


def sums(piece: Piece) -> tuple[int, list[tuple[str, str, str | None]]]:
    ends, findings = warp_ends(read(piece))
    assert all(one.code == "ends-sum" and one.severity is Severity.STOP for one in findings)
    return ends, [(one.message, one.remedy, one.where.section) for one in findings]


def test_two_strips_and_the_idle_ends_between_them_fill_the_warp() -> None:
    assert sums(TWO_STRAPS) == (85, [])


@pytest.mark.parametrize(
    "path,value,found",
    [
        pytest.param(
            (*STRAPS, 0, "idle_after"), 2,
            [("Straps takes 84 ends with those left idle; the warp has 85 threaded.",
              "Change its strips or idle ends by 1, or thread 84 ends.", "Straps")],
            id="an idle end too few",
        ),
        pytest.param(
            (*STRAPS, 1, "idle_after"), 2,
            [("Straps takes 87 ends with those left idle; the warp has 85 threaded.",
              "Change its strips or idle ends by 2, or thread 87 ends.", "Straps")],
            id="ends left idle after the last strip count",
        ),
        pytest.param(
            ("warp", "ends"), 90,
            [("Sling takes 85 ends with those left idle; the warp has 90 threaded.",
              "Change its strips or idle ends by 5, or thread 85 ends.", "Sling"),
             ("Straps takes 85 ends with those left idle; the warp has 90 threaded.",
              "Change its strips or idle ends by 5, or thread 85 ends.", "Straps")],
            id="a warp that no section fills",
        ),
        pytest.param(("warp", "ends"), None, [], id="the first section tells the warp where it is left out"),
    ],
)  # fmt: skip
def test_sums_of_ends(path: tuple[str | int, ...], value: Any, found: list[tuple[str, str, str]]) -> None:
    piece = changed(TWO_STRAPS, path, value)
    assert sums(piece)[1] == found
    assert [one.message for one in cloth_of(piece).findings if one.code == "ends-sum"] == [one[0] for one in found]


def test_a_section_without_a_name_is_called_by_its_place() -> None:
    piece = changed(TWO_STRAPS, ("sections", 1), {"strips": [strip(84)]})
    assert sums(piece) == (
        85,
        [
            (
                "Section 2 takes 84 ends with those left idle; the warp has 85 threaded.",
                "Change its strips or idle ends by 1, or thread 84 ends.",
                "Section 2",
            )
        ],
    )


@pytest.mark.parametrize(
    "piece,place,lays",
    [
        pytest.param(one_strip(*BANDS), 0, [(0, 1)], id="a strip alone starts on place 1"),
        pytest.param(
            {**one_strip(), "sections": [{"strips": [strip(10), strip(10, start=3), strip(5)]}]},
            0,
            [(0, 1), (10, 3), (20, 1)],
            id="strips of one section start where each is written to",
        ),
        pytest.param(TWO_STRAPS, 1, [(0, 1), (44, 1)], id="41 and 3 ends are eleven whole repeats"),
        pytest.param(
            changed(TWO_STRAPS, (*STRAPS, 0, "idle_after"), 4),
            1,
            [(0, 1), (45, 2)],
            id="one idle end more moves the start",
        ),
        pytest.param(
            changed(TWO_STRAPS, ("sections", 0, "strips", 0, "start"), 3),
            1,
            [(0, 3), (44, 3)],
            id="the warp starts where the first strip of the first section does",
        ),
    ],
)
def test_strips_lie_on_the_threaded_ends(piece: Piece, place: int, lays: list[tuple[int, int]]) -> None:
    assert laid(piece, place) == (lays, [])


def test_ends_that_follow_from_the_warp_are_threaded_so() -> None:
    piece = changed(TWO_STRAPS, (*STRAPS, 0, "idle_after"), 4)
    right = cloth_of(piece).sections[1].strips[1]
    assert right.lay == Lay(45, 2)
    assert right.weaving.ends[:5].tolist() == [2, 3, 2, 1, 2]


def test_a_start_that_contradicts_the_warp_stops_the_piece() -> None:
    lays, findings = laid(changed(TWO_STRAPS, (*STRAPS, 1, "start"), 2), 1)
    assert lays == [(0, 1), (44, 1)]
    assert findings == [
        Finding(
            "start-follows",
            Severity.STOP,
            "This strip is written to start on place 2 of the repeat, but on the threaded ends it lies on place 1.",
            "Take the start away, or change the idle ends before it.",
            Where("Straps", "Right"),
        )
    ]


def test_a_start_that_agrees_with_the_warp_is_fine() -> None:
    assert laid(changed(TWO_STRAPS, (*STRAPS, 1, "start"), 1), 1)[1] == []


@pytest.mark.parametrize(
    "piece,says",
    [
        pytest.param(
            {**one_strip(), "sections": [{"strips": [strip(9, start=5)]}]},
            "sections[0].strips[0].start: the repeat has 4 places, so the first end stands on 1 to 4, not 5",
            id="in a piece of one section",
        ),
        pytest.param(
            changed(TWO_STRAPS, (*STRAPS, 1, "start"), 4000),
            "sections[1].strips[1].start: the repeat has 4 places, so the first end stands on 1 to 4, not 4000",
            id="where sections share the warp",
        ),
    ],
)
def test_a_start_beyond_the_repeat_is_refused(piece: Piece, says: str) -> None:
    with pytest.raises(PieceError, match=re.escape(says)):
        read(piece)


def test_the_two_straps_read_without_a_finding_of_ends() -> None:
    project = named("two straps on one warp")
    assert warp_ends(project) == (85, [])
