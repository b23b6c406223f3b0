"""What the steps say: every pick in its order, every yarn begun and cut, lines that come again."""

import re
from typing import Any

import pytest

from tests.pieces import TWO_STRAPS, one_strip, own_technique
from tests.sheets.documents import DEMO_YARNS, DEMOS, made, pad, said
from weftline.core.plan.plan import plan
from weftline.formats.native import loads
from weftline.sheets.document import document
from weftline.sheets.paper import PAPERS
from weftline.sheets.rows import boxes


def test_a_line_with_its_picks_in_the_order_thrown() -> None:
    band = made(pad()).data["sections"][0]["steps"]["bands"][0]
    (part,) = band["parts"]
    assert [(row["number"], row["words"], row["boxes"]) for row in part["rows"]] == [
        ("1–3", ["this line 3 times"], [3, 3, 3, 3]),
        ("4", ["incomplete"], [1, 1, 1, 1]),
        ("5", ["last shed first"], [1, 1, 1, 1]),
    ]
    assert [[(cell["shed"], cell["lift"], cell["yarns"]) for cell in row["cells"]] for row in part["rows"]] == [
        [("1", "raise 2+3", ["2 o"]), ("2", "raise 1+3", ["2 o"]), ("3", "raise 1+2", ["1 s"])],
        [("1", "raise 2+3", ["– no pick"]), ("2", "raise 1+3", ["1 s"]), ("3", "raise 1+2", ["1 s"])],
        [("3", "raise 1+2", ["2 o"]), ("2", "raise 1+3", ["2 o"]), ("1", "raise 2+3", ["1 s"])],
    ]
    assert part["repeat"]["sentence"] == "Weave lines 1–5 four times in all, up to line 20."
    assert [one["lines"] for one in part["repeat"]["times"]] == [
        "lines 1–5",
        "lines 6–10",
        "lines 11–15",
        "lines 16–20",
    ]


def test_strips_stand_side_by_side_in_one_row_a_pick() -> None:
    straps = made(TWO_STRAPS).data["sections"][-1]
    assert (
        [column["title"] for column in straps["charts"][0]["pages"][0]]
        == straps["steps"]["strips"]
        == ["Left", "Right"]
    )
    assert (len(straps["charts"]), straps["charts"][0]["heading"]) == (1, "Chart: Straps")
    for band in straps["steps"]["bands"]:
        assert band["layout"] == "down"
        assert {len(cell["yarns"]) for part in band["parts"] for row in part["rows"] for cell in row["cells"]} == {2}
    assert "the order of the strips, not the way that the shuttles go" in said(straps["steps"]["before"][-1])


def test_sheds_of_bands_are_numbered_after_those_of_the_technique() -> None:
    piece = one_strip({"lines": ["o o o"]}, {"sheds": [[2], [1, 3]], "lines": ["o o"]})
    sheds = made(piece).data["dressing"]["sheds"]
    assert [(row["number"], row["covers"], row["lift"], row["moves"]) for row in sheds["rows"]] == [
        ("1", "shaft 1", "raise 2+3", [False, True, True]),
        ("2", "shaft 2", "raise 1+3", [True, False, True]),
        ("3", "shaft 3", "raise 1+2", [True, True, False]),
        ("4", "shafts 1+3", "raise 2", [False, True, False]),
    ]


def test_joins_and_cuts_are_told_at_their_bands() -> None:
    band = {"name": "First", "lines": ["o o s", "o o o *3", "o o s"]}
    assert joined_in(one_strip(band)) == [
        ["Join in o at line 1, s at 1, s at 5; cut s after line 1, o after 5, s after 5."]
    ]


def joined_in(piece: dict[str, Any]) -> list[list[str]]:
    """What is said of starts and cuts in each part of the first band."""
    steps = made({**piece, "yarns": DEMO_YARNS}).data["sections"][0]["steps"]
    return [[one.replace("\u00a0", " ") for one in part["joins"]] for part in steps["bands"][0]["parts"]]


def test_joins_in_lines_that_come_again_say_in_which_times() -> None:
    again = one_strip({"lines": ["o o o *3", "o o s"], "times": 4})
    assert joined_in(again) == [
        [
            "Each time: join in s at line 4; cut s after line 4.",
            "Time 1: join in o at line 1.",
            "Time 4: cut o after line 4.",
        ]
    ]


