"""The Weave page: signs of every kind of loom, sides of shuttles, the arc, the fell's rows, and throws as the page reckons them."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from math import hypot
from typing import Any

import pytest

from tests.frontend.scripts import told
from tests.server.conftest import HTML, JSON, Bench
from weftline.core.piece.draft import tree_data
from weftline.core.piece.values import Project
from weftline.core.plan.plan import plan as plan_of
from weftline.core.weave.technique import shed_mask
from weftline.server.demos import demo_projects
from weftline.server.desk import Hand, fresh_id
from weftline.server.pages.weave import Arc, arc_words
from weftline.server.pages.weave_signs import signs

BAND = {"name": "Teeth", "lines": ["o o o *2", "s o o *2", "s+m o o"]}


def hung(bench: Bench, **more: Any) -> str:
    """Hang up a small piece; its id."""
    data = {
        "weftline": 1, "name": "Trial", "ground": "o",
        "yarns": {"o": {"name": "Oat", "colour": "#e8dfc8"}, "s": {"name": "Slate", "colour": "#33455a"}, "m": {"colour": "#a8382c"}},
        "sections": [{"strips": [{"ends": 17, "bands": [BAND]}]}],
    }  # fmt: skip
    return bench.desk.create(Project.model_validate({**data, **more}), Hand("maker", fresh_id(), 0))


def page(bench: Bench, piece: str) -> str:
    return bench.browser.get(f"/pieces/{piece}/weave", headers=HTML).text


def text_of(found: str, name: str) -> str:
    """The words in an element."""
    within = re.search(rf'id="{name}"[^>]*>(.*?)</(?:h1|h2|p|b)>', found, re.DOTALL)
    assert within is not None, name
    return " ".join(re.sub(r"<[^>]*>", " ", within[1]).split())


@pytest.mark.parametrize(
    "loom,figures,solid,words",
    [
        ({}, ["1", "2", "3"], 1, "2 and 3 rise"),
        ({"kind": "countermarch", "shed": "sinking"}, ["1", "2", "3"], 1, "1 sinks"),
        ({"kind": "table", "shed": "rising"}, ["2+3", "1+3", "1+2"], 2, "2 and 3 rise"),
        ({"kind": "rigid heddle", "shed": "sinking"}, ["1", "2", "3"], 1, "1 sinks"),
    ],
)
def test_each_loom_has_its_own_sign(loom: dict[str, str], figures: list[str], solid: int, words: str) -> None:
    data = {"weftline": 1, "yarns": {"o": {}}, "ground": "o", "loom": loom, "sections": [{"strips": [{"ends": 9}]}]}
    found = list(signs(plan_of(Project.model_validate(data)).cloth).values())
    assert [one.figure for one in found] == figures
    assert [one.drawing.count('"full"') for one in found] == [solid] * 3
    assert len({one.drawing for one in found}) == 3
    assert found[0].words == words


def test_the_next_pick_and_three_more_are_told(bench: Bench) -> None:
    piece = hung(bench)
    first = page(bench, piece)
    assert (text_of(first, "yarn"), text_of(first, "way")) == ("Oat", "from the left")
    assert (text_of(first, "line"), text_of(first, "figure")) == ("Line 1, pick 1 of 3", "1")
    bench.send(f"/pieces/{piece}/woven", throws=5)
    later = page(bench, piece)
    assert (text_of(later, "line"), text_of(later, "way")) == ("Line 2, pick 3 of 3", "from the right")
    assert re.findall(r'name="throws" value="(\d+)"', later) == ["4", "3", "6", "6"]  # a pick, a line; back and on
    then = re.findall(r"</span><b>(\d)</b>", later)
    assert then == ["1", "2", "3"]
    bench.send(f"/pieces/{piece}/woven", throws=12)
    wound = page(bench, piece)
    assert text_of(wound, "yarn") in ("Slate with Madder", "Slate with m", "m with Slate")
    assert text_of(wound, "way") == "from the left"  # a shuttle of its own


def test_edge_end_face_and_strips_are_said(bench: Bench) -> None:
    plain = page(bench, hung(bench))
    assert "over the edge end" not in plain
    assert 'id="fell-says" hidden' in plain
    assert '<ol class="turns" id="turns" aria-label="Strips, thrown in turn" hidden>' in plain
    strips = [{"name": name, "ends": 9, "bands": [BAND]} for name in ("Left", "Right")]
    piece = hung(bench, warp={"edge": "floating"}, weave={"face": "down"}, sections=[{"strips": strips}])
    bench.send(f"/pieces/{piece}/woven", throws=1)
    found = page(bench, piece)
    assert text_of(found, "way") == "from the left, over the edge end"
    assert 'id="fell-says">Woven face down' in found
    assert re.findall(r'<li( aria-current="step")?><span class="turn-name">(\w+)', found) == [
        ("", "Left"),
        (' aria-current="step"', "Right"),
    ]


def test_the_last_pick_leads_to_finishing_and_a_plan_that_was_left_is_followed_again(bench: Bench) -> None:
    piece = hung(bench)
    bench.send(f"/pieces/{piece}/woven", throws=10**6)
    assert "All 15 picks are woven" in page(bench, piece)
    other = hung(bench)
    bench.browser.post(f"/api/pieces/{other}/log", json={"entries": [{"id": "l", "kind": "left"}]})
    assert "Follow the plan again" in page(bench, other)


def test_the_arc_is_as_long_as_the_weft_and_follows_a_measured_width(bench: Bench) -> None:
    piece = hung(bench)
    before = text_of(page(bench, piece), "arc")
    entry = {"id": "m", "kind": "measured", "width_mm": 40.0}
    bench.browser.post(f"/api/pieces/{piece}/log", json={"entries": [entry]})
    after = text_of(page(bench, piece), "arc")
    high = [int(re.search(r"(\d+) mm high", one)[1]) for one in (before, after)]  # type: ignore[index]
    assert high[1] > high[0]
    for share, near in ((0.02, 0.001), (0.05, 0.0025), (0.15, 0.016)):  # a shallow arc is what the formula is for
        height = 900 / 3 * (3 * share / 8) ** 0.5
        rises = [4 * height * x * (1 - x) for x in (step / 4000 for step in range(4001))]
        length = sum(hypot(300 / 4000, b - a) for a, b in pairwise(rises))
        assert length * 3 / 900 == pytest.approx(1 + share, abs=near)
    arc = Arc(900.0, 0.15, 3, 900 / 3 * (3 * 0.15 / 8) ** 0.5, None)
    assert arc_words(arc, imperial=True) == "Lay the weft in 3 arcs, each 11.8 in wide and 2.8 in high."


def test_the_page_reckons_every_throw_as_the_plan_does(bench: Bench) -> None:
    ids = [bench.piece(demo) for demo in demo_projects()]
    strips = [{"ends": 9, "bands": [BAND]}, {"ends": 9, "bands": [{"lines": ["o o o *4", "- s -"]}]}]
    ids.append(hung(bench, sections=[{"pieces": 2, "strips": strips}, {"strips": [{"ends": 9, "bands": [BAND]}]}]))
    given, expected = [], []
    for piece in ids:
        plan, throws = bench.desk.plan(piece), bench.desk.weaving.throws(piece)
        given.append(
            {
                "tree": tree_data(bench.desk.sheet(piece, "x").draft),
                "facts": {
                    "sheds": list(plan.cloth.technique.shed_masks()),
                    "strands": {key: yarn.strands for key, yarn in plan.project.yarns.items()},
                    "lineMm": plan.settings.line_height_mm.value,
                    "shafts": plan.cloth.technique.shafts,
                },
                "pieces": [section.written.pieces for section in plan.cloth.sections],
            }
        )
        every = throws.coming(1, throws.total)
        expected.append(
            [
                [one.section, one.piece, one.strip, one.index, one.line, one.pick, shed_mask(one.shed), [list(s) for s in one.strands]]
                for one in every
            ]
        )  # fmt: skip
    found = told("weave_batch.js", given)
    for one, own in zip(found, expected, strict=True):
        assert next((pair for pair in zip(one, own, strict=True) if pair[0][:8] != pair[1]), None) is None
        assert one[-1][8] == 0
        assert one[-1][9] > 0
        assert all(low[9] >= high[9] for low, high in pairwise(one))


def test_facts_tell_what_can_be_taken_back(bench: Bench) -> None:
    piece = hung(bench)
    bench.send(f"/pieces/{piece}/woven", throws=4)
    found = bench.browser.get(f"/pieces/{piece}/weave/facts", headers=JSON).json()
    assert (found["ordinal"], found["count"], found["weaves_here"], found["left"]) == (5, 4, True, False)
    assert [(one["before"], one["plan"], one["shed"]) for one in found["recent"]] == [
        (1, 1, 1),
        (2, 2, 2),
        (3, 3, 4),
        (4, 4, 1),
    ]
    assert found["passes"] == {found["recent"][0]["strip"]: []}
    other = bench.another_browser().get(f"/pieces/{piece}/weave/facts", headers=JSON).json()
    assert other["weaves_here"] is False


def test_the_fell_comes_as_rows_without_colour(bench: Bench) -> None:
    piece = hung(bench)
    about = "line_px=24&sheds=1.2.4.1&lines=3.1&wound=0.0.0.0"
    answer = bench.browser.get(f"/pieces/{piece}/weave/fell?{about}")
    assert answer.content[:7] == b"WLBAKE1"
    header = json.loads(answer.content[12 : 12 + int.from_bytes(answer.content[8:12], "little")])
    assert [band[0] for band in header["bands"]] == [0, 1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    "about,says",
    [
        ("line_px=24&sheds=1.2&lines=3&wound=0.0", "a fell has 1 to 60 picks, each with its shuttle and in a line"),
        ("line_px=24&sheds=1.2&lines=2&wound=0", "a fell has 1 to 60 picks, each with its shuttle and in a line"),
        ("line_px=900&sheds=1&lines=1&wound=0", "a line is 1 to 200 pixels high, not 900"),
        ("line_px=24&sheds=99999&lines=1&wound=0", "a shed is a number up to 65535, not 99999"),
        ("line_px=24&sheds=1&lines=1&wound=0&strip=4", "there is no strip 4 in section 0; they are counted from 0"),
    ],
)
def test_a_fell_that_cannot_be_is_refused_in_one_sentence(bench: Bench, about: str, says: str) -> None:
    answer = bench.browser.get(f"/pieces/{hung(bench)}/weave/fell?{about}", headers=JSON)
    assert 400 <= answer.status_code < 500
    assert says in answer.json()["detail"].lower() or says in answer.json()["detail"]


def test_a_yarn_is_drawn_large(bench: Bench) -> None:
    answer = bench.browser.get("/weave/yarns/a8382c.webp")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/webp")
    assert bench.browser.get("/weave/yarns/nothing.webp").status_code in (404, 422)
