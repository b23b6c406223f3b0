"""Random strokes on the cloth, by keys, undone and redone over restarts, against a small model of their own."""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from typing import Any, Final

from playwright.sync_api import Browser, Page, expect

from tests.e2e.conftest import Running
from tests.e2e.hands import Keys
from tests.e2e.painting import Bench

STROKES: Final = 200 if os.environ.get("WEFTLINE_FULL") == "1" else 20
YARNS: Final = "orsdl"
Band = dict[str, Any]


class Model:
    """What a piece of one strip should be, from nothing but the words of the page: bands of lines, and what was done."""

    def __init__(self) -> None:
        self.bands: list[Band] = []
        self.undone: list[list[Band]] = []
        self.done: list[list[Band]] = []

    def running(self) -> list[tuple[int, int]]:
        """Band and written line of every running line."""
        found = []
        for at, band in enumerate(self.bands):
            unit = list(range(len(band["lines"])))
            way = band.get("mirror", "none")
            back = unit[::-1] if way == "picks" else unit[-2::-1] if way == "lines" and len(unit) > 1 else []
            unit += back
            later = unit[1:] if way == "lines" else unit
            found += [(at, line) for line in unit + later * (band.get("times", 1) - 1)]
        return found

    def become(self, bands: list[Band]) -> bool:
        """Take on a change; whether there was one."""
        bands = [band for band in bands if band["lines"]]
        if bands == self.bands:
            return False
        self.done.append(self.bands)
        self.bands, self.undone = bands, []
        return True

    def undo(self) -> None:
        """Take back."""
        self.undone.append(self.bands)
        self.bands = self.done.pop()

    def redo(self) -> None:
        """Do again."""
        self.done.append(self.bands)
        self.bands = self.undone.pop()

    def changed(self, line: int, texts: Any) -> list[Band]:
        """The bands with the written line of a running line exchanged for others."""
        at, own = self.running()[line]
        bands = [{**band, "lines": list(band["lines"])} for band in self.bands]
        bands[at]["lines"][own : own + 1] = texts(bands[at]["lines"][own])
        return bands

    def on_top(self, text: str) -> list[Band]:
        """The bands with a line above all others, in a band of its own where the uppermost comes back or again."""
        bands = [{**band, "lines": list(band["lines"])} for band in self.bands]
        if bands and set(bands[-1]) == {"lines"}:
            bands[-1]["lines"].append(text)
        else:
            bands.append({"lines": [text]})
        return bands


