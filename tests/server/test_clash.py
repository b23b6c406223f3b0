"""Two devices at one piece, without scripts: the page shows both versions, and either can be kept."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.server.conftest import HTML, JSON, Bench
from tests.server.test_changes import lines, node
from weftline.formats.native import loads
from weftline.server.desk import fresh_id

FORM = re.compile(r'<form method="(\w+)" action="([^"]+)">(.*?)<button class="[^"]*">(Keep \w+)</button></form>', re.S)
FIELD = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')
ROW = re.compile(r'<tr><th scope="row">(.*?)</th><td[^>]*>(.*?)</td><td[^>]*>(.*?)</td></tr>')


class Phone:
    """A second browser, without scripts."""

    def __init__(self, bench: Bench) -> None:
        self.browser: TestClient = bench.another_browser()
        self.browser.get("/")

    def send(self, path: str, base: int, **fields: object) -> tuple[int, str]:
        """Send a form; return the status and the page or where it leads."""
        data = {"entry": fresh_id(), "base": base, **fields}
        answer = self.browser.post(path, data=data, headers=HTML)
        return answer.status_code, answer.text or answer.headers["location"]

    def keep(self, word: str, page: str) -> int:
        """Press a button of the page."""
        method, action, inside, _ = next(form for form in FORM.findall(page) if form[3] == f"Keep {word}")
        fields = {name: unescape(value) for name, value in FIELD.findall(inside)}
        if method == "get":
            return self.browser.get(action, headers=HTML).status_code
        return self.browser.post(action, data=fields, headers=HTML).status_code


def rows(page: str) -> list[tuple[str, ...]]:
    """What both changed, theirs, mine."""
    return [tuple(unescape(cell) for cell in row) for row in ROW.findall(page)]


@pytest.fixture
def phone(bench: Bench) -> Phone:
    bench.browser.get("/")
    return Phone(bench)


@pytest.mark.parametrize("word,kept", [("mine", "b b b"), ("theirs", "m m m")])
def test_a_line_written_twice_is_shown_both_ways_and_either_is_kept(
    bench: Bench, phone: Phone, word: str, kept: str
) -> None:
    piece = bench.piece()
    line = node(bench, piece, 3, 1)
    bench.send(f"/pieces/{piece}/lines/{line}", base=1, text="m m m")
    status, page = phone.send(f"/pieces/{piece}/lines/{line}", base=1, text="b b b")
    assert status == 409
    assert rows(page) == [("Stars, line 2", "m m m", "b b b")]
    assert "Kneeling pad" in page
    assert 'aria-label="Path of the piece"' in page
    assert lines(bench, piece, 3)[1] == "m m m"
    assert phone.keep(word, page) == (303 if word == "mine" else 200)
    assert lines(bench, piece, 3)[1] == kept


def test_a_third_change_in_between_is_asked_again(bench: Bench, phone: Phone) -> None:
    piece = bench.piece()
    line = node(bench, piece, 3, 1)
    bench.send(f"/pieces/{piece}/lines/{line}", base=1, text="m m m")
    _, page = phone.send(f"/pieces/{piece}/lines/{line}", base=1, text="b b b")
    bench.send(f"/pieces/{piece}/lines/{line}", base=2, text="n n n")
    assert phone.keep("mine", page) == 409
    assert lines(bench, piece, 3)[1] == "n n n"


@pytest.mark.parametrize("word,kept", [("mine", "before"), ("theirs", "b b b")])
def test_an_undo_that_was_overtaken_is_shown_both_ways(bench: Bench, phone: Phone, word: str, kept: str) -> None:
    piece = bench.piece()
    line, before = node(bench, piece, 3, 1), lines(bench, piece, 3)[1]
    phone.send(f"/pieces/{piece}/lines/{line}", base=1, text="m m m")
    bench.send(f"/pieces/{piece}/lines/{line}", base=2, text="b b b")
    status, page = phone.send(f"/pieces/{piece}/undo", base=3)
    assert status == 409
    assert rows(page) == [("Stars, line 2", "b b b", before)]
    assert phone.keep(word, page) == 303
    assert lines(bench, piece, 3)[1] == (before if kept == "before" else kept)


def test_fields_and_bands_have_their_words(bench: Bench, phone: Phone) -> None:
    piece = bench.piece()
    bench.send(f"/pieces/{piece}/samples", base=1, lines=40, over=100)
    bench.browser.post(
        f"/api/pieces/{piece}/commands",
        json={"id": "x", "base_seq": 2, "command": {"op": "set", "node": "piece", "field": "name", "value": "Mat <b>"}},
    )
    _, page = phone.send(f"/pieces/{piece}/rename", base=1, name="Rug & runner")
    assert rows(page) == [("name of the piece", "Mat <b>", "Rug & runner")]
    assert "<b>" not in page
    band = node(bench, piece, 3)
    bench.send(f"/pieces/{piece}/bands/{band}/up", base=3)
    _, page = phone.send(f"/pieces/{piece}/bands/{band}/remove", base=1)
    assert rows(page)[0][0] == "Stars"
    assert rows(page)[0][2] == "taken away"
    assert phone.keep("mine", page) == 303
    assert "Stars" not in [one.name for one in loads(bench.desk.file(piece)).sections[0].strips[0].bands]


def test_a_script_gets_both_versions_as_data(bench: Bench, phone: Phone) -> None:
    piece = bench.piece()
    line = node(bench, piece, 3, 1)
    bench.send(f"/pieces/{piece}/lines/{line}", base=1, text="m m m")
    data = {"entry": "e", "base": 1, "text": "b b b"}
    answer = phone.browser.post(f"/pieces/{piece}/lines/{line}", data=data, headers=JSON)
    assert answer.status_code == 409
    found = answer.json()
    assert (found["code"], found["seq"]) == ("clash", 2)
    assert found["values"] == [{"what": "field", "node": line, "key": "text", "now": "m m m", "asked": "b b b"}]
