"""Another size: shown beside the piece as it is, and made a piece of its own."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

import pytest

from tests.server.conftest import HTML
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.plan.risk import piece_risk
from weftline.formats.native import loads

if TYPE_CHECKING:
    from tests.server.conftest import Bench


def text_of(bench: Bench, path: str) -> str:
    answer = bench.browser.get(path, headers=HTML)
    assert answer.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def test_old_and_new_stand_side_by_side_and_nothing_is_kept(bench: Bench) -> None:
    piece = bench.piece()
    before = bench.desk.file(piece)
    text = text_of(bench, f"/pieces/{piece}/resize?width=30&length=60")
    assert "85 ends instead of 61" in text
    assert "Working ends 61 85" in text
    sources = re.findall(
        r'src="(/pieces/[^"]+webp[^"]*)"', bench.browser.get(f"/pieces/{piece}/resize?width=30", headers=HTML).text
    )
    assert len(sources) == 2
    for src in sources:
        picture = bench.browser.get(unescape(src))
        assert (picture.status_code, picture.headers["content-type"]) == (200, "image/webp")
    assert bench.desk.file(piece) == before


def test_it_becomes_a_piece_of_its_own(bench: Bench) -> None:
    piece = bench.piece()
    status, href = bench.send(f"/pieces/{piece}/resized", width="30")
    assert status == 200
    made = loads(bench.desk.file(href.split("/")[2]))
    assert made.sections[0].strips[0].ends == 85
    assert made.name.startswith("Kneeling pad, 30.3 ×")
    assert loads(bench.desk.file(piece)).sections[0].strips[0].ends == 61


def test_nothing_is_made_where_no_size_arrives(bench: Bench) -> None:
    piece = bench.piece()
    before = len(bench.desk.summaries())
    status, says = bench.send(f"/pieces/{piece}/resized")
    assert status == 422
    assert "o size was asked for" in says
    assert len(bench.desk.summaries()) == before


def test_the_wool_at_hand_lasts_surely(bench: Bench) -> None:
    piece = bench.piece()
    status, href = bench.send(f"/pieces/{piece}/resized", wool="1")
    assert status == 200
    made = bench.desk.plan(href.split("/")[2])
    risk = piece_risk(made, NO_SAMPLE)
    assert made.sections[0].lines > bench.desk.plan(piece).sections[0].lines
    assert all((one.runs_out or 0.0) <= 0.06 for one in risk.yarns.values())


@pytest.mark.parametrize(
    "query,words",
    [
        ("width=wide", "no width"),
        ("width=0", "0"),
        ("sett=99", "99"),
        ("pieces=two", "whole number"),
        ("pieces=0", "0 pieces"),
        ("section=9&width=30", "no section 9"),
    ],
)
def test_what_is_no_size_is_one_sentence_on_the_page(bench: Bench, query: str, words: str) -> None:
    text = text_of(bench, f"/pieces/{bench.piece()}/resize?{query}")
    assert words in text
    assert "As it would be" not in text


def test_nothing_asked_shows_the_form_alone(bench: Bench) -> None:
    text = text_of(bench, f"/pieces/{bench.piece()}/resize")
    assert "Show it" in text
    assert "As it would be" not in text


def test_inches_are_understood_in_a_metric_piece(bench: Bench) -> None:
    assert "Working ends 61 85" in text_of(bench, f"/pieces/{bench.piece()}/resize?width=12+in")