class Weaver:
    """Strokes made by keys, each told to the model too."""

    def __init__(self, hand: Keys, bench: Bench, model: Model, dice: random.Random) -> None:
        self.hand, self.bench, self.model, self.dice = hand, bench, model, dice

    def stroke(self) -> None:
        """Make any stroke, or take one back, or do one again."""
        dice, model = self.dice, self.model
        lines = len(model.running())
        if not lines:
            self._new_line()
            return
        if dice.random() < 0.15 and model.done:
            self.undo()
            return
        if dice.random() < 0.3 and model.undone:
            self.redo()
            return
        verbs: list[Callable[[], None]] = (
            [self._lay] * 3 + [self._new_line] * 2 + [self._fill, self._insert, self._double, self._remove, self._band]
        )
        dice.choice(verbs)()

    def undo(self) -> None:
        """Take back the last stroke."""
        self.hand.do(self.bench, lambda: self.hand.undo(self.bench))
        self.model.undo()

    def redo(self) -> None:
        """Do the last stroke again that was taken back."""
        self.hand.do(self.bench, lambda: self.hand.redo(self.bench))
        self.model.redo()

    def _send(self, bands: list[Band], *keys: str) -> None:
        """Press keys; wait for what they send if it changes anything."""
        if self.model.become(bands):
            self.hand.do(self.bench, lambda: self.hand.keys(self.bench, *keys))
        else:
            self.hand.keys(self.bench, *keys)

    def _line(self) -> tuple[int, list[str]]:
        """Any running line, and the keys that go there."""
        lines = len(self.model.running())
        line = self.dice.randrange(lines)
        tens, ones = divmod(line, 10)
        return line, ["Home", *["PageUp"] * tens, *["ArrowUp"] * ones]

    def _lay(self) -> None:
        line, way = self._line()
        slot, yarn = self.dice.randrange(3), self.dice.choice(YARNS)

        def laid(text: str) -> list[str]:
            tokens = text.split()
            return [" ".join([*tokens[:slot], yarn, *tokens[slot + 1 :]])]

        self._send(self.model.changed(line, laid), *way, *["ArrowRight"] * slot, _digit(yarn), "Space")

    def _new_line(self) -> None:
        yarn = self.dice.choice(YARNS)
        way = [_digit(yarn), "Space"]
        if running := self.model.running():
            at, own = running[-1]
            last = self.model.bands[at]["lines"][own].split()[-1]
            way = ["End", "ArrowRight", "ArrowRight", _digit(last), "Space", *way]
        self._send(self.model.on_top(f"{yarn} o o"), *way)

    def _fill(self) -> None:
        line, way = self._line()
        yarn = self.dice.choice(YARNS)
        self._send(self.model.changed(line, lambda _: [" ".join(yarn * 3)]), *way, _digit(yarn), "f")

    def _insert(self) -> None:
        line, way = self._line()
        self._send(self.model.changed(line, lambda text: [text, "o o o"]), *way, "i")

    def _double(self) -> None:
        line, way = self._line()
        self._send(self.model.changed(line, lambda text: [text, text]), *way, "d")

    def _remove(self) -> None:
        line, way = self._line()
        self._send(self.model.changed(line, lambda _: []), *way, "Delete")

    def _band(self) -> None:
        """Choose the next way back, or how often a band comes."""
        line, way = self._line()
        at = self.model.running()[line][0]
        now, page = self.model.bands[at], self.bench.page
        values = {"mirror": now.get("mirror", "none"), "times": now.get("times", 1)}
        card = page.locator("#bands details[open]")
        if self.dice.random() < 0.5:
            ways = ["none", "lines", "picks"]
            down = values["mirror"] == "none" or (values["mirror"] == "lines" and self.dice.random() < 0.5)
            values["mirror"] = ways[ways.index(values["mirror"]) + (1 if down else -1)]
            self.hand.keys(self.bench, *way, "m")
            expect(card.locator("input[name=mirror]:checked")).to_be_focused()
            keys = ["ArrowDown" if down else "ArrowUp"]
        else:
            values["times"] = self.dice.choice([times for times in (1, 2, 3) if times != values["times"]])
            self.hand.keys(self.bench, *way, "r")
            expect(card.locator("input[name=times]")).to_be_focused()
            keys = ["Control+a", str(values["times"]), "Enter"]
        said = {key: value for key, value in values.items() if value not in ("none", 1)}
        band: Band = {"lines": now["lines"], **said}
        assert self.model.become([*self.model.bands[:at], band, *self.model.bands[at + 1 :]])
        self.hand.do(self.bench, lambda: _pressed(page, keys))


def _pressed(page: Page, keys: list[str]) -> None:
    for key in keys:
        page.keyboard.press(key)


def _digit(yarn: str) -> str:
    return str(YARNS.index(yarn) + 1)


def test_random_strokes_undone_and_redone_over_a_restart_end_where_a_model_says(
    running: Running, chromium: Browser
) -> None:
    dice, model = random.Random(1), Model()
    hand = Keys(chromium)
    bench = hand.open(running)
    hand.bare_warp(bench)
    weaver = Weaver(hand, bench, model, dice)
    for number in range(STROKES):
        weaver.stroke()
        if number % 10 == 9:
            assert _plain(bench) == model.bands
        if number == STROKES // 2:
            weaver.bench = bench = _restarted(hand, bench)
    weaver.bench = bench = _restarted(hand, bench)
    for _ in range(STROKES):
        if model.done and (dice.random() < 0.6 or not model.undone):
            weaver.undo()
        else:
            weaver.redo()
    assert _plain(bench) == model.bands
    hand.close()


def _plain(bench: Bench) -> list[Band]:
    """The bands as the file has them, with nothing said that need not be."""
    return [
        {key: value for key, value in band.items() if value not in (1, "none", "single", False)}
        for band in bench.bands()
    ]


def _restarted(hand: Keys, bench: Bench) -> Bench:
    """The server stopped and started, and a new browser that knows what the old one kept."""
    address, state = bench.page.url.removeprefix(bench.running.url), bench.page.context.storage_state()
    hand.close()
    assert bench.running.stop() in (0, 130, -2)
    bench.running.start()
    again = hand.open(bench.running, address, storage_state=state)
    hand.ready(again)
    return again
