"""The document before it is set: what its pages say of the piece, its yarns and its findings, as plain data."""

import json
import re

import pytest

from tests.pieces import PIECES, TWO_STRAPS, named, one_strip, own_technique, read
from tests.sheets.documents import DEMO_YARNS, made, pad, said
from weftline.core.plan.plan import plan
from weftline.sheets.document import document
from weftline.sheets.paper import PAPERS


@pytest.mark.parametrize("name", PIECES)
def test_the_document_is_plain_data_with_every_picture_that_it_names(name: str) -> None:
    found = document(plan(named(name)), PAPERS["letter"], "imperial")
    text = json.dumps(found.data)
    assert json.loads(text) == found.data
    names = [f'"{file}"' for file in found.files if file not in {"example.svg"}]
    assert [file for file in names if file not in text] == []


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


def test_strips_have_their_own_sizes_and_together_one_weight() -> None:
    data = made(TWO_STRAPS).data
    assert " each " in said(data["cover"]["sentences"][-2])
    rows = data["sizes"][-1]["rows"]
    assert [said(size) for size in rows[2]["sizes"][2:]] == ["–", "–"]
    assert "both strips together" in said(data["sizes"][-1]["weight"]) or "not known" in said(
        data["sizes"][-1]["weight"]
    )


def test_only_words_that_the_piece_needs_are_explained() -> None:
    plain = [
        one["word"] for one in made({**one_strip({"lines": ["o o s"]}), "yarns": DEMO_YARNS}).data["reading"]["words"]
    ]
    assert "2 o" in plain
    assert {"–", "Last shed first"}.isdisjoint(plain)
    assert {"–", "Last shed first"} <= {one["word"] for one in made(pad()).data["reading"]["words"]}


def test_the_cover_says_what_the_weave_is_and_how_many_picks_a_line_has() -> None:
    piece = one_strip({"lines": ["o o s", "- s s"]}, {"name": "Hem", "sheds": [[2], [1, 3]], "lines": ["o o *4"]})
    cover = made({**piece, "yarns": DEMO_YARNS, "warp": {"edge": "floating"}}).data["cover"]
    assert said(cover["sentences"][-1]).startswith(
        "Krokbragd is a weft-faced weave on three shafts, threaded 1 2 3 2 again"
    )
    assert "and 2 floating ends in 6 lines." in said(cover["sentences"][0])
    assert "13 picks (3 a line, but 4 lines have 2 and 1 line leaves one out)" in said(cover["facts"][-1]["says"])


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
