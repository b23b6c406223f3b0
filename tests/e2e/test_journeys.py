"""Journeys of a weaver: from an empty shelf to a stored piece and on, by pointer and by keyboard alone."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.architecture.source import ROOT
from tests.e2e.conftest import Running, project_file, wait_until, without_pictures

STOPS = ("Sample", "Design", "Dress", "Weave", "Finish", "Write up")
EXAMPLE = ROOT / "examples" / "kneeling-pad.json"


def from_bare_warp(page: Page) -> None:
    page.get_by_role("button", name="Bare warp").click()


def from_size(page: Page) -> None:
    page.get_by_role("link", name="From a size").click()
    page.get_by_label("Width").fill("20")
    page.get_by_label("Length").fill("30")
    page.get_by_label("Name").fill("Small one")
    page.get_by_role("button", name="Hang it up").click()


def from_demo(page: Page) -> None:
    page.get_by_role("link", name="From a demo").click()
    page.get_by_role("button", name="Kneeling pad").click()


def from_file(page: Page) -> None:
    page.set_input_files("input[type=file]", EXAMPLE)


def from_drop(page: Page) -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    drop = page.evaluate_handle(
        "text => { const data = new DataTransfer(); data.items.add(new File([text], 'pad.json')); return data; }", text
    )
    page.dispatch_event("main", "dragover", {"dataTransfer": drop})
    page.dispatch_event("main", "drop", {"dataTransfer": drop})


@pytest.mark.parametrize("way", [from_bare_warp, from_size, from_demo, from_file, from_drop])
def test_from_an_empty_shelf_to_a_piece_given_out_and_taken_in_equal(running: Running, page: Page, way: object) -> None:
    page.goto(running.url)
    expect(page.get_by_text("No pieces yet. Start with a bare warp, or open the demo.")).to_be_visible()
    assert callable(way)
    way(page)
    page.wait_for_url("**/design")
    out = project_file(running, page)
    if way in (from_demo, from_file, from_drop):
        assert out == json.loads(EXAMPLE.read_text(encoding="utf-8"))
    page.goto(running.url)
    page.set_input_files(
        "input[type=file]", {"name": "again.json", "mimeType": "application/json", "buffer": json.dumps(out).encode()}
    )
    page.wait_for_url("**/design")
    assert project_file(running, page) == out


def test_a_line_written_in_one_window_appears_in_the_other(
    running: Running, context: BrowserContext, page: Page
) -> None:
    page.goto(running.url)
    from_bare_warp(page)
    page.wait_for_url("**/design")
    other = context.new_page()
    other.goto(page.url)
    page.get_by_label("Lines as text, the lowest first").fill("o o o *2\nr o o")
    page.get_by_role("button", name="Insert band").click()
    expect(page.get_by_text("3 lines").first).to_be_visible()
    expect(other.get_by_text("3 lines").first).to_be_visible()
    other.get_by_text("Band 1").first.click()
    other.locator(".lines").get_by_role("link", name="r o o").click()
    other.get_by_label("The line as text").fill("s o o")
    other.get_by_role("button", name="Write", exact=True).click()
    expect(page.get_by_role("gridcell", name="pick 1, slate")).to_be_attached()
    assert project_file(running, page)["sections"][0]["strips"][0]["bands"][0]["lines"] == ["o o o *2", "s o o"]  # type: ignore[index]


def test_a_line_that_cannot_be_read_says_so_beside_it_and_keeps_what_was_typed(running: Running, page: Page) -> None:
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    page.get_by_text("Mountains", exact=True).last.click()
    page.locator(".lines").get_by_role("link", name="b n n *2").first.click()
    page.get_by_label("The line as text").fill("x n n")
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page.get_by_role("alert")).to_have_text("Mountains, line 2: no yarn is called x; use w, n, b or m.")
    expect(page.get_by_label("The line as text")).to_have_value("x n n")


def test_undo_is_there_after_a_restart_of_server_and_browser(
    running: Running, chromium: Browser, tmp_path: Path
) -> None:
    first = chromium.new_context()
    without_pictures(first)
    page = first.new_page()
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    before = project_file(running, page)
    page.get_by_label("Lines as text, the lowest first").last.fill("m m m *4")
    page.get_by_role("button", name="Insert band").click()
    wait_until(lambda: project_file(running, page) != before)
    page.goto(running.url)
    page.locator(".piece-link").first.click()
    url, kept = page.url, first.storage_state()
    first.close()
    assert running.stop() in (0, 130, -2)
    running.start()
    second = chromium.new_context(storage_state=kept)
    without_pictures(second)
    page = second.new_page()
    page.goto(running.url + "/pieces/" + url.split("/pieces/")[1])
    page.get_by_role("button", name="Undo").click()
    wait_until(lambda: project_file(running, page) == before)
    page.get_by_role("button", name="Redo").click()
    wait_until(lambda: project_file(running, page) != before)
    second.close()


def test_a_page_goes_on_by_itself_when_the_server_is_back_and_sends_what_it_held(running: Running, page: Page) -> None:
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    before = project_file(running, page)
    running.kill()
    page.get_by_label("Lines as text, the lowest first").last.fill("b b b *3")
    page.get_by_role("button", name="Insert band").click()
    expect(page.locator("#kept")).to_have_text("Kept here, 1 to send")
    running.start()
    expect(page.locator("#kept")).to_have_text("Kept", timeout=15_000)
    after = project_file(running, page)
    bands = after["sections"][0]["strips"][0]["bands"]  # type: ignore[index]
    assert bands[-1]["lines"] == ["b b b *3"]
    assert len(bands) == len(before["sections"][0]["strips"][0]["bands"]) + 1  # type: ignore[index]


def test_a_piece_is_put_away_and_brought_back(running: Running, page: Page) -> None:
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    page.goto(running.url)
    page.locator(".do > summary").first.click()
    page.get_by_role("button", name="Put away").click()
    expect(page.get_by_text("Put away (1)")).to_be_visible()
    page.get_by_role("link", name="Put away (1)").click()
    page.get_by_role("button", name="Bring back Kneeling pad").click()
    page.wait_for_url(f"{running.url}/")
    expect(page.get_by_role("link", name="Kneeling pad")).to_be_visible()


def test_every_stop_is_opened_and_read_and_ticks_stay(running: Running, page: Page) -> None:
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    for stop in STOPS:
        if stop == "Weave":  # a page for two metres: it keeps only the way out
            continue
        page.get_by_role("navigation", name="Path of the piece").get_by_role(
            "link", name=stop, exact=True
        ).first.click()
        expect(page.locator(".path > ol [aria-current]")).to_have_text(stop)
        assert len(page.locator("main").inner_text().split()) > 80
    page.get_by_role("link", name="Dress", exact=True).first.click()
    page.get_by_role("button", name="Threaded, next").click()
    expect(page.get_by_role("heading", name="Ends 5–8")).to_be_visible()
    page.get_by_role("link", name="Weave", exact=True).first.click()
    page.wait_for_selector("html.weaves")
    expect(page.locator("#line")).to_contain_text("Line 1, pick 1")
    page.wait_for_timeout(300)
    for place in ("Line 1, pick 2", "Line 2, pick 1"):
        page.keyboard.press("Space")
        expect(page.locator("#line")).to_contain_text(place)
        page.wait_for_timeout(300)  # what comes sooner is a rebound
    expect(page.locator("#sent")).to_contain_text("all picks kept")
    page.reload()
    page.wait_for_selector("html.weaves")
    expect(page.locator("#line")).to_contain_text("Line 2, pick 1")
    page.get_by_role("button", name="Unweave").click()
    expect(page.locator("#line")).to_contain_text("Line 1, pick 2")
    page.goto(page.url.replace("/weave", "/write-up"))
    with page.expect_download(timeout=90_000) as download:
        page.get_by_role("button", name="Make the PDF").click(no_wait_after=True, timeout=90_000)
    assert download.value.path().read_bytes().startswith(b"%PDF")


def test_by_keyboard_alone_from_an_empty_shelf_to_a_line_and_back(running: Running, page: Page) -> None:
    page.goto(running.url)

    def to(words: str) -> None:
        for _ in range(80):
            page.keyboard.press("Tab")
            label = page.evaluate(
                "() => { const e = document.activeElement; return (e.labels?.[0]?.textContent ?? e.textContent ?? '').trim(); }"
            )
            if label.startswith(words):
                return
        raise AssertionError(f"the keyboard does not come to {words}")

    to("Bare warp")
    page.keyboard.press("Enter")
    page.wait_for_url("**/design")
    to("Lines as text")
    page.keyboard.type("r o o")
    page.keyboard.press("Tab")
    page.keyboard.type("Spots")
    page.keyboard.press("Enter")
    expect(page.locator("#bands").get_by_text("Spots")).to_be_visible()
    page.keyboard.press("Escape")
    page.locator("#work").focus()
    page.keyboard.press("t")
    expect(page.locator("#views [aria-current]").first).to_have_text("Turn over")
    page.keyboard.press("Control+z")
    expect(page.locator("#bands").get_by_text("Spots")).to_have_count(0)


def test_without_scripts_forms_do_the_same(running: Running, chromium: Browser) -> None:
    context = chromium.new_context(java_script_enabled=False)
    without_pictures(context)
    page = context.new_page()
    page.goto(running.url)
    from_bare_warp(page)
    page.wait_for_url("**/design")
    page.get_by_label("Lines as text, the lowest first").fill("r o o *2")
    page.get_by_role("button", name="Insert band").click()
    expect(page.locator("#bands").get_by_text("Band 1").first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Nothing is laid yet")).to_be_visible()
    context.close()


def test_a_second_start_finds_the_one_that_runs(running: Running, tmp_path: Path) -> None:
    environment = {**os.environ, "WEFTLINE_DATA": str(running.data), "PYTHONPATH": str(ROOT / "src")}
    again = subprocess.run(
        [sys.executable, "-P", "-m", "weftline", "open", "--no-browser"],
        env=environment, capture_output=True, text=True, timeout=30, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert (again.returncode, again.stderr) == (0, "")
    assert again.stdout == f"The workbench runs already at {running.url}/\n"
    assert running.stop() in (0, 130, -2)
    assert "Traceback" not in "".join(running.said)


def test_pictures_of_the_cloth_really_come(running: Running, chromium: Browser) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    wanted = (
        "[...document.images].filter((one) => one.offsetParent).every((one) => one.complete && one.naturalWidth > 1)"
    )
    wait_until(lambda: page.evaluate(wanted), 60)
    context.close()


def test_alone_it_opens_with_the_demo_pieces_there(tmp_path: Path, page: Page) -> None:
    running = Running(tmp_path / "data", demos=True)
    running.start()
    try:
        page.goto(running.url)
        expect(page.locator(".piece-link")).to_have_count(len(list((ROOT / "examples").glob("*.json"))))
    finally:
        running.stop()


def test_a_piece_imported_on_the_command_line_hangs_on_the_open_rail(running: Running, page: Page) -> None:
    page.goto(running.url)
    expect(page.get_by_text("No pieces yet.")).to_be_visible()
    environment = {**os.environ, "WEFTLINE_DATA": str(running.data), "PYTHONPATH": str(ROOT / "src")}
    subprocess.run(
        [sys.executable, "-P", "-m", "weftline", "import", str(EXAMPLE)],
        env=environment, check=True, timeout=60, capture_output=True, cwd=running.data.parent,
    )  # fmt: skip
    expect(page.get_by_role("link", name="Kneeling pad")).to_be_visible(timeout=5_000)
    assert running.stop() in (0, 130, -2)
    assert "Traceback" not in "".join(running.said)


def test_a_skein_changed_on_the_shelf_is_changed_in_a_piece_that_follows(
    running: Running, context: BrowserContext, page: Page
) -> None:
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    shelf = context.new_page()
    shelf.goto(f"{running.url}/yarns")
    shelf.get_by_label("Name").fill("Madder of the shelf")
    shelf.get_by_label("Size, as the label says").fill("Nm 6/2")
    shelf.get_by_role("button", name="Put it on the shelf").click()
    shelf.get_by_role("link", name="Madder of the shelf").click()
    shelf.get_by_label("Letter").fill("m")
    shelf.get_by_role("button", name="Take it in").click()
    expect(shelf.get_by_text("letter m: follows the shelf.")).to_be_visible()
    expect(page.locator("#yarns")).to_contain_text("Madder of the shelf")
    shelf.get_by_label("Name").fill("Old rose")
    shelf.get_by_role("button", name="Keep this label").click()
    expect(page.locator("#yarns")).to_contain_text("Old rose")
    page.get_by_role("button", name="Undo: follow shelf yarn Old rose").click()
    expect(page.locator("#yarns")).to_contain_text("Madder of the shelf")


def test_all_pages_of_the_pattern_come_by_themselves_once_they_are_set(running: Running, chromium: Browser) -> None:
    context = chromium.new_context(viewport={"width": 1440, "height": 900})
    page = context.new_page()
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    first = page.goto(page.url.replace("/design", "/write-up"))
    assert first is not None
    assert first.text().count('class="leaf"') == 1
    expect(page.get_by_role("heading", name=re.compile(r"Its \d+ pages"))).to_be_visible(timeout=60_000)
    last = page.locator(".leaves img").last
    last.scroll_into_view_if_needed()
    wait_until(lambda: last.evaluate("(one) => one.naturalWidth > 900"), 30)
    tops = page.evaluate("[...document.querySelectorAll('.leaves img')].slice(0, 3).map((one) => one.offsetTop)")
    assert tops[0] == tops[1] < tops[2]
    page.set_viewport_size({"width": 390, "height": 844})
    tops = page.evaluate("[...document.querySelectorAll('.leaves img')].slice(0, 2).map((one) => one.offsetTop)")
    assert tops[0] < tops[1]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    context.close()


def test_without_scripts_a_clash_shows_both_versions_and_mine_can_be_kept(running: Running, chromium: Browser) -> None:
    contexts = [chromium.new_context(java_script_enabled=False) for _ in range(2)]
    pages = []
    for context in contexts:
        without_pictures(context)
        pages.append(context.new_page())
    pages[0].goto(running.url)
    from_bare_warp(pages[0])
    pages[0].wait_for_url("**/design")
    pages[0].get_by_label("Lines as text, the lowest first").fill("r o o")
    pages[0].get_by_role("button", name="Insert band").click()
    pages[0].locator(".lines a").first.click()
    pages[1].goto(pages[0].url)
    for page, text in zip(pages, ("s o o", "d o o"), strict=True):
        page.get_by_label("The line as text").fill(text)
        page.get_by_role("button", name="Write", exact=True).click()
    expect(pages[1].get_by_role("heading", name="Both changed the same place")).to_be_visible()
    expect(pages[1].get_by_role("row").last).to_have_text("Band 1, line 1s o od o o")
    pages[1].get_by_role("button", name="Keep mine").click()
    pages[1].wait_for_url("**/design?at=*")
    assert project_file(running, pages[1])["sections"][0]["strips"][0]["bands"][0]["lines"] == ["d o o"]  # type: ignore[index]
    for context in contexts:
        context.close()
