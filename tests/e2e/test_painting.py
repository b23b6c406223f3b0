"""The cloth painted, in a real browser: by pointer, by keyboard alone and by finger alone on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.e2e.conftest import Running, wait_until
from tests.e2e.hands import HANDS, Finger, Hand, Keys, Touch
from tests.e2e.painting import Bench, told

WAYS: Final = ("As it is", "Mirror the lines", "Treadle backwards")
WRITTEN: Final = ["r o o", "r r o", "o r r", "o o r", "r o r", "o r o"]
HINTS: Final = ["Touch an end.", "One touch lays the whole pick, oat fills the line.", "Touch above for the next line."]


@pytest.fixture(scope="module")
def workbench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A workbench that all journeys share; each makes a piece of its own."""
    found = Running(tmp_path_factory.mktemp("painting") / "data")
    found.start()
    yield found
    found.stop()
    assert "Traceback" not in "".join(found.said)


@pytest.fixture(params=HANDS, ids=lambda one: one.name)
def hand(request: pytest.FixtureRequest, chromium: Browser) -> Iterator[Hand]:
    """Each way to work the page."""
    found: Hand = request.param(chromium)
    yield found
    found.close()


def piece(*bands: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A project file of 33 ends in five wools."""
    names = {"o": ("Oat", "#e8dfc8"), "r": ("Madder", "#a8332e"), "s": ("Slate", "#3f4d5c"), "d": ("Weld", "#d99a2b"),
             "l": ("Lichen", "#a9b07e")}  # fmt: skip
    yarns: dict[str, Any] = {"w": {"name": "Seine twine", "fibre": "cotton", "size": "NeC 12/6", "colour": "#d6cfbd"}}
    for key, (name, colour) in names.items():
        yarns[key] = {"name": name, "fibre": "wool", "size": "Nm 6/2", "colour": colour, "strands": 2}
    sections = more.pop("sections", [{"strips": [{"ends": 33, "bands": list(bands)}]}])
    return {
        "weftline": 1, "name": "Trial", "units": "metric", "weave": {"technique": "krokbragd"}, "yarns": yarns,
        "ground": "o", "warp": {"yarn": "w"}, "sections": sections,
    }  # fmt: skip


# --- lines and bands ---


def test_from_a_bare_warp_to_twelve_lines_with_a_mirrored_band_in_two_yarns(workbench: Running, hand: Hand) -> None:
    bench = hand.open(workbench)
    hand.bare_warp(bench)
    hand.paint(bench, WRITTEN)
    assert bench.bands() == [{"lines": WRITTEN}]
    hand.band(bench, 3)
    hand.mirror(bench, "Treadle backwards")
    assert bench.bands() == [{"lines": WRITTEN, "mirror": "picks"}]
    assert bench.cloth().weaving.picks.line_count == 12
    expect(bench.page.locator("#whole figcaption")).to_have_text("12 lines")


def test_the_three_ways_back_are_told_apart_and_each_makes_another_cloth(workbench: Running, hand: Hand) -> None:
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"name": "Teeth", "lines": WRITTEN}))
    hand.band(bench, 2)
    ways = bench.page.locator("#bands details[open] .mirror")
    expect(ways).to_have_count(3)
    lines = dict(zip(WAYS, (6, 11, 12), strict=True))
    for way, (name, count) in zip(ways.all(), lines.items(), strict=True):
        expect(way.locator("strong")).to_have_text(name)
        expect(way.locator("span").first).to_contain_text(re.compile(rf"{count} lines, [\d.–-]+ (mm|cm)"))
    expect(ways.nth(0)).not_to_contain_text("falls twice")
    expect(ways.nth(2)).to_contain_text("falls twice")
    made = [told(bench.file())]
    for name in WAYS[1:]:
        hand.mirror(bench, name)
        made.append(told(bench.file()))
    assert [picks[-1][0] + 1 for picks in made] == list(lines.values())
    as_it_is, mirrored, backwards = made
    assert mirrored == as_it_is + [(line, *one) for line, one in _back(as_it_is, 6)]
    assert backwards[len(as_it_is) :] == [(11 - line, *one) for line, *one in reversed(as_it_is[:-1])]
    hand.mirror(bench, WAYS[0])
    assert told(bench.file()) == as_it_is


def _back(picks: list[tuple[int, int, str]], lines: int) -> list[tuple[int, list[Any]]]:
    """The picks of the lines coming back, each line in itself as it was, the uppermost left out."""
    return [(2 * lines - 2 - at, list(one)) for at in reversed(range(lines - 1)) for line, *one in picks if line == at]


def test_a_line_is_changed_through_one_of_its_repeats_then_unlinked_and_changed_alone(
    workbench: Running, hand: Hand
) -> None:
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": ["r o o", "r r o", "r r r"], "mirror": "lines"}))
    hand.take(bench, "s")
    hand.do(bench, lambda: hand.lay(bench, 3, 2))
    assert bench.bands() == [{"lines": ["r o o", "r r s", "r r r"], "mirror": "lines"}]
    changed = [line for line, shed, yarn in told(bench.file()) if yarn == "s"]
    assert changed == [1, 3]
    before = told(bench.file())
    hand.point(bench, 3, 1)
    hand.do(bench, lambda: hand.card(bench, "Unlink"))
    assert told(bench.file()) == before
    assert len(bench.lines()) == 5
    hand.take(bench, "d")
    hand.do(bench, lambda: hand.lay(bench, 3, 0))
    after = told(bench.file())
    assert [one for one, other in zip(after, before, strict=True) if one != other] == [(3, 1, "d")]


def test_a_yarn_is_swapped_in_a_selection_and_everywhere(workbench: Running, hand: Hand) -> None:
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": ["r o o", "r r o", "r+s r o"]}, {"name": "Top", "lines": ["o r r *2"]}))
    hand.select(bench, 0, 1)
    hand.do(bench, lambda: _swap(bench, hand, "in 2 written lines", "Lichen"))
    assert bench.lines() == ["l o o", "l l o", "r+s r o", "o r r *2"]
    hand.point(bench, 2, 1)
    _unselect(bench, hand)
    hand.do(bench, lambda: _swap(bench, hand, "everywhere", "Weld"))
    assert bench.lines() == ["l o o", "l l o", "d+s d o", "o d d *2"]


def _swap(bench: Bench, hand: Hand, where: str, name: str) -> None:
    """Choose another yarn on the sheet of cloths."""
    hand.card(bench, "Swap a yarn")
    sheet = bench.page.locator("dialog.page-over")
    expect(sheet.locator("h2")).to_have_text(f"Instead of Madder, {where}")
    expect(sheet.locator("canvas.cloth")).to_have_count(4)
    hand.press(bench, sheet.locator(".swap-choice", has_text=name))
    expect(sheet).to_have_count(0)


def _unselect(bench: Bench, hand: Hand) -> None:
    """Drop the selection: by Escape, or by touching beside the cloth."""
    placed = bench.placed()
    beside = placed.x + placed.width + 30, placed.foot - placed.height - 4
    if isinstance(hand, Keys):
        bench.page.keyboard.press("Escape")
    elif isinstance(hand, Finger):
        bench.page.touchscreen.tap(*beside)
    else:
        bench.page.mouse.click(*beside)
    expect(bench.page.locator("#card h2")).to_have_text(re.compile(r"Line \d+|$"))


# --- the back, other strips ---


def test_turned_over_the_pick_that_is_touched_is_the_one_that_shows_there(workbench: Running, hand: Hand) -> None:
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": ["r s d *8"]}))
    with bench.page.expect_response(lambda one: "/bakes" in one.url and "back=1" in one.url) as bakes:
        hand.turn(bench)
    bakes.value.finished()
    expect(bench.page.locator("#work")).to_have_attribute("data-back", "1")
    hand.take(bench, "l")
    placed = bench.placed()
    if isinstance(hand, Keys):
        hand.do(bench, lambda: hand.lay(bench, 2, 1))
        assert bench.lines() == ["r l d *8"]
        return
    at = (placed.x + 1.5 * bench.column(placed), placed.foot - placed.height / 2)
    wait_until(lambda: bench.yarn_at(*at) in "rsd")
    shown = bench.yarn_at(*at)
    press = bench.page.touchscreen.tap if isinstance(hand, Finger) else bench.page.mouse.click
    hand.do(bench, lambda: press(*at))
    assert bench.lines() == ["r s d *8".replace(shown, "l")]
    wait_until(lambda: bench.yarn_at(*at) == "l")


def test_of_two_strips_the_second_is_painted_and_both_keep_their_sheds(workbench: Running, hand: Hand) -> None:
    hem = {"name": "Hem", "sheds": [[2], [1, 3]], "lines": ["o o *2"]}
    strips = [
        {"name": "Left", "ends": 21, "gap_after_cm": 3, "bands": [hem, {"lines": ["r o o", "r r o"]}]},
        {"name": "Right", "ends": 17, "bands": [hem, {"lines": ["s o o", "s s o"]}]},
    ]
    bench = hand.open(workbench)
    hand.from_file(bench, piece(sections=[{"strips": strips}]))
    refused: list[str] = []
    bench.page.on("response", lambda one: refused.append(one.url) if one.status >= 400 else None)
    before = bench.file()
    if isinstance(hand, Finger):
        hand.sheet(bench, "panel", "panel")
    hand.press(bench, bench.page.get_by_role("navigation", name="Strips").get_by_role("link", name="Right"))
    expect(bench.page.locator("#work")).to_have_attribute("data-strip", "1")
    bench.strip = (0, 1)
    hand.take(bench, "d")
    hand.do(bench, lambda: hand.lay(bench, 2, 1))
    hand.do(bench, lambda: hand.lay(bench, 0, 1))
    hand.do(bench, lambda: hand.above(bench, 0))
    after = bench.file()
    left, right = after["sections"][0]["strips"]
    assert left == before["sections"][0]["strips"][0]
    assert right["bands"] == [{**hem, "lines": ["o d *2"]}, {"lines": ["s d o", "s s o", "d o o"]}]
    sheds = {place: [shed for _, shed, _ in told(after, (0, place))] for place in (0, 1)}
    assert sheds[0] == [2, 5] * 2 + [1, 2, 4] * 2
    assert sheds[1] == [2, 5] * 2 + [1, 2, 4] * 3
    assert refused == []


def test_a_finger_that_rests_slides_under_the_lens_and_lays_where_it_is_lifted(
    workbench: Running, chromium: Browser
) -> None:
    hand = Finger(chromium)
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": ["o o o", "o o o", "o o o"]}))
    hand.take(bench, "r")
    words = bench.page.locator("#views .held-words")
    first, other, touch = bench.bead(0, 0), bench.bead(1, 1), Touch(bench.page)
    touch.start(first)
    expect(words).to_have_text("Line 1, pick 1: oat")
    touch.move(other)
    expect(words).to_have_text("Line 2, pick 2: oat")
    assert bench.lines() == ["o o o"] * 3
    hand.do(bench, touch.end)
    assert bench.lines() == ["o o o", "o r o", "o o o"]
    touch.start(first)
    expect(words).to_have_text("Line 1, pick 1: oat")
    touch.move((first[0], bench.placed().foot + 30))
    touch.end()
    hand.take(bench, "s")
    hand.do(bench, lambda: hand.lay(bench, 2, 2))
    assert bench.lines() == ["o o o", "o r o", "o o s"]
    hand.close()


# --- two windows, undo, the first minute ---


class Late:
    """Changes of a window that come to the server only when they are let go."""

    def __init__(self, page: Page) -> None:
        self._holds, self._held = False, list[Route]()
        page.route("**/change", self._meet)
        self._page = page

    def _meet(self, route: Route) -> None:
        if self._holds:
            self._held.append(route)
        else:
            route.continue_()

    def hold(self) -> None:
        """Hold what is sent from now on."""
        self._holds = True

    def go(self) -> None:
        """Let it go, once it was sent."""
        wait_until(lambda: self._page.title() and self._held)
        self._holds = False
        self._held.pop().continue_()
        assert not self._held


def test_two_windows_merge_other_picks_and_are_asked_about_the_same_one(workbench: Running, hand: Hand) -> None:
    one = hand.open(workbench)
    hand.from_file(one, piece({"lines": ["o o o", "o o o", "o o o", "o o o"]}))
    other = hand.open(workbench, one.page.url.removeprefix(workbench.url))
    hand.ready(other)
    late = Late(other.page)
    hand.take(one, "r")
    hand.take(other, "s")

    def both(line: int, slots: tuple[int, int]) -> None:
        late.hold()
        hand.lay(other, line, slots[1])
        hand.do(one, lambda: hand.lay(one, line, slots[0]))
        late.go()

    both(0, (0, 2))
    for bench in (other, one):
        bench.kept()
        assert bench.lines()[0] == "r o s"
        expect(bench.page.locator('.mirror-grid [data-line="0"][data-slot="0"]')).to_have_text("pick 1, madder")
        expect(bench.page.locator('.mirror-grid [data-line="0"][data-slot="2"]')).to_have_text("pick 3, slate")
    answers = {"Keep yours": ["s o o"], "Keep theirs": ["r o o"], "Keep both": ["r o o", "s o o"]}
    lines = ["r o s"]
    for word, kept in answers.items():
        both(len(lines), (0, 0))
        asked = other.page.locator("#work .ask")
        expect(asked.locator("tr")).to_have_text([re.compile(r"Yours\s*s o o"), re.compile(r"Theirs\s*r o o")])
        expect(asked.locator("p")).to_contain_text(f"line {len(lines) + 1}")
        hand.press(other, asked.get_by_role("button", name=word, exact=True))
        lines += kept
        for bench in (other, one):
            expect(bench.page.locator("#kept .kept-word")).to_have_text("Kept")
            bench.kept()
            assert bench.lines()[: len(lines)] == lines


def test_undo_and_redo_say_what_they_do_and_outlive_views_and_reloading(workbench: Running, hand: Hand) -> None:
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": ["o o o", "r r r"]}))
    undo, redo = bench.page.locator("#undo"), bench.page.locator("#redo")
    hand.take(bench, "s")
    hand.do(bench, lambda: hand.lay(bench, 0, 1))
    hand.do(bench, lambda: hand.card(bench, "Fill"))
    expect(undo).to_have_attribute("title", "Undo: fill line")
    expect(redo).to_be_disabled()
    hand.do(bench, lambda: hand.undo(bench))
    assert bench.lines() == ["o s o", "r r r"]
    expect(undo).to_have_attribute("title", "Undo: lay pick")
    expect(redo).to_have_attribute("title", "Redo: fill line")
    hand.turn(bench)
    expect(bench.page.locator("#work")).to_have_attribute("data-back", "1")
    hand.turn(bench)
    expect(bench.page.locator("#work")).to_have_attribute("data-back", "0")
    bench.page.reload()
    hand.ready(bench)
    expect(redo).to_have_attribute("title", "Redo: fill line")
    hand.do(bench, lambda: hand.redo(bench))
    assert bench.lines() == ["s s s", "r r r"]
    hand.do(bench, lambda: hand.undo(bench))
    hand.do(bench, lambda: hand.undo(bench))
    assert bench.lines() == ["o o o", "r r r"]
    expect(undo).to_be_disabled()
    expect(redo).to_have_attribute("title", "Redo: lay pick")


def test_strokes_taken_back_as_fast_as_keys_go_are_all_taken_back(workbench: Running, chromium: Browser) -> None:
    hand = Keys(chromium)
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": ["o o o"]}))
    for slot in range(3):
        hand.take(bench, "rsd"[slot])
        hand.do(bench, lambda slot=slot: hand.lay(bench, 0, slot))  # type: ignore[misc]
    hand.keys(bench, *["Control+z"] * 3)
    expect(bench.page.locator("#redo")).to_have_attribute("title", "Redo: lay pick")
    bench.kept()
    assert bench.lines() == ["o o o"]
    hand.close()


def test_ways_back_tried_as_fast_as_keys_go_end_with_the_last_one(workbench: Running, chromium: Browser) -> None:
    hand = Keys(chromium)
    bench = hand.open(workbench)
    hand.from_file(bench, piece({"lines": WRITTEN}))
    hand.keys(bench, "Home", "m")
    expect(bench.page.locator("#bands input[name=mirror]:checked")).to_be_focused()
    bench.page.keyboard.press("ArrowDown")
    hand.do(bench, lambda: bench.page.keyboard.press("ArrowDown"))
    assert bench.bands() == [{"lines": WRITTEN, "mirror": "picks"}]
    expect(bench.page.locator("#bands input[name=mirror]:checked")).to_be_focused()
    hand.close()


NOTE: Final = """() => {
  const seen = window.seenHints = [];
  new MutationObserver(() => {
    const hint = document.querySelector('.hint');
    const says = hint && !hint.hidden ? hint.textContent : '';
    if (says && seen.at(-1) !== says) seen.push(says);
  }).observe(document, { subtree: true, childList: true, characterData: true, attributes: true });
}"""


def test_in_the_first_minute_the_hints_come_once_and_in_order(workbench: Running, hand: Hand) -> None:
    bench = hand.open(workbench)
    bench.page.context.add_init_script(f"({NOTE})()")
    hand.bare_warp(bench)
    hint = bench.page.locator(".hint")
    expect(hint).to_have_text(HINTS[0])
    hand.take(bench, "r")
    hand.do(bench, lambda: hand.above(bench, 0))
    expect(hint).to_have_text(HINTS[1])
    if isinstance(hand, Keys):
        expect(hint).to_have_text(HINTS[2])
    hand.do(bench, lambda: hand.above(bench, 0))
    expect(hint).to_be_hidden()
    assert bench.page.evaluate("window.seenHints") == HINTS
    bench.page.goto(workbench.url)
    hand.bare_warp(bench)
    hand.do(bench, lambda: hand.above(bench, 0))
    assert bench.page.evaluate("window.seenHints") == []
