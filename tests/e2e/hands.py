"""Hands at the painted cloth: a pointer, the keyboard alone, a finger alone."""

from __future__ import annotations

import json
from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from typing import Any, ClassVar, Final

from playwright.sync_api import Browser, BrowserContext, CDPSession, Locator, Page, expect

from tests.e2e.conftest import Running, without_pictures
from tests.e2e.painting import FOLLOWED, Bench

NUMBERS: Final = 106 + 14
"""From the margin's right edge to the line numbers, px."""
BRACKET: Final = 148
"""From there to the brackets of the bands."""


class Hand(ABC):
    """A way to work the page."""

    name: ClassVar[str]
    size: ClassVar[tuple[int, int]] = (1440, 900)
    line_px: ClassVar[int] = 24
    touches: ClassVar[bool] = False

    def __init__(self, chromium: Browser) -> None:
        self._chromium = chromium
        self.opened: list[BrowserContext] = []

    def open(self, running: Running, address: str = "/", **more: Any) -> Bench:
        """Open a window of a browser of its own."""
        width, height = self.size
        context = self._chromium.new_context(
            viewport={"width": width, "height": height},
            has_touch=self.touches,
            is_mobile=self.touches,
            reduced_motion="reduce",
            **more,
        )
        context.set_default_timeout(15_000)
        without_pictures(context)
        self.opened.append(context)
        page = context.new_page()
        page.goto(running.url + address)
        return Bench(running, page, self.line_px)

    def close(self) -> None:
        """Close every window."""
        while self.opened:
            self.opened.pop().close()

    def ready(self, bench: Bench) -> None:
        """Wait until the cloth is painted and can be touched."""
        bench.page.wait_for_selector("#work .mirror-grid [data-line]", state="attached")
        bench.kept()

    def from_file(self, bench: Bench, file: dict[str, Any]) -> None:
        """Hang a project file on the rail."""
        about = {"name": "piece.json", "mimeType": "application/json", "buffer": json.dumps(file).encode()}
        bench.page.set_input_files("input[type=file]", about)  # type: ignore[arg-type]
        bench.page.wait_for_url("**/design")
        self.ready(bench)

    def bare_warp(self, bench: Bench) -> None:
        """Start from a bare warp."""
        self.press(bench, bench.page.get_by_role("button", name="Bare warp"))
        bench.page.wait_for_url("**/design")
        self.ready(bench)

    def do(self, bench: Bench, act: Callable[[], object]) -> None:
        """Do something that changes the piece, and wait until it is kept."""
        seq = bench.page.evaluate("Number(document.body.dataset.seq)")
        act()
        bench.page.wait_for_function(FOLLOWED, arg=seq)

    @abstractmethod
    def press(self, bench: Bench, control: Locator) -> None:
        """Press a button, a link or a choice."""

    @abstractmethod
    def take(self, bench: Bench, yarn: str) -> None:
        """Take a yarn in hand."""

    @abstractmethod
    def above(self, bench: Bench, slot: int) -> None:
        """Lay a new line above the fell, with the yarn in hand in one of its sheds."""

    @abstractmethod
    def lay(self, bench: Bench, line: int, slot: int) -> None:
        """Lay the yarn in hand into a pick of a running line."""

    @abstractmethod
    def point(self, bench: Bench, line: int, slot: int) -> None:
        """Take a line in hand and lay nothing."""

    @abstractmethod
    def select(self, bench: Bench, low: int, high: int) -> None:
        """Select running lines."""

    @abstractmethod
    def card(self, bench: Bench, word: str) -> None:
        """Do what the line's card has a button for."""

    @abstractmethod
    def band(self, bench: Bench, line: int) -> None:
        """Open the card of the band that a line lies in."""

    @abstractmethod
    def turn(self, bench: Bench) -> None:
        """Turn the cloth over."""

    @abstractmethod
    def undo(self, bench: Bench) -> None:
        """Take back."""

    @abstractmethod
    def redo(self, bench: Bench) -> None:
        """Do again."""

    def mirror(self, bench: Bench, word: str) -> None:
        """Choose how the band comes back, in its open card, and wait until that is kept."""
        self.do(bench, lambda: self.press(bench, self.way(bench, word)))

    def way(self, bench: Bench, word: str) -> Locator:
        """The choice of a way back in the open card."""
        return bench.page.locator("#bands details[open] .mirror", has_text=word).locator("input")

    def paint(self, bench: Bench, lines: Sequence[str]) -> None:
        """Lay whole lines one above another, pick by pick; the ground lies where nothing is laid."""
        for line, text in enumerate(lines, len(bench.lines())):
            tokens = text.split()
            self.take(bench, tokens[0])
            self.do(bench, lambda: self.above(bench, 0))
            for slot, token in enumerate(tokens):
                if slot and token != "o":
                    self.take(bench, token)
                    self.do(bench, lambda line=line, slot=slot: self.lay(bench, line, slot))  # type: ignore[misc]


WORDS_OF: Final = {"Fill": "f", "Unlink": "u", "Swap a yarn": "s", "Insert above": "i"}
"""Keys of what the line's card does."""


