"""Every page, for every demo piece and for a bare warp, with and without anything on the shelves."""

from __future__ import annotations

import re

import pytest

from tests.server.conftest import HTML, Bench
from weftline.server.demos import demo_projects

STOPS = ("sample", "design", "dress", "weave", "finish", "write-up")
SHELVES = ("/", "/demos", "/put-away", "/new", "/find", "/find?q=a", "/yarns", "/looms", "/samples", "/settings")
FORBIDDEN = re.compile(r"\b(error|invalid|oops)\b|!(?!doctype)", re.IGNORECASE)


def words(page: str) -> str:
    """What a reader sees of a page."""
    return re.sub(r"<[^>]*>", " ", page)


@pytest.mark.parametrize("path", SHELVES)
@pytest.mark.parametrize("filled", [False, True], ids=["empty", "filled"])
def test_every_shelf_answers_calmly(bench: Bench, path: str, filled: bool) -> None:
    if filled:
        for demo in demo_projects():
            bench.piece(demo)
        bench.send("/yarns", name="Madder", size="Nm 6/2", fibre="wool", colour="#a8382c", on_hand="400", pack="100")
        bench.send("/looms", name="Big one", kind="floor", shafts="4")
    answer = bench.browser.get(path, headers=HTML)
    assert answer.status_code == 200
    assert FORBIDDEN.findall(words(answer.text)) == []


@pytest.mark.parametrize("stop", STOPS)
@pytest.mark.parametrize("demo", demo_projects())
def test_every_stop_of_every_demo_is_full(bench: Bench, demo: str, stop: str) -> None:
    piece = bench.piece(demo)
    answer = bench.browser.get(f"/pieces/{piece}/{stop}", headers=HTML)
    assert answer.status_code == 200
    assert FORBIDDEN.findall(words(answer.text)) == []
    assert "coming" not in words(answer.text).lower()
    assert len(words(answer.text).split()) > 120
    assert 'style="' not in answer.text
    assert "<script>" not in answer.text


@pytest.mark.parametrize("stop", STOPS)
def test_every_stop_of_a_bare_warp_is_there(bench: Bench, stop: str) -> None:
    _, href = bench.send("/pieces/bare-warp")
    piece = href.split("/")[2]
    answer = bench.browser.get(f"/pieces/{piece}/{stop}", headers=HTML)
    assert answer.status_code == 200
    assert "33" in answer.text


@pytest.mark.parametrize(
    "query", ["?scale=life", "?scale=whole", "?back=1", "?marks=1", "?section=1&strip=1", "?from=50"]
)
def test_the_cloth_is_seen_in_every_way(bench: Bench, query: str) -> None:
    piece = bench.piece("sling-and-straps")
    assert bench.browser.get(f"/pieces/{piece}/design{query}", headers=HTML).status_code == 200


@pytest.mark.parametrize(
    "query", ["?section=-1", "?section=99&strip=99", "?from=99999999999", "?at=nothing", "?scale=huge"]
)
def test_an_odd_address_shows_the_cloth_all_the_same(bench: Bench, query: str) -> None:
    piece = bench.piece()
    assert bench.browser.get(f"/pieces/{piece}/design{query}", headers=HTML).status_code == 200


def test_a_piece_leads_to_its_cloth(bench: Bench) -> None:
    piece = bench.piece()
    answer = bench.browser.get(f"/pieces/{piece}", headers=HTML)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/pieces/{piece}/design")


def test_numbers_say_what_they_rest_on(bench: Bench) -> None:
    page = bench.browser.get(f"/pieces/{bench.piece()}/sample", headers=HTML).text
    assert re.search(
        r'class="fig fig-label [^>]*tabindex="0">2.4 ends per cm<span class="basis"> as written</span>', page
    )
    assert re.search(r'class="fig fig-default [^>]*>\d+ cm<span class="basis"> common practice</span>', page)


@pytest.mark.parametrize(
    "picture",
    ["hung.webp", "whole.webp?width=120", "close.webp?first=1&last=6&ends=13", "loom.webp", "fell.webp",
     "close.webp?first=1&last=6&ends=9999&back=1&marks=1"],
)  # fmt: skip
def test_every_picture_is_drawn(bench: Bench, picture: str) -> None:
    answer = bench.browser.get(f"/pieces/{bench.piece()}/{picture}")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/webp")
    assert answer.content[:4] == b"RIFF"


def test_pictures_of_what_is_no_piece_yet(bench: Bench) -> None:
    _, href = bench.send("/pieces/bare-warp")
    piece = href.split("/")[2]
    for path in (
        "/bare-warp.webp",
        "/swatches/a8382c.webp",
        "/demos/kneeling-pad/hung.webp",
        f"/pieces/{piece}/hung.webp",
    ):
        answer = bench.browser.get(path)
        assert (answer.status_code, answer.content[:4]) == (200, b"RIFF"), path
    assert bench.browser.get(f"/pieces/{piece}/close.webp?first=1&last=2&ends=3").status_code == 404


def test_fonts_and_scripts_come_from_here(bench: Bench) -> None:
    for path in (
        "/fonts/regular.ttf",
        "/fonts/bold.ttf",
        "/static/css/base.css",
        "/static/js/main.js",
        "/static/icon.svg",
    ):
        assert bench.browser.get(path).status_code == 200
    assert bench.browser.get("/fonts/..%2f..%2fsecret", headers=HTML).status_code == 404
    for path in ("/", f"/pieces/{bench.piece()}/design"):
        page = bench.browser.get(path, headers=HTML).text
        assert re.findall(r'(?:src|href|srcset|action)="(?:https?:)?//', page) == []
