"""Weaving by knuckle, space bar and pedal: every press that counts is one pick, and none is ever lost."""

from __future__ import annotations

from typing import Final

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.e2e.conftest import Running, wait_until, without_pictures

BETWEEN_MS: Final = 270
"""A little longer than a rebound."""

REBOUNDS: Final = """() => {
  for (const key of [' ', ' ', 'PageDown', 'Enter']) document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
  document.getElementById('told').click();
}"""
"""Five presses in far less than a quarter of a second."""


def to_weave(running: Running, page: Page) -> str:
    """Hang up a demo and go to its Weave page; the address of its log."""
    page.goto(running.url)
    page.get_by_role("link", name="From a demo").click()
    page.get_by_role("button", name="Kneeling pad").click()
    page.wait_for_url("**/design")
    piece = page.url.split("/pieces/")[1].split("/")[0]
    page.goto(f"{running.url}/pieces/{piece}/weave")
    page.wait_for_selector("html.weaves")
    return f"{running.url}/api/pieces/{piece}/log"


def woven(page: Page, log: str) -> int:
    """How many picks the server has."""
    found: int = page.request.get(log).json()["woven_picks"]
    return found


def tap(page: Page) -> None:
    page.wait_for_timeout(BETWEEN_MS)
    page.locator("#told").click(position={"x": 20, "y": 4})


def press(page: Page, key: str) -> None:
    page.wait_for_timeout(BETWEEN_MS)
    page.keyboard.press(key)


def test_thirty_picks_by_tap_space_and_pedal_and_nothing_else_counts(running: Running, page: Page) -> None:
    log = to_weave(running, page)
    expect(page.locator("#line")).to_have_text("Line 1, pick 1 of 2")
    for _ in range(10):
        tap(page)
    for _ in range(10):
        press(page, " ")
    for key in ("PageDown", "Enter", "ArrowRight", "PageDown", "ArrowDown") * 2:
        press(page, key)
    wait_until(lambda: woven(page, log) == 30)
    after = page.locator("#line").inner_text()
    page.wait_for_timeout(BETWEEN_MS)
    page.keyboard.down("PageDown")  # a pedal that is held
    for _ in range(12):
        page.keyboard.down("PageDown")
    page.keyboard.up("PageDown")
    expect(page.locator("#line")).not_to_have_text(after)
    wait_until(lambda: woven(page, log) == 31)
    page.wait_for_timeout(BETWEEN_MS)
    page.evaluate(REBOUNDS)
    wait_until(lambda: woven(page, log) == 32)
    page.wait_for_timeout(400)
    assert woven(page, log) == 32
    expect(page.locator("#sent")).to_have_text("all picks kept")


def test_unweave_takes_back_a_pick_and_held_whole_lines(running: Running, page: Page) -> None:
    log = to_weave(running, page)
    words = []
    for _ in range(7):
        words.append((page.locator("#line").inner_text(), page.locator("#way").inner_text()))
        press(page, " ")
    press(page, "PageUp")
    assert (page.locator("#line").inner_text(), page.locator("#way").inner_text()) == words[6]
    page.wait_for_timeout(BETWEEN_MS)
    page.get_by_role("button", name="Unweave").click()
    assert (page.locator("#line").inner_text(), page.locator("#way").inner_text()) == words[5]
    press(page, " ")  # the button that was touched does not take the space bar
    assert (page.locator("#line").inner_text(), page.locator("#way").inner_text()) == words[6]
    page.get_by_role("button", name="Unweave").click(delay=700)
    sheet = page.locator("#sheet-unweave")
    expect(sheet).to_be_visible()
    lines = sheet.locator("li button")
    expect(lines.first).to_contain_text("shuttles:")
    expect(lines.first).to_contain_text("left")
    lines.nth(1).click()
    expect(page.locator("#line")).to_have_text(words[2][0])
    wait_until(lambda: woven(page, log) == 2)


def test_where_am_i_shows_the_last_six_lines(running: Running, page: Page) -> None:
    to_weave(running, page)
    for _ in range(16):
        press(page, " ")
    page.get_by_role("button", name="Where am I?").click()
    lines = page.locator("#where-lines b")
    assert [int(one) for one in lines.all_inner_texts()] == [8, 7, 6, 5, 4, 3]
    press(page, " ")  # closes the sheet by its button, and throws nothing
    expect(page.locator("#line")).to_have_text("Line 8, pick 2 of 3")


def test_the_arc_follows_her_tape(running: Running, page: Page) -> None:
    log = to_weave(running, page)
    page.get_by_role("button", name="Measure").click()
    before = page.locator("#arc").inner_text()
    page.get_by_label("Width at the fell").fill("12 cm")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#measure-says")).to_have_text("Width: a number above 0, as the tape says it, not 12 cm.")
    page.get_by_label("Width at the fell").fill("400")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#arc")).not_to_have_text(before)
    wait_until(lambda: page.request.get(log).json()["marks"] != [])
    after = page.locator("#arc").inner_text()
    page.reload()
    page.wait_for_selector("html.weaves")
    page.get_by_role("button", name="Measure").click()
    assert page.locator("#arc").inner_text() == after  # the server reckons alike


def test_the_place_is_there_after_a_reload_and_after_the_server_was_away(running: Running, page: Page) -> None:
    log = to_weave(running, page)
    for _ in range(4):
        press(page, "PageDown")
    here = page.locator("#line").inner_text()
    wait_until(lambda: woven(page, log) == 4)
    page.reload()
    page.wait_for_selector("html.weaves")
    expect(page.locator("#line")).to_have_text(here)
    running.kill()
    for _ in range(6):
        press(page, "PageDown")
    press(page, "PageUp")
    expect(page.locator("#sent")).to_have_text("kept on this computer, 7 to send")
    there = page.locator("#line").inner_text()
    running.start()
    expect(page.locator("#sent")).to_have_text("all picks kept", timeout=20_000)
    new_log = running.url + log[log.index("/api") :]
    wait_until(lambda: woven(page, new_log) == 9)
    expect(page.locator("#line")).to_have_text(there)
    tap(page)  # and it goes on
    press(page, " ")
    wait_until(lambda: woven(page, new_log) == 11)


def test_picks_that_a_page_could_not_send_are_sent_by_the_next_visit(
    running: Running, context: BrowserContext, page: Page
) -> None:
    log = to_weave(running, page)
    context.route("**/api/pieces/*/log", lambda route: route.abort())
    for _ in range(3):
        press(page, " ")
    expect(page.locator("#sent")).to_contain_text("3 to send")
    there = page.locator("#line").inner_text()
    context.unroute("**/api/pieces/*/log")
    page.close()
    again = context.new_page()
    again.goto(log.replace("/api/pieces", "/pieces").replace("/log", "/weave"))
    again.wait_for_selector("html.weaves")
    expect(again.locator("#line")).to_have_text(there)
    assert woven(again, log) == 3


def test_without_scripts_forms_move_on(running: Running, chromium: Browser, page: Page) -> None:
    log = to_weave(running, page)
    plain = chromium.new_context(java_script_enabled=False, storage_state=page.context.storage_state())
    without_pictures(plain)
    bare = plain.new_page()
    bare.goto(page.url)
    bare.get_by_role("button", name="Woven, next line").click()
    expect(bare.locator("#line")).to_have_text("Line 2, pick 1 of 2")
    bare.locator("#woven").click()
    bare.locator("#unweave").click()
    expect(bare.locator("#line")).to_have_text("Line 2, pick 1 of 2")
    assert woven(page, log) == 2
    expect(page.locator("#line")).to_have_text("Line 2, pick 1 of 2")  # the other page follows
    plain.close()