class Pointer(Hand):
    """A mouse at 1440 px."""

    name = "pointer"

    def press(self, bench: Bench, control: Locator) -> None:
        control.click()

    def take(self, bench: Bench, yarn: str) -> None:
        bench.page.locator(f'#hand [data-yarn="{yarn}"]').click()
        expect(bench.page.locator(f'#hand [data-yarn="{yarn}"]')).to_have_class("in-hand")

    def above(self, bench: Bench, slot: int) -> None:
        bench.page.mouse.click(*bench.above(slot))

    def lay(self, bench: Bench, line: int, slot: int) -> None:
        bench.page.mouse.click(*bench.bead(line, slot))

    def point(self, bench: Bench, line: int, slot: int) -> None:
        self._number(bench, line)

    def _number(self, bench: Bench, line: int) -> None:
        bench.page.mouse.click(bench.beside() - NUMBERS, bench.bead(line, 1)[1])

    def select(self, bench: Bench, low: int, high: int) -> None:
        self._number(bench, low)
        bench.page.keyboard.down("Shift")
        self._number(bench, high)
        bench.page.keyboard.up("Shift")
        expect(bench.page.locator("#card h2")).to_have_text(f"Lines {low + 1} to {high + 1}")

    def card(self, bench: Bench, word: str) -> None:
        bench.page.locator("#card").get_by_role("button", name=word, exact=True).last.click()

    def band(self, bench: Bench, line: int) -> None:
        picks = bench.cloth().weaving.picks
        own = [at for at in range(len(picks)) if picks.band[at] == picks.band[bench.pick(line, 1)[0]]]
        placed = bench.placed()
        top = placed.foot - float(picks.top_mm[own[-1]]) / picks.height_mm * placed.height
        bench.page.mouse.click(bench.beside() - BRACKET, top + 1)

    def turn(self, bench: Bench) -> None:
        bench.page.locator('#views [data-view="turn"]').click()

    def undo(self, bench: Bench) -> None:
        bench.page.locator("#undo").click()

    def redo(self, bench: Bench) -> None:
        bench.page.locator("#redo").click()


class Keys(Hand):
    """The keyboard alone at 1440 px; Tab brings it everywhere."""

    name = "keys"

    def press(self, bench: Bench, control: Locator) -> None:
        self._to(bench, control)
        bench.page.keyboard.press("Enter")

    def mirror(self, bench: Bench, word: str) -> None:
        """By arrows from the way that is chosen; each is tried out on the way."""
        group = bench.page.locator("#bands details[open] input[name=mirror]")
        names = [one.get_attribute("value") for one in group.all()]
        wanted = names.index(self.way(bench, word).get_attribute("value"))
        chosen = next(at for at, one in enumerate(group.all()) if one.is_checked())
        for _ in range(abs(wanted - chosen)):
            self._tab(bench, lambda: bool(group.evaluate_all("(all) => all.includes(document.activeElement)")))
            self.do(bench, lambda: bench.page.keyboard.press("ArrowDown" if wanted > chosen else "ArrowUp"))
        expect(self.way(bench, word)).to_be_checked()

    def _to(self, bench: Bench, control: Locator) -> None:
        self._tab(bench, lambda: bool(control.evaluate("(one) => one === document.activeElement")))

    def _tab(self, bench: Bench, is_there: Callable[[], bool]) -> None:
        for _ in range(200):
            if is_there():
                return
            bench.page.keyboard.press("Tab")
        raise AssertionError("the Tab key does not come there")

    def _cloth(self, bench: Bench) -> None:
        """Come to the cloth."""
        grid = "document.querySelector('.mirror-grid').contains(document.activeElement)"
        self._tab(bench, lambda: bool(bench.page.evaluate(grid)))

    def keys(self, bench: Bench, *keys: str) -> None:
        """Press keys on the cloth."""
        self._cloth(bench)
        for key in keys:
            bench.page.keyboard.press(key)

    def take(self, bench: Bench, yarn: str) -> None:
        self.keys(bench, place_of(bench, yarn))
        expect(bench.page.locator("#hand .in-hand")).to_have_attribute("data-yarn", yarn)

    def above(self, bench: Bench, slot: int) -> None:
        lines = bench.lines()
        assert slot == 0, "the Space key begins a line with its first shed"
        if not lines:
            self.keys(bench, "Space")
            return
        hand = bench.page.locator("#hand .in-hand").get_attribute("data-yarn") or ""
        top = lines[-1].split()
        self.keys(bench, "End", *["ArrowRight"] * (len(top) - 1), place_of(bench, top[-1]), "Space")
        self.keys(bench, place_of(bench, hand), "Space")

    def lay(self, bench: Bench, line: int, slot: int) -> None:
        self.point(bench, line, slot)
        self.keys(bench, "Space")

    def point(self, bench: Bench, line: int, slot: int) -> None:
        self.keys(bench, "Home", *["ArrowUp"] * line, *["ArrowRight"] * slot)
        cell = bench.page.locator(f'.mirror-grid [data-line="{line}"][data-slot="{slot}"]')
        expect(cell).to_be_focused()

    def select(self, bench: Bench, low: int, high: int) -> None:
        self.point(bench, low, 0)
        self.keys(bench, *["Shift+ArrowUp"] * (high - low))

    def card(self, bench: Bench, word: str) -> None:
        self.keys(bench, WORDS_OF[word])

    def band(self, bench: Bench, line: int) -> None:
        self.point(bench, line, 0)
        self.keys(bench, "b")
        expect(bench.page.locator("#bands details[open] .mirror .small")).to_have_count(3)
        expect(bench.page.locator("#bands details[open] > summary")).to_be_focused()

    def turn(self, bench: Bench) -> None:
        self.keys(bench, "t")

    def undo(self, bench: Bench) -> None:
        self.keys(bench, "Control+z")

    def redo(self, bench: Bench) -> None:
        self.keys(bench, "Control+Shift+Z")


