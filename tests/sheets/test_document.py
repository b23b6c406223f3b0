"""The document before it is set: what each page says, as plain data."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.pieces import PIECES, TWO_STRAPS, named, one_strip, own_technique, read
from weftline.core.plan.plan import plan
from weftline.formats.native import loads
from weftline.sheets.document import Document, document
from weftline.sheets.paper import PAPERS
from weftline.sheets.rows import boxes

DEMOS = Path(__file__).parents[2] / "examples"

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


@pytest.mark.parametrize(
    "keys,face,loom",
    [
        ({}, "Woven face up", "Any loom, rising shed (the piece does not say; a rising shed is taken)"),
        ({"loom": {"kind": "table", "shed": "rising", "shafts": 8}}, "Woven face up", "Table loom with 8 shafts, rising"),
        ({"loom": {"kind": "countermarch", "shed": "sinking", "treadles": 6}}, "Woven face up",
         "Every treadle is tied to every shaft used, 3 here: to sink those under “down”, to raise those under “up”."),
        ({"loom": {"kind": "countermarch", "shed": "sinking", "treadles": 2}}, "Woven face up", "two treadles cannot be pressed"),
        ({"loom": {"kind": "counterbalance", "shed": "sinking", "treadles": 6}}, "Woven face up", "the others rise against them"),
        ({"loom": {"kind": "table", "shed": "rising", "treadles": 0}}, "Woven face up", "It has levers, no treadles"),
        ({"loom": {"kind": "floor", "shed": "rising", "treadles": 2}}, "Woven face up", "press several together"),
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
        "To centre it, put the first end on a shaft 7.7 cm left of the middle of the reed. On the loom that this was planned "
        "for, 60 cm wide, that is dent 54 of 144."
    )
    assert (said(spread["across"]), spread["strips"][0]["dents"]) == ("15.4 cm", "37 dents")
    assert [(row["what"], row["dents"], row["where"]) for row in spread["rows"]] == [
        ("Strip 1, ends 1–37", "37 dents", "dents 54–90")
    ]


def straps(gap_cm: float, **keys: Any) -> list[dict[str, Any]]:
    """The list of the reed for two straps of 41 ends with a gap, woven after a sling of 85 ends."""
    bands = [{"lines": ["o o s"]}]
    pair = [
        {"name": "Left", "ends": 41, "gap_after_cm": gap_cm, "idle_after": 3, "bands": bands},
        {"name": "Right", "ends": 41, "bands": bands},
    ]
    sections = [{"name": "Sling", "strips": [{"ends": 85, "bands": bands}]}, {"name": "Straps", "strips": pair}]
    loom = {"reed_dents_per_10cm": 26, "weaving_width_cm": 70}
    warp = {"sett_per_cm": 2.6, "ends": 85, "edge": "floating"}
    piece = {"weftline": 1, "yarns": DEMO_YARNS, "warp": warp, "loom": loom, "sections": sections, **keys}
    return [made(piece).data["dressing"]["reed"]["spreads"][-1], made(piece).data["sections"][-1]["steps"]["change"]]


def test_every_dent_is_told_and_the_whole_is_the_sum_of_its_parts() -> None:
    spread, _ = straps(4)
    assert [(row["what"], row["dents"], row["where"]) for row in spread["rows"]] == [
        ("floating end", "1 dent", "dent 45"),
        ("Left, ends 1–41", "41 dents", "dents 46–86"),
        ("floating end", "1 dent", "dent 87"),
        ("left empty; gap with its floating ends", "8 dents", "dents 88–95"),
        ("floating end", "1 dent", "dent 96"),
        ("Right, ends 45–85", "41 dents", "dents 97–137"),
        ("floating end", "1 dent", "dent 138"),
    ]
    assert "that is dent 46 of 182." in said(spread["start"])
    assert (said(spread["rows"][1]["width"]), said(spread["across"])) == ("15.8 cm", "35.6 cm")


def test_strips_without_a_gap_have_their_floating_ends_in_their_outer_dents() -> None:
    rows = straps(0)[0]["rows"]
    assert [row["dents"] for row in rows] == [
        "1 dent", "41 dents", "in the strip’s outer dent", "in the strip’s outer dent", "41 dents", "1 dent",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "gap_cm,words",
    [(4, "stand 3 dents apart, 1.2 cm: if your shuttles can do"), (1.2, "The strips lie right already")],
)
def test_the_change_from_section_to_section_can_be_followed(gap_cm: float, words: str) -> None:
    change = straps(gap_cm)[1]
    steps = [said(step) for step in change["steps"]]
    assert change["heading"] == "From Sling to Straps"
    assert "in front of the reed" in steps[0]
    assert "through Finishing, from step 3 on" in steps[0]
    assert "between reed and heddles" in steps[1]
    assert words in steps[2]
    assert "2 floating ends that waited" in steps[3]
    assert "Ends 42–44 are not woven" in steps[3]
    assert "between pieces and the" in steps[4]


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
    assert packs[0] == ["the author had 900 g: enough"]
    assert packs[1][0] == "the author had 0.5 g: too little"
    assert re.fullmatch(r"buy \d+ packs? of 1 g", packs[1][1])
    assert re.fullmatch(r"get \d+ g more", packs[2][1])
    assert re.fullmatch(r"get \d+ m", packs[3][0])
    assert [(row["key"], row["strands"]) for row in rows["warp"]] == [("o", "one strand")]
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
    assert section["charts"][0]["shafts"][0] == [str(shaft) for shaft in range(1, 9)]
    assert section["steps"]["bands"][0]["layout"] == "down"


def test_chart_columns_break_between_lines_and_say_that_they_go_on() -> None:
    lines = [f"{a} {b} {c}" for a in ("o", "s", "o+s", "s+s") for b in "os" for c in ("o", "s", "o+s", "s+s", "o+o")]
    piece = one_strip({"name": "First", "lines": lines[:20]}, {"name": "Second", "lines": [*lines, *lines[::-1]]})
    chart = made({**piece, "yarns": DEMO_YARNS}).data["sections"][0]["charts"][0]
    columns = [column for page in chart["pages"] for column in page]
    numbers = [line["number"] for column in columns for line in column["lines"]]
    assert numbers == list(range(1, numbers[-1] + 1))
    continued = [(name["text"], name["detail"], column) for column in columns for name in column["names"]]
    assert any(text == "Second, continued" for text, _, _ in continued)
    for _, detail, column in continued:  # the label tells the lines that stand beside it
        first = int(detail.split()[1].split("–")[0])
        assert first in [line["number"] for line in column["lines"]]
    assert min(len(column["lines"]) for column in columns) >= 2
    assert all(column["height_mm"] <= chart["room_mm"] for column in columns)


def test_the_cautions_stand_at_their_steps() -> None:
    found = plan(read(pad()))
    cautions = document(found, PAPERS["a4"], "metric").data["cautions"]
    assert {step: len(said) for step, said in cautions.items()} == {
        step: sum(one.step == step for one in found.cautions) for step in ("dress", "weave", "finish", "use")
    }
    assert all(caution.endswith(".") for found in cautions.values() for caution in found)


def just_enough(on_hand: float) -> list[str]:
    """What is said of one yarn of which so much is on hand."""
    piece = {**one_strip({"lines": ["o o o"], "times": 20}), "yarns": {"o": {"size": "Nm 6/2", "on_hand_g": on_hand}}}
    return [said(pack) for pack in made(piece).data["materials"]["weft"][0]["packs"]]


def test_little_left_over_is_no_plain_enough() -> None:
    piece = {**one_strip({"lines": ["o o o"], "times": 20}), "yarns": {"o": {"size": "Nm 6/2"}}}
    mass = plan(read(piece)).yarns["o"].mass_g
    assert mass is not None
    assert "just enough" in just_enough(mass.value * 1.04)[0]
    assert just_enough(mass.value * 1.06)[0].endswith(": enough")
    assert just_enough(mass.value * 0.99)[0].endswith(": too little")


def test_sums_are_those_of_the_printed_parts() -> None:
    piece = pad(yarns={"o": {"size": "Nm 6/2", "strands": 2}, "s": {"size": "Nm 6/2"}}, warp={"yarn": "o"})
    data = made(piece).data
    weft = next(one for one in data["cover"]["facts"] if one["what"] == "Weft")
    parts = [int(said(row["mass"]).split()[0]) for row in data["materials"]["weft"]]
    assert said(weft["says"]).startswith(f"{sum(parts)} g")


def test_common_reeds_are_offered_where_the_sley_is_not_whole() -> None:
    unusual = made(pad(loom={"reed_dents_per_10cm": 24}, warp={"sett_per_cm": 2.4})).data["dressing"]["reed"]["others"]
    assert [(one["reed"], one["off"]) for one in unusual] == [
        ("20 dents per 10 cm", "as planned"), ("25 dents per 10 cm", "4.2 % closer"), ("30 dents per 10 cm", "as planned"),
    ]  # fmt: skip
    plain = pad(loom={"reed_dents_per_10cm": 30}, warp={"sett_per_cm": 3})
    assert made(plain).data["dressing"]["reed"]["others"] == []
    assert len(made(plain, "letter", "imperial").data["dressing"]["reed"]["others"]) == 3


def test_strips_have_their_own_sizes_and_together_one_weight() -> None:
    data = made(TWO_STRAPS).data
    assert " each " in said(data["cover"]["sentences"][-2])
    rows = data["sizes"][-1]["rows"]
    assert [said(size) for size in rows[2]["sizes"][2:]] == ["–", "–"]
    assert "both strips together" in said(data["sizes"][-1]["weight"]) or "not known" in said(
        data["sizes"][-1]["weight"]
    )


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


def test_only_words_that_the_piece_needs_are_explained() -> None:
    plain = [
        one["word"] for one in made({**one_strip({"lines": ["o o s"]}), "yarns": DEMO_YARNS}).data["reading"]["words"]
    ]
    assert "2 o" in plain
    assert {"–", "Last shed first"}.isdisjoint(plain)
    assert {"–", "Last shed first"} <= {one["word"] for one in made(pad()).data["reading"]["words"]}


def test_pieces_that_share_a_warp_are_told_what_waits_and_when_to_sley_again() -> None:
    data = made({**TWO_STRAPS, "warp": {**TWO_STRAPS.get("warp", {}), "edge": "floating"}}).data
    if len(data["sections"]) > 1:
        words = " ".join(said(one) for one in data["dressing"]["between_sections"])
        assert "of the 4 floating ends" in words
        assert "counts the loom waste once" in words
        assert data["sections"][-1]["steps"]["change"]["steps"]
        assert any("come off one after another" in said(step) for step in data["finishing"])


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


def test_the_cover_says_what_the_weave_is_and_how_many_picks_a_line_has() -> None:
    piece = one_strip({"lines": ["o o s", "- s s"]}, {"name": "Hem", "sheds": [[2], [1, 3]], "lines": ["o o *4"]})
    cover = made({**piece, "yarns": DEMO_YARNS, "warp": {"edge": "floating"}}).data["cover"]
    assert said(cover["sentences"][-1]).startswith(
        "Krokbragd is a weft-faced weave on three shafts, threaded 1 2 3 2 again"
    )
    assert "and 2 floating ends in 6 lines." in said(cover["sentences"][0])
    assert "13 picks (3 a line, but 4 lines have 2 and 1 line leaves one out)" in said(cover["facts"][-1]["says"])


@pytest.mark.parametrize("lines,why", [(["o o s", "s o - back"], True), (["o o s", "o - s"], False)])
def test_a_pick_left_out_is_explained_only_where_the_reason_is_true(lines: list[str], why: bool) -> None:
    words = made({**one_strip({"lines": lines}), "yarns": DEMO_YARNS}).data["reading"]["words"]
    (no_pick,) = [one["says"] for one in words if one["word"] == "–"]
    assert ("since it was thrown last" in no_pick) is why
    assert "share of picks" in no_pick


def test_a_sample_has_lines_enough() -> None:
    lines = [f"{a} {b} {c}" for a in "os" for b in "os" for c in "os"]
    piece = {
        **one_strip({"name": "Low", "lines": lines[:3]}, {"name": "On", "lines": lines}),
        "beat": {"lines_per_cm": 2},
    }
    cloth = made({**piece, "yarns": DEMO_YARNS}).data["cloth"]
    assert any("lines 1–10 (Low and on)" in said(one["says"]) for one in cloth if one["word"] == "The sample")
    short = made(
        {**one_strip({"name": "Low", "lines": lines[:3]}), "yarns": DEMO_YARNS, "beat": {"lines_per_cm": 2}}
    ).data
    assert any("(Low), 4 times one after another" in said(one["says"]) for one in short["cloth"])


def test_finishing_names_both_edges_and_what_they_need() -> None:
    steps = [said(one) for one in made(pad(allowances={"heading_cm": 3, "fringe_each_end_cm": 15})).data["finishing"]]
    assert any("For a fringe" in one and "there are 18 cm" in one and "For a hem" in one for one in steps)
    assert any("with 15 cm of warp beyond each scrap heading" in one for one in steps)


def test_what_is_needed_besides_yarn_stands_in_one_list() -> None:
    needs = made(pad(warp={"edge": "floating", "sett_per_cm": 2.4}, loom={"reed_dents_per_10cm": 24})).data[
        "materials"
    ]["needs"]
    said_of = {one["word"]: said(one["says"]) for one in needs}
    assert said_of["Loom"].startswith("3 shafts, 3 treadles")
    assert said_of["Reed"].startswith("24 dents per 10 cm")
    assert "2 weights for the floating ends" in said_of["Small things"]
