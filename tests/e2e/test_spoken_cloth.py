"""The cloth for those who hear it: a grid in the browser's own accessibility tree, live words; motion and colours at rest."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.e2e.axe_pages import axe_findings
from tests.e2e.conftest import Running, wait_until, without_pictures
from tests.e2e.test_journeys import from_demo


def accessible(page: Page) -> list[dict[str, Any]]:
    """Return the accessibility tree as the browser gives it to a screen reader."""
    session = page.context.new_cdp_session(page)
    session.send("Accessibility.enable")
    nodes: list[dict[str, Any]] = session.send("Accessibility.getFullAXTree")["nodes"]
    return [node for node in nodes if not node.get("ignored")]


def named(nodes: list[dict[str, Any]], role: str) -> list[str]:
    """Return the names of everything with a role."""
    return [str(node.get("name", {}).get("value", "")) for node in nodes if node["role"]["value"] == role]


def focused(nodes: list[dict[str, Any]]) -> str:
    """Return the name of what has the focus."""
    for node in nodes:
        for one in node.get("properties", ()):
            if one["name"] == "focused" and one["value"].get("value") and node["role"]["value"] != "RootWebArea":
                return str(node["name"]["value"])
    return ""


@pytest.fixture
def cloth(running: Running, page: Page) -> Page:
    """The Design page of a demo, its cloth ready."""
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    page.locator("html.live").wait_for()
    page.locator('[role="grid"] [role="gridcell"]').first.wait_for(state="attached")
    return page


def test_the_cloth_is_a_grid_that_is_walked_and_spoken(cloth: Page) -> None:
    cloth.locator("#work").focus()
    cloth.keyboard.press("Home")
    nodes = accessible(cloth)
    assert "The cloth, line 1 lowest" in named(nodes, "grid")
    cells = named(nodes, "gridcell")
    assert "pick 1, night" in cells
    assert focused(nodes) == "pick 1, night"
    for _ in range(9):
        cloth.keyboard.press("ArrowUp")
    cloth.keyboard.press("ArrowRight")
    wait_until(lambda: cloth.locator("#spoken").text_content() == "Line 10, pick 2: night")
    cloth.keyboard.press("3")
    wait_until(lambda: cloth.locator("#spoken").text_content() == "Madder in hand")
    cloth.keyboard.press(" ")
    cloth.keyboard.press("ArrowLeft")
    wait_until(lambda: focused(accessible(cloth)) == "pick 2, madder")
    rows = [name for name in named(accessible(cloth), "rowheader") if name.startswith("Line ")]
    assert rows == [f"Line {number}" for number in range(13, 6, -1)]


def test_axe_finds_nothing_while_something_is_in_hand(cloth: Page) -> None:
    cloth.locator("#work").focus()
    cloth.keyboard.press("Home")
    for key in ("ArrowUp", "Shift+ArrowUp", "b", "s"):
        cloth.keyboard.press(key)
        cloth.wait_for_timeout(400)
        assert axe_findings(cloth) == [], key
        if cloth.locator("dialog[open]").count():
            cloth.keyboard.press("Escape")
        cloth.locator("#work").focus()


@pytest.mark.parametrize("motion,moves", [("reduce", False), ("no-preference", True)])
def test_turning_over_moves_only_where_motion_is_wanted(
    running: Running, chromium: Browser, motion: Any, moves: bool
) -> None:
    context = chromium.new_context(viewport={"width": 1440, "height": 900}, reduced_motion=motion)
    without_pictures(context)
    context.add_init_script("window.moved = 0; const move = Element.prototype.animate;"
                            "Element.prototype.animate = function (...all) { window.moved += 1; return move.apply(this, all); };")  # fmt: skip
    page = context.new_page()
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    page.locator("html.live").wait_for()
    page.locator("#views").get_by_role("link", name="Turn over").click()
    wait_until(lambda: page.locator("#work").get_attribute("data-back") == "1")
    page.wait_for_timeout(300)
    assert (page.evaluate("window.moved") > 0) == moves
    context.close()


def test_forced_colours_leave_the_wool_and_mark_the_yarn_in_hand(running: Running, chromium: Browser) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844}, forced_colors="active")
    without_pictures(context)
    page = context.new_page()
    page.goto(running.url)
    from_demo(page)
    page.wait_for_url("**/design")
    page.locator(".yarns li.in-hand").wait_for()
    held = page.locator(".yarns li.in-hand").evaluate("(one) => getComputedStyle(one).borderTopColor")
    other = page.locator(".yarns li:not(.in-hand):not(.warp-yarn)").first.evaluate(
        "(one) => getComputedStyle(one).borderTopColor"
    )
    assert held != other
    assert page.locator(".stage").evaluate("(one) => getComputedStyle(one).forcedColorAdjust") == "none"
    context.close()
