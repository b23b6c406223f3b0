"""The document before it is set: what each page says, as plain data."""

import json
from typing import Any

import pytest

from tests.pieces import PIECES, TWO_STRAPS, named, one_strip, own_technique, read
from weftline.core.plan.plan import plan
from weftline.sheets.document import Document, document
from weftline.sheets.paper import PAPERS

DEMO_YARNS = {"o": {"name": "Oat", "size": "Nm 6/2", "strands": 2}, "s": {"name": "Slate", "size": "Nm 6/2"}}


def made(piece: dict[str, Any], paper: str = "a4", units: str = "metric") -> Document:
    """The document of a piece."""
    return document(plan(read(piece)), PAPERS[paper], units)


def pad(**keys: Any) -> dict[str, Any]:
    """A pad of 37 ends with the keys of a warp and loom of its own."""
    lines = {"name": "Ground", "lines": ["o o s *3", "- s s", "s o o back"], "times": 4}
    piece = one_strip(lines)
    return {**piece, "yarns": DEMO_YARNS, **keys}


def said(rich: Any) -> str:
    """A sentence with its figures, as it reads."""
    if isinstance(rich, str):
        return rich
    if isinstance(rich, dict):
        return str(rich["text"])
    return "".join(said(part) for part in rich)


@pytest.mark.parametrize("name", PIECES)
def test_the_document_is_plain_data_with_every_picture_that_it_names(name: str) -> None:
    found = document(plan(named(name)), PAPERS["letter"], "imperial")
    text = json.dumps(found.data)
    assert json.loads(text) == found.data
    names = [f'"{file}"' for file in found.files if file not in {"example.svg"}]
    assert [file for file in names if file not in text] == []


def test_a_line_with_its_picks_in_the_order_thrown() -> None:
    band = made(pad()).data["sections"][0]["steps"]["bands"][0]
    (part,) = band["parts"]
    assert [(row["number"], row["count"], row["note"], row["boxes"]) for row in part["rows"]] == [
        ("1–3", "three times", "", 4), ("4", "", "incomplete", 4), ("5", "", "back", 4),
    ]  # fmt: skip
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
    assert len(straps["charts"]) == len(straps["steps"]["strips"]) == 2
    for band in straps["steps"]["bands"]:
        assert band["layout"] == "down"
        assert {len(cell["yarns"]) for part in band["parts"] for row in part["rows"] for cell in row["cells"]} == {2}
    assert "Use each shed on every strip" in said(straps["steps"]["before"][-1])


def test_sheds_of_bands_are_numbered_after_those_of_the_technique() -> None:
    piece = one_strip({"lines": ["o o o"]}, {"sheds": [[2], [1, 3]], "lines": ["o o"]})
    sheds = made(piece).data["dressing"]["sheds"]
    assert [(row["number"], row["covers"], row["lift"], row["moves"]) for row in sheds["rows"]] == [
        ("1", "shaft 1", "raise 2+3", [False, True, True]),
        ("2", "shaft 2", "raise 1+3", [True, False, True]),
        ("3", "shaft 3", "raise 1+2", [True, True, False]),
        ("4", "shafts 1+3", "raise 2", [False, True, False]),
    ]


@pytest.mark.parametrize(
    "keys,face,loom",
    [
        ({}, "Woven face up", "Any loom, rising shed (the piece does not say; a rising shed is taken)"),
        ({"loom": {"kind": "table", "shed": "rising", "shafts": 8}}, "Woven face up", "Table loom with 8 shafts, rising"),
        ({"loom": {"kind": "countermarch", "shed": "sinking", "treadles": 6}}, "Woven face up",
         "Countermarch loom, sinking shed: the shafts named after “lower” sink"),
        ({"loom": {"kind": "frame", "shed": "rising"}, "weave": {"face": "down"}}, "Woven face down", "pick-up stick"),
    ],
)  # fmt: skip
def test_the_loom_and_the_face_are_said(keys: dict[str, Any], face: str, loom: str) -> None:
    sheds = made(pad(**keys)).data["dressing"]["sheds"]
    assert sheds["face"].startswith(face)
    assert loom in sheds["loom"]


