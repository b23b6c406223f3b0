"""Samples: one number is enough, it is kept on the shelf and in the piece, and every forecast follows it."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

import pytest

from tests.server.conftest import HTML
from weftline.formats.native import loads

if TYPE_CHECKING:
    from tests.server.conftest import Bench


def page_of(bench: Bench, path: str) -> str:
    answer = bench.browser.get(path, headers=HTML)
    assert answer.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def foretold(bench: Bench, piece: str, what: str, query: str = "") -> tuple[float, float]:
    """Return the two ends of a figure that is foretold on the Sample page."""
    text = page_of(bench, f"/pieces/{piece}/sample{query}").split("What this cloth will be", 1)[1]
    found = re.search(rf"{re.escape(what)} .*?([\d.]+)–([\d.]+) (?:lines per cm|%|g/m²|mm)", text)
    assert found, text[:600]
    return float(found[1]), float(found[2])


def test_one_number_becomes_a_sample_and_the_pieces_own_beat(bench: Bench) -> None:
    piece = bench.piece()
    low, high = foretold(bench, piece, "Beat")
    assert bench.send(f"/pieces/{piece}/samples", base=1, lines=40, over=104)[0] == 200
    beat = loads(bench.desk.file(piece)).beat
    assert (beat.lines_per_cm, beat.basis) == (3.8462, "measured")
    assert "2.60 mm" in page_of(bench, f"/pieces/{piece}/sample")
    now_low, now_high = foretold(bench, piece, "Beat")
    assert now_low < 3.85 < now_high
    assert now_high / now_low < (high / low) ** 0.6
    shelf = page_of(bench, "/samples")
    assert "3.85 measured lines per cm" in shelf


def test_a_sample_that_is_taken_away_is_forgotten_but_the_piece_keeps_its_number(bench: Bench) -> None:
    piece = bench.piece()
    before = foretold(bench, piece, "Beat")
    bench.send(f"/pieces/{piece}/samples", base=1, lines=40, over=104)
    (key,) = bench.desk.shelf().documents["samples"]
    assert bench.send(f"/samples/{key}/remove") == (200, "/samples")
    assert foretold(bench, piece, "Beat") == before
    assert loads(bench.desk.file(piece)).beat.basis == "measured"
    assert "No samples yet" in page_of(bench, "/samples")


def test_widths_teach_draw_in_and_leave_the_lines_alone(bench: Bench) -> None:
    piece = bench.piece()
    lines, drawn = foretold(bench, piece, "Beat"), foretold(bench, piece, "Draw-in, reed to loom")
    assert bench.send(f"/pieces/{piece}/samples", base=1, in_reed="254", on_loom="224")[0] == 200
    assert loads(bench.desk.file(piece)).allowances.draw_in == pytest.approx(0.1181)
    low, high = foretold(bench, piece, "Draw-in, reed to loom")
    assert low < 11.8 < high
    assert high - low < 0.8 * (drawn[1] - drawn[0])
    assert foretold(bench, piece, "Beat") == lines


def test_a_sample_of_one_piece_helps_another_of_the_same_cloth(bench: Bench) -> None:
    first, second = bench.piece(), bench.piece()
    bench.send(f"/pieces/{first}/samples", base=1, lines=40, over=104)
    low, high = foretold(bench, second, "Beat")
    assert low < 3.85 < high
    assert "1 sample of this very cloth" in page_of(bench, f"/pieces/{second}/sample")


def test_what_if_changes_nothing_and_follows_the_question(bench: Bench) -> None:
    piece = bench.piece()
    before = bench.desk.file(piece)
    own, thick = foretold(bench, piece, "Beat"), foretold(bench, piece, "Beat", "?strands=2")
    assert thick[0] < own[0]
    assert thick[1] < own[1]
    soft, hard = (foretold(bench, piece, "Beat", f"?beat={one}") for one in ("soft", "hard"))
    assert soft < hard
    assert bench.desk.file(piece) == before


@pytest.mark.parametrize(
    "fields,words",
    [
        ({}, "one number is enough"),
        ({"lines": "40"}, "one of them is missing"),
        ({"lines": "40", "over": "0.01"}, "lines to the centimetre"),
        ({"lines": "many", "over": "104"}, "a number above nothing"),
        ({"weight": "120"}, "width and length off the loom"),
        ({"in_reed": "200", "on_loom": "260"}, "measure both again"),
        ({"lines": "40", "over": "104", "beat": "wild"}, "soft, firm or hard"),
        ({"lines": "40", "over": "104", "state": "frozen"}, "not frozen"),
        ({"thickness": "-1"}, "above nothing"),
        ({"verdict": "lovely"}, "not lovely"),
    ],
)
def test_what_cannot_be_measured_is_one_sentence_and_keeps_nothing(
    bench: Bench, fields: dict[str, str], words: str
) -> None:
    piece = bench.piece()
    before = bench.desk.file(piece)
    status, says = bench.send(f"/pieces/{piece}/samples", base=1, **fields)
    assert status == 422
    assert words in says
    assert bench.desk.file(piece) == before
    assert not bench.desk.shelf().documents["samples"]


def test_a_sample_sent_again_is_kept_once(bench: Bench) -> None:
    piece = bench.piece()
    for _ in range(2):
        bench.send(f"/pieces/{piece}/samples", base=1, entry="again", lines=40, over=104)
    assert len(bench.desk.shelf().documents["samples"]) == 1


def test_the_next_sample_is_a_small_piece_of_its_own(bench: Bench) -> None:
    piece = bench.piece()
    status, href = bench.send(f"/pieces/{piece}/samples/piece", sett=2.0, long=50)
    assert status == 200
    project = loads(bench.desk.file(href.split("/")[2]))
    (strip,) = project.sections[0].strips
    assert project.warp.sett_per_cm == 2.0
    assert strip.ends % 4 == 1
    assert strip.ends / 2.0 <= 25
    assert bench.desk.plan(href.split("/")[2]).sections[0].lines >= 15


def test_every_measure_teaches_what_it_tells(bench: Bench) -> None:
    piece = bench.piece()
    fields = {
        "lines": "40", "over": "104", "in_reed": "254", "on_loom": "224", "off_loom": "220", "washed": "212",
        "long_on_loom": "150", "long_off_loom": "148", "long_washed": "142", "weight": "55", "thickness": "4.5",
        "warp_mark": "160", "woven_mark": "150", "weft": "262", "weft_over": "224", "beat": "firm", "verdict": "held",
        "note": "dense & <good>",
    }  # fmt: skip
    before = {what: foretold(bench, piece, what) for what in ("Thickness", "Warp take-up", "Weight")}
    assert bench.send(f"/pieces/{piece}/samples", base=1, **fields)[0] == 200
    for what, (low, high) in before.items():
        now = foretold(bench, piece, what)
        assert now[1] - now[0] < high - low, what
    shelf = bench.browser.get("/samples", headers=HTML).text
    assert "dense &amp; &lt;good&gt;" in shelf
    assert "1689 measured" in page_of(bench, "/samples").replace(",", "")