def test_joins_of_strips_are_told_for_each_that_differs() -> None:
    strips = [{"name": name, "ends": 9, "gap_after_cm": 1, "bands": [{"lines": lines}]} for name, lines in (
        ("Left", ["o o o", "o o s"]), ("Right", ["o o s", "o o o"]))]  # fmt: skip
    assert joined_in({"weftline": 1, "sections": [{"strips": strips}]}) == [
        ["Left: join in o at line 1, s at 2; cut o after line 2, s after 2.",
         "Right: join in o at line 1, s at 1; cut s after line 1, o after 2."]
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["kneeling-pad", "sling-and-straps", "wall-piece", "allotment-mat"])
def test_every_run_of_the_materials_is_begun_and_cut_in_the_steps(name: str) -> None:
    found = plan(loads((DEMOS / f"{name}.json").read_bytes()))
    starts = cuts = 0
    for section, facts in zip(document(found, PAPERS["a4"], "metric").data["sections"], found.sections, strict=True):
        strips = len(section["steps"]["strips"])
        for part in (part for band in section["steps"]["bands"] for part in band["parts"]):
            whole = 1 if part["repeat"] is None else len(part["repeat"]["times"])
            for one in (one.replace("\u00a0", " ") for one in part["joins"]):
                before, _, words = one.lower().rpartition(": ")
                times = whole if "each time" in before or whole == 1 else counted(before)
                on = strips if "every strip" in before else 1
                starts += on * times * facts.pieces * len(re.findall(r" at (?:line )?\d", f" {words}"))
                cuts += on * times * facts.pieces * len(re.findall(r" after (?:line )?\d", f" {words}"))
    runs = sum(amount.runs for amount in found.weft.values())
    assert (starts, cuts) == (runs, runs)


def counted(words: str) -> int:
    """How many times ``times 2–4 and 6`` are."""
    spans = re.findall(r"(\d+)(?:–(\d+))?", words.rpartition("time")[2])
    return sum(int(last or first) - int(first) + 1 for first, last in spans)


@pytest.mark.parametrize(
    "lines,times,expected",
    [
        (1, 1, ([1], 1)),
        (8, 1, ([6, 2], 1)),
        (2, 3, ([2, 2, 2], 1)),
        (60, 1, ([6, 4], 6)),
        (1000, 1, ([6, 6, 6, 6], 42)),
    ],
)
def test_every_line_has_its_cell(lines: int, times: int, expected: tuple[list[int], int]) -> None:
    assert boxes(lines, times, 6) == expected


@pytest.mark.parametrize(
    "threading,sheds,words",
    [
        ([1, 2, 3, 2], [[1], [2], [3]], "in plain weave: raise 1+3 (shed 2), then raise 2, in turn"),
        ([1, 2, 3, 4, 3, 2], [[1], [2], [3], [4]], "in plain weave: raise 1+3, then raise 2+4, in turn"),
        ([1, 2, 3], [[1], [2], [3]], "in the sheds of the first line in turn"),
    ],
)
def test_a_scrap_heading_is_woven_in_plain_weave_where_the_threading_has_it(
    threading: list[int], sheds: list[list[int]], words: str
) -> None:
    piece = {
        **one_strip({"lines": [" ".join("o" for _ in sheds)]}),
        "weave": own_technique(max(threading), threading, sheds),
    }
    steps = made({**piece, "yarns": DEMO_YARNS}).data["sections"][0]["steps"]
    assert any(words in said(one) for one in steps["before"])


@pytest.mark.parametrize("lines,why", [(["o o s", "s o - back"], True), (["o o s", "o - s"], False)])
def test_a_pick_left_out_is_explained_only_where_the_reason_is_true(lines: list[str], why: bool) -> None:
    words = made({**one_strip({"lines": lines}), "yarns": DEMO_YARNS}).data["reading"]["words"]
    (no_pick,) = [one["says"] for one in words if one["word"] == "–"]
    assert ("since it was thrown last" in no_pick) is why
    assert "share of picks" in no_pick