@pytest.mark.parametrize(
    "loom,warp,expected",
    [
        ({}, {}, "No reed is named."),
        ({"reed_dents_per_10cm": 24}, {"sett_per_cm": 2.4}, "Sley 1 end in every dent."),
        ({"reed_dents_per_10cm": 20}, {"sett_per_cm": 3}, "again and again: 2 1; that is 3 ends in 2 dents."),
        ({"reed_dents_per_10cm": 30}, {"sett_per_cm": 2.4}, "1 1 1 1 0 (0 is an empty dent)"),
        ({"reed_dents_per_10cm": 35}, {"sett_per_cm": 2.7},
         "This one comes to 2.62 ends per cm, more open by 2.8 %"),
        ({"reed_dents_per_10cm": 1000}, {"sett_per_cm": 0.1}, "Sley one end, then leave 999 dents empty"),
    ],
)  # fmt: skip
def test_the_sley_is_exact_or_says_how_far_off(loom: dict[str, Any], warp: dict[str, Any], expected: str) -> None:
    reed = made(pad(loom=loom, warp=warp)).data["dressing"]["reed"]
    assert expected in " ".join(said(one) for one in reed["sentences"])


def test_the_warp_stands_in_the_middle_of_the_reed() -> None:
    loom = {"reed_dents_per_10cm": 24, "weaving_width_cm": 60}
    (spread,) = made(pad(loom=loom, warp={"sett_per_cm": 2.4})).data["dressing"]["reed"]["spreads"]
    assert said(spread["start"]) == (
        "To centre it, put the first end 7.7 cm left of the middle of the reed, which is 22.3 cm from the left end of "
        "the weaving width (in dent 54)."
    )
    assert (said(spread["across"]), spread["strips"][0]["dents"]) == ("15.4 cm", "37 dents")


@pytest.mark.parametrize(
    "edge,words,ends",
    [
        ("none", "No extra ends", "37 ends, all on shafts"),
        ("floating", "Floating edge: 1 extra end at each side", "37 ends on shafts + 2 floating = 39 ends"),
        (
            {"kind": "doubled", "ends": 2},
            "the 2 outermost ends go",
            "37 ends on shafts + 4 to double the edges = 41 ends",
        ),
        (
            {"kind": "doubled", "ends": 1},
            "its outermost end goes",
            "37 ends on shafts + 2 to double the edges = 39 ends",
        ),
    ],
)
def test_edges_are_counted_and_explained(edge: Any, words: str, ends: str) -> None:
    dressing = made(pad(warp={"edge": edge})).data["dressing"]
    assert words in dressing["threading"]["edge"]
    assert dressing["warp"]["ends"] == ends


def test_heddles_are_counted_for_every_shaft() -> None:
    heddles = made(pad()).data["dressing"]["threading"]["heddles"]
    assert [one["count"] for one in heddles] == ["10 heddles", "18 heddles", "9 heddles"]


