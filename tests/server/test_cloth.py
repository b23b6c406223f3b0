"""A piece as data for the page that paints it, and the bakes that it is painted with."""

from __future__ import annotations

import json
import time
from typing import Any

import numpy as np
import pytest

import weftline
from tests.drawing.wool.woollen import random_lines, yarns
from tests.server.conftest import JSON, Bench
from weftline.core.piece.commands import Set
from weftline.core.piece.draft import path_to, tree_of
from weftline.server.demos import demo_projects
from weftline.server.desk import Hand, fresh_id


def cloth_of(bench: Bench, piece: str) -> dict[str, Any]:
    answer = bench.browser.get(f"/api/pieces/{piece}/cloth", headers=JSON)
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


@pytest.mark.parametrize("demo", demo_projects())
def test_the_data_say_what_the_piece_says(bench: Bench, demo: str) -> None:
    piece = bench.piece(demo)
    found, plan = cloth_of(bench, piece), bench.desk.plan(piece)
    sheet = bench.desk.sheet(piece, "any")
    assert found["seq"] == sheet.seq
    assert tree_of(found["tree"]) == sheet.draft
    assert [yarn["key"] for yarn in found["yarns"]] == list(plan.project.yarns)
    assert [yarn["strands"] for yarn in found["yarns"]] == [yarn.strands for yarn in plan.project.yarns.values()]
    assert [yarn["key"] for yarn in found["yarns"] if yarn["is_warp"]] == [
        key for key in (plan.project.warp.yarn,) if key is not None
    ]
    assert found["ground"] == plan.project.ground
    assert found["technique"]["threading"] == list(plan.cloth.technique.threading)
    assert (found["face"], found["edge"]["kind"]) == (plan.project.weave.face, bench_edge(found))
    assert found["line_mm"] == plan.settings.line_height_mm.value
    for section, cloth in zip(found["sections"], plan.cloth.sections, strict=True):
        assert [strip["ends"] for strip in section["strips"]] == [one.weaving.ends.tolist() for one in cloth.strips]
        assert [strip["name"] for strip in section["strips"]] == [one.name for one in cloth.strips]
        for strip in section["strips"]:
            path = path_to(sheet.draft, strip["node"])
            assert [node.id for node in path[1:]] == [section["node"], strip["node"]]
    assert [one["message"] for one in found["findings"]] == [one.message for one in plan.findings]


def bench_edge(found: dict[str, Any]) -> str:
    edge = found["tree"]["fields"].get("warp", {}).get("edge", "none")
    return str(edge["kind"] if isinstance(edge, dict) else edge)


def test_yarns_come_with_colour_and_mark(bench: Bench) -> None:
    piece = bench.piece()
    for yarn in cloth_of(bench, piece)["yarns"]:
        assert len(yarn["colour"]) == 7
        assert "currentColor" in yarn["drawing"]
        assert "<svg" not in yarn["drawing"]


def test_a_finding_leads_to_its_band_and_line(bench: Bench) -> None:
    piece = bench.piece("kneeling-pad")
    draft = bench.desk.sheet(piece, "any").draft
    band = draft.children[0].children[0].children[-1]
    for field, value in (("mirror", "picks"), ("middle", "double")):
        hand = Hand("maker", fresh_id(), bench.desk.sheet(piece, "any").seq)
        bench.desk.change(piece, Set(node=band.id, field=field, value=value), hand)
    found = cloth_of(bench, piece)
    same = [one for one in found["findings"] if one["code"] == "same-shed" and band.id in one["nodes"]]
    assert same
    plan = bench.desk.plan(piece)
    picks = plan.cloth.sections[0].strips[0].weaving.picks
    for one in same:
        where = one["where"]
        assert (where["section"], where["strip"]) == (0, 0)
        written = int(picks.written[picks.line == where["line"] - 1][0])
        assert one["nodes"] == [band.id, band.children[written].id]


def test_a_bare_warp_has_no_lines_and_says_so(bench: Bench) -> None:
    _, href = bench.send("/pieces/bare-warp")
    found = cloth_of(bench, href.split("/")[2])
    (strip,) = found["sections"][0]["strips"]
    assert len(strip["ends"]) == 33
    (bare,) = [one for one in found["findings"] if one["code"] == "bare-warp"]
    assert (bare["where"]["strip"], bare["nodes"]) == (0, [])


def test_a_change_comes_with_its_undo(bench: Bench) -> None:
    piece = bench.piece()
    before = cloth_of(bench, piece)
    line = before["tree"]["children"][0]["children"][0]["children"][0]["children"][0]
    bench.send(f"/pieces/{piece}/lines/{line['id']}", before["seq"], text=f"{line['fields']['text'].split('*')[0]} *7")
    after = cloth_of(bench, piece)
    assert (before["undo"], after["seq"]) == (None, before["seq"] + 1)
    assert after["undo"]
    assert after["redo"] is None


def test_a_piece_that_is_not_there_says_so(bench: Bench) -> None:
    answer = bench.browser.get("/api/pieces/nothing/cloth", headers=JSON)
    assert answer.status_code == 404
    assert "nothing" in answer.json()["detail"]


# --- bakes ---


def ask(bench: Bench, piece: str, seq: int = 1, **wish: Any) -> Any:
    params = {"seq": seq, "ends": 21, "line_px": 24, "bands": "0-40", **wish}
    return bench.browser.get(f"/api/pieces/{piece}/bakes", params=params, headers=JSON)


def header_of(data: bytes) -> dict[str, Any]:
    assert data[:8] == b"WLBAKE1\0"
    found: dict[str, Any] = json.loads(data[12 : 12 + int.from_bytes(data[8:12], "little")])
    return found


