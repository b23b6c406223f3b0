"""Every measure on every page says what it rests on, and no interval is told finer than it deserves."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest

from tests.server.conftest import HTML

if TYPE_CHECKING:
    from tests.server.conftest import Bench

MEASURE = re.compile(
    r"(?<![\w.,/])\d[\d.,]*(?:[–-]\d[\d.,]*)?\s?(?:cm|mm|m|kg|g|oz|yd|tex|m/kg|hours?|minutes?|%|per cm|per inch|g/m²)(?![\w/])"
)
UNSAID = (
    "form", "option", "button", "summary", "label", "title", "script", "style", "text", "tspan", "h1",
)  # fmt: skip
"""Where a number is what somebody types, a name, or a mark on a tape."""

WORDS = (
    r"Weave \d+ (?:cm|in) and .*",  # what to do, not what is so
    r"weave \d+ (?:cm|in) at .*",
    r"Lay the weft in .*",  # what to do; the sentence after it says what it is computed from
    r".*would then be known to within ±\d+%.*",
    r"[\d.]+ lines over [\d.]+ mm.*",  # what somebody measured, under the word sample
    r".*(?:instead of|when finished|in whole motifs).*",  # a sentence whose figures stand in the table below it
    r".*reed [\d.]+ dents per 10 cm.*",  # the record of a loom, as its weaver wrote it
)


class Reader(HTMLParser):
    """Collects measures that stand outside a figure, and the figures."""

    VOID = ("br", "img", "input", "meta", "link", "hr", "image", "path", "rect", "circle", "use")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[tuple[str, str]] = []
        self.loose: list[str] = []
        self.figures: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append((tag, dict(attrs).get("class") or ""))
            if "fig" in self.open[-1][1].split():
                self.figures.append((self.open[-1][1], ""))

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if any("fig" in kind.split() for _, kind in self.open):
            kind, said = self.figures[-1]
            self.figures[-1] = (kind, said + data)
            return
        if any(tag in UNSAID for tag, _ in self.open) or any(
            "caution" in kind or "says-list" in kind for _, kind in self.open
        ):
            return
        text = " ".join(data.split())
        if MEASURE.search(text) and not any(re.fullmatch(words, text) for words in WORDS):
            self.loose.append(text)


@pytest.fixture
def pages(bench: Bench) -> list[str]:
    """Every kind of page, with a piece that is measured and one that is not."""
    first, second = bench.piece(), bench.piece()
    bench.send(f"/pieces/{first}/samples", base=1, lines=40, over=104, in_reed=254, on_loom=224, thickness=4.4)
    bench.send("/yarns", name="Night", size="Nm 6/2", fibre="wool", colour="#223344", on_hand="90", pack="50")
    (yarn,) = bench.desk.shelf().documents["yarns"]
    stops = ("sample", "design", "dress", "weave", "finish", "write-up", "history", "resize?width=30", "sample?sett=3")
    found = ["/", "/yarns", f"/yarns?at={yarn}", "/looms", "/samples", "/settings"]
    return found + [f"/pieces/{piece}/{stop}" for piece in (first, second) for stop in stops]


def read(bench: Bench, path: str) -> Reader:
    answer = bench.browser.get(path, headers=HTML)
    assert answer.status_code == 200, path
    reader = Reader()
    reader.feed(answer.text)
    return reader


def test_no_measure_stands_without_what_it_rests_on(bench: Bench, pages: list[str]) -> None:
    loose = {path: read(bench, path).loose for path in pages}
    assert {path: found for path, found in loose.items() if found} == {}


def test_every_figure_names_its_basis_and_a_unit(bench: Bench, pages: list[str]) -> None:
    for path in pages:
        for kind, said in read(bench, path).figures:
            assert re.search(r"fig-(measured|computed|default|label)", kind), (path, said)


def test_no_interval_is_told_finer_than_it_deserves(bench: Bench, pages: list[str]) -> None:
    seen = 0
    for path in pages:
        for _, said in read(bench, path).figures:
            match = re.match(r"\s*−?([\d,.]+)(?:–| to )([\d,.]+)", said)
            if match is None:
                continue
            seen += 1
            low, high = (float(one.replace(",", "")) for one in match.groups())
            digits = len(match[2].partition(".")[2])
            assert high - low >= 10**-digits, (path, said)
            assert high - low <= 25 * 10**-digits or digits == 0, (path, said)
    assert seen > 40