class Finger(Hand):
    """A finger alone on a phone of 390 x 844 px."""

    name = "finger"
    size = (390, 844)
    line_px = 36
    touches = True

    def press(self, bench: Bench, control: Locator) -> None:
        control.tap()

    def take(self, bench: Bench, yarn: str) -> None:
        bench.page.locator(f'#hand [data-yarn="{yarn}"]').tap()
        expect(bench.page.locator(f'#hand [data-yarn="{yarn}"]')).to_have_class("in-hand")

    def above(self, bench: Bench, slot: int) -> None:
        self.down(bench)
        bench.page.touchscreen.tap(*bench.above(slot))

    def lay(self, bench: Bench, line: int, slot: int) -> None:
        self.down(bench)
        bench.page.touchscreen.tap(*bench.bead(line, slot))

    def point(self, bench: Bench, line: int, slot: int) -> None:
        hand = bench.page.locator("#hand .in-hand").get_attribute("data-yarn") or ""
        pick, picks = bench.pick(line, slot)
        self.take(bench, bench.cloth().weaving.windings[picks.wound[pick]][0][0])
        self.lay(bench, line, slot)
        self.take(bench, hand)

    def sheet(self, bench: Bench, name: str, part: str) -> None:
        """Open a sheet by its button at the foot."""
        if bench.page.locator(f"#{part}.sheet-open").count() == 0:
            bench.page.locator(f'#views [data-sheet="{name}"]').tap()
        expect(bench.page.locator(f"#{part}.sheet-open")).to_be_visible()

    def down(self, bench: Bench) -> None:
        """Close the sheet that lies over the cloth, by the button that opened it."""
        close = bench.page.locator(".sheet-open > .sheet-close button")
        if close.count():
            close.tap()
        expect(bench.page.locator(".sheet-open")).to_have_count(0)

    def select(self, bench: Bench, low: int, high: int) -> None:
        self.point(bench, low, 1)
        for _ in range(high - low):
            self.card(bench, "Select more")
        expect(bench.page.locator("#card h2")).to_have_text(f"Lines {low + 1} to {high + 1}")

    def card(self, bench: Bench, word: str) -> None:
        self.sheet(bench, "card", "card")
        bench.page.locator("#card").get_by_role("button", name=word, exact=True).last.tap()

    def band(self, bench: Bench, line: int) -> None:
        self.sheet(bench, "bands", "panel")
        picks = bench.cloth().weaving.picks
        own = int(picks.band[bench.pick(line, 1)[0]])
        bench.page.locator("#bands > .band").nth(len(bench.bands()) - 1 - own).locator("a").tap()

    def turn(self, bench: Bench) -> None:
        bench.page.locator('#views [data-view="turn"]').tap()

    def undo(self, bench: Bench) -> None:
        """Two fingers tap the cloth."""
        self.down(bench)
        placed = bench.placed()
        points = [(placed.x + 60, placed.foot - 120), (placed.x + 160, placed.foot - 120)]
        touch = Touch(bench.page)
        touch.start(points[0])
        touch.start(*points)
        touch.end()

    def redo(self, bench: Bench) -> None:
        bench.page.locator("#redo").tap()


class Touch:
    """Fingers on the glass, one event after another."""

    def __init__(self, page: Page) -> None:
        self._session: CDPSession = page.context.new_cdp_session(page)

    def _send(self, kind: str, points: Sequence[tuple[float, float]]) -> None:
        about = [{"x": x, "y": y, "id": at} for at, (x, y) in enumerate(points)]
        self._session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": about})

    def start(self, *points: tuple[float, float]) -> None:
        """All fingers that are down, the last one new."""
        self._send("touchStart", points)

    def move(self, *points: tuple[float, float]) -> None:
        """All fingers that are down."""
        self._send("touchMove", points)

    def end(self) -> None:
        """Every finger lifted, one after another."""
        self._send("touchEnd", ())


HANDS: Final[tuple[type[Hand], ...]] = (Pointer, Keys, Finger)


def place_of(bench: Bench, yarn: str) -> str:
    """The digit that takes a yarn in hand."""
    keys = [one["key"] for one in bench.data()["yarns"] if not one["is_warp"]]
    return str(keys.index(yarn) + 1)