def test_bakes_are_answered_once_and_for_all(bench: Bench) -> None:
    piece = bench.piece()
    answer = ask(bench, piece)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/octet-stream")
    assert answer.headers["content-encoding"] == "gzip"
    assert "immutable" in answer.headers["cache-control"]
    header = header_of(answer.content)
    assert [band for band, *_ in header["bands"]] == list(range(41))
    assert header["picks"] == len(bench.desk.plan(piece).cloth.sections[0].strips[0].weaving.picks)
    plain = bench.browser.get(answer.request.url, headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.content == answer.content
    again = bench.browser.get(answer.request.url, headers={"if-none-match": answer.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert ask(bench, piece, back=1).headers["etag"] != answer.headers["etag"]


def test_an_entry_before_the_last_is_still_answered(bench: Bench) -> None:
    piece = bench.piece()
    line = cloth_of(bench, piece)["tree"]["children"][0]["children"][0]["children"][0]["children"][0]
    picks = header_of(ask(bench, piece).content)["picks"]
    bench.send(f"/pieces/{piece}/lines/{line['id']}", 1, text=f"{line['fields']['text'].split('*')[0]} *9")
    assert header_of(ask(bench, piece, 2).content)["picks"] > picks
    assert header_of(ask(bench, piece, 1, line_px=25).content)["picks"] == picks


def test_bakes_come_for_every_demo_strip_and_side(bench: Bench) -> None:
    for demo in demo_projects():
        piece = bench.piece(demo)
        for number, section in enumerate(cloth_of(bench, piece)["sections"]):
            for strip, one in enumerate(section["strips"]):
                wish: dict[str, Any] = {
                    "section": number,
                    "strip": strip,
                    "ends": min(33, len(one["ends"])),
                    "bands": "0-3,9",
                }
                for back in (0, 1):
                    answer = ask(bench, piece, back=back, line_px=12, **wish)
                    assert answer.status_code == 200, (demo, answer.text)
                    header = header_of(answer.content)
                    assert header["width"] == round(wish["ends"] * header["column_px"])


def test_a_bare_strip_is_drawn_as_stock(bench: Bench) -> None:
    _, href = bench.send("/pieces/bare-warp")
    piece = href.split("/")[2]
    answer = ask(bench, piece)
    assert answer.status_code == 404
    assert "stock" in answer.json()["detail"]
    header = header_of(ask(bench, piece, stock=1, bands="0-73").content)
    assert (header["picks"], len(header["sheds"]), header["lines"][-1]) == (72, 72, 23)


@pytest.mark.parametrize(
    "wish,says",
    [
        ({"bands": "a"}, "0-40,77-90"),
        ({"bands": ""}, "0-40,77-90"),
        ({"bands": "9-4"}, "rising"),
        ({"bands": "0-600"}, "at most 600"),
        ({"bands": "0-400,500-800"}, "at most 600"),
        ({"bands": "0-9999999"}, "at most 600"),
        ({"bands": "999999"}, "no band 999999"),
        ({"ends": 0}, "1 to"),
        ({"ends": 601}, "1 to"),
        ({"line_px": 0.5}, "1 to 200 pixels"),
        ({"line_px": 201}, "1 to 200 pixels"),
        ({"line_px": "nan"}, "1 to 200 pixels"),
        ({"line_px": "tall"}, "line_px"),
        ({"section": 9}, "no section 9"),
        ({"strip": 9}, "no strip 9"),
        ({"seq": 99}, "no entry 99"),
        ({"seq": 0}, "seq"),
        ({"bands": "0-389", "line_px": 200, "ends": 61}, "million pixels"),
    ],
)
def test_what_cannot_be_baked_is_said_in_a_sentence(bench: Bench, wish: dict[str, Any], says: str) -> None:
    answer = ask(bench, bench.piece(), **wish)
    assert answer.status_code in (404, 422)
    assert answer.headers["content-type"] == "application/problem+json"
    assert says in answer.json()["detail"]


IRREGULAR = 3000


def long_piece(bench: Bench, count: int, *, regular: bool) -> str:
    """A piece 700 px wide at 24 px a line."""
    lines = random_lines(np.random.default_rng(1), count, 3, regular=regular)
    piece = {"weftline": 1, "yarns": yarns(), "sections": [{"strips": [{"ends": 21, "bands": [{"lines": lines}]}]}]}
    return bench.desk.create(weftline.loads(json.dumps(piece)), Hand("maker", fresh_id(), 0))


@pytest.mark.parametrize("back", [0, 1], ids=["face", "back"])
@pytest.mark.parametrize("count,regular", [(48, True), (IRREGULAR, False)], ids=["regular", "irregular"])
def test_an_answer_is_small_and_its_time_is_told(bench: Bench, count: int, regular: bool, back: int) -> None:
    piece = long_piece(bench, count, regular=regular)
    ask(bench, bench.piece(), back=back, bands="3")  # what is seen at this scale, counted once
    for bands in ("0-119", "0-119", "130-141"):
        start = time.perf_counter()
        answer = ask(bench, piece, bands=bands, back=back)
        took, size = time.perf_counter() - start, int(answer.headers["content-length"])
        print(f"{count} lines, bands {bands}: {1000 * took:.0f} ms, {size / 1000:.0f} kB")
        assert answer.status_code == 200
        if regular:
            assert size < 250_000


def test_memory_is_bounded_and_answers_stay_the_same(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    piece = bench.piece()
    first = ask(bench, piece).content
    monkeypatch.setattr("weftline.server.baking.PIXELS_KEPT", 1)
    assert ask(bench, piece, bands="50-60").status_code == 200
    (tiles,) = bench.app.state.bakery._tiles.kept.values()
    assert tiles.kept < 41 * 8 * tiles.tiles[0].panel.width
    assert ask(bench, piece).content == first