def test_materials_say_what_is_needed_and_what_to_get() -> None:
    yarns = {
        "o": {"name": "Oat", "fibre": "wool", "size": "Nm 6/2", "lot": "7", "strands": 2, "pack": {"mass_g": 50},
              "on_hand_g": 900},
        "s": {"name": "Slate", "m_per_kg": 3000, "pack": {"mass_g": 1}, "on_hand_g": 0.5},
        "m": {"size": "Nm 6/2", "on_hand_g": 0.5},
        "k": {},
    }  # fmt: skip
    piece = one_strip({"lines": ["o s m", "k o o"], "times": 20})
    rows = made({**piece, "yarns": yarns, "warp": {"yarn": "o"}}).data["materials"]
    assert [(row["key"], row["mark"], row["strands"], row["lot"]) for row in rows["weft"]] == [
        ("o", "dot", "2 strands", "lot 7"), ("s", "block", "1 strand", ""), ("m", "ring", "1 strand", ""),
        ("k", "cross", "1 strand", ""),
    ]  # fmt: skip
    assert [said(row["size"]) for row in rows["weft"]] == [
        "wool, Nm 6/2, 333 tex", "3000 m per kg, 333 tex", "Nm 6/2, 333 tex", "number not known",
    ]  # fmt: skip
    packs = [[said(pack) for pack in row["packs"]] for row in rows["weft"]]
    assert packs[0][-1] == "enough on hand"
    assert packs[1][-1].startswith("buy ")
    assert packs[2][-1].startswith("get ")
    assert packs[3] == []
    assert [row["key"] for row in rows["warp"]] == ["o"]
    assert rows["weft"][0]["both"] is True


def test_findings_of_one_kind_stand_together_and_stops_come_first() -> None:
    piece = one_strip(*[{"name": f"Band {place}", "lines": ["o o s", "s o o back"]} for place in range(16)])
    cover = made({**piece, "yarns": DEMO_YARNS, "loom": {"weaving_width_cm": 5}}).data["cover"]
    assert cover["stops"] is True
    assert cover["findings"][0]["sign"] == "Stop"
    assert sum("more places" in one["more"] for one in cover["findings"]) == 1
    assert len(cover["findings"]) < 8


def test_many_yarns_have_marks_of_their_own() -> None:
    yarns = {f"y{place}": {"name": f"Yarn {place}"} for place in range(64)}
    piece = one_strip({"lines": [f"y{place} y{place} y{(place + 1) % 64}" for place in range(64)]})
    marks = made({**piece, "yarns": yarns}).data["materials"]["marks"]
    assert len(set(marks.values())) == 64
    assert marks["y12"] == "dot with a line under it"
    assert marks["y60"] == "dot with 5 lines under it"


def test_a_long_repeat_is_charted_by_shaft_and_many_sheds_go_down_the_page() -> None:
    technique = own_technique(8, [1, 2, 3, 4, 5, 6, 7, 8] * 4, [[1, 5], [2, 6], [3, 7], [4, 8], [1, 3]])
    piece = {**one_strip({"lines": ["o s o+s o s"]}, ends=64), "weave": technique}
    section = made({**piece, "yarns": DEMO_YARNS}).data["sections"][0]
    assert section["charts"][0]["shafts"] == [str(shaft) for shaft in range(1, 9)]
    assert section["steps"]["bands"][0]["layout"] == "down"


def test_chart_columns_break_between_lines_and_say_that_they_go_on() -> None:
    lines = [f"{a} {b} {c}" for a in ("o", "s", "o+s", "s+s") for b in "os" for c in ("o", "s", "o+s", "s+s", "o+o")]
    piece = one_strip({"name": "First", "lines": lines[:20]}, {"name": "Second", "lines": [*lines, *lines[::-1]]})
    chart = made({**piece, "yarns": DEMO_YARNS}).data["sections"][0]["charts"][0]
    columns = [column for page in chart["pages"] for column in page]
    numbers = [line["number"] for column in columns for line in column["lines"]]
    assert numbers == list(range(1, numbers[-1] + 1))
    assert columns[1]["names"][0]["text"] == "Second, continued"
    assert min(len(column["lines"]) for column in columns) >= 2
    assert all(column["height_mm"] <= chart["room_mm"] for column in columns)


def test_the_cautions_stand_at_their_steps() -> None:
    cautions = made(pad()).data["cautions"]
    assert {step: len(found) for step, found in cautions.items()} == {"dress": 1, "weave": 1, "finish": 2, "use": 3}
    assert all(caution.endswith(".") for found in cautions.values() for caution in found)
