"""What every page keeps to: axe finds nothing, nothing is cut or runs out sideways, colours are told from what lies behind.

Two views of every page here; ``bench/axe_matrix.py`` and ``bench/contrast.py`` take them all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pytest
from playwright.sync_api import Browser, Page

from tests.e2e.axe_pages import (
    NOWHERE,
    Place,
    View,
    axe_findings,
    cut,
    fill,
    opened,
    set_text,
    sideways,
    visit,
)
from tests.e2e.conftest import Running, wait_until
from tests.e2e.contrast import lowest, shown, table

VIEWS = (View(1440, "light"), View(390, "dark"))
SIZES = [(390, 100), (390, 200)]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A workbench with every demo, one of them on the loom, and something on the shelves."""
    running = Running(tmp_path_factory.mktemp("filled") / "data", demos=True)
    running.start()
    yield running
    running.stop()


@pytest.fixture(scope="module")
def places(filled: Running, chromium: Browser) -> Sequence[Place]:
    """Every page of it."""
    with opened(chromium, View(1440)) as context:
        return fill(filled, context.request)


@pytest.mark.parametrize("view", VIEWS, ids=str)
def test_axe_finds_nothing(filled: Running, places: Sequence[Place], chromium: Browser, view: View) -> None:
    found = []
    with opened(chromium, view) as context:
        page = context.new_page()
        for place in places:
            found += [f"{place.name}: {one}" for one in (*visit(page, filled.url, place), *axe_findings(page))]
    assert found == []


@pytest.mark.parametrize("width,percent", SIZES)
def test_nothing_is_cut_or_runs_out_sideways(
    filled: Running, places: Sequence[Place], chromium: Browser, width: int, percent: int
) -> None:
    found = []
    with opened(chromium, View(width)) as context:
        page = context.new_page()
        for place in places:
            answered = visit(page, filled.url, place)
            set_text(page, percent)
            found += [f"{place.name}: {one}" for one in (*answered, *sideways(page), *cut(page))]
    assert found == []


@pytest.mark.parametrize("view", VIEWS, ids=str)
def test_every_colour_is_one_of_ours_and_is_told_from_what_lies_behind(
    filled: Running, places: Sequence[Place], chromium: Browser, view: View
) -> None:
    colours, found = [], []
    with opened(chromium, view) as context:
        page = context.new_page()
        for place in places:
            found += [f"{place.name}: {one}" for one in visit(page, filled.url, place)]
            seen = shown(page)
            found += [f"{place.name}: {one.trouble}" for one in seen if one.trouble]
            colours += seen
    print(f"lowest contrast, {view}:\n{table(colours)}")
    assert found == []
    assert {"ink", "quiet", "look", "edge", "mark", "button", "focus"} <= set(lowest(colours))


def test_every_byte_comes_from_this_workbench_and_nothing_is_said_on_the_console(
    filled: Running, places: Sequence[Place], page: Page
) -> None:
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda cause: said.append(str(cause)))
    for place in places:
        if place.path != NOWHERE:  # a browser says of itself that a page is missing
            page.goto(filled.url + place.path)
    assert [url for url in asked if not url.startswith((filled.url, "data:"))] == []
    assert said == []


def test_all_chrome_is_neutral_grey(filled: Running, page: Page) -> None:
    for path in ("/", "/settings", "/samples"):
        page.goto(filled.url + path)
        tinted = page.evaluate(
            """() => [...document.querySelectorAll('body, body *')].flatMap((e) => {
              if (e.closest('svg')) return [];
              const s = getComputedStyle(e);
              return [s.color, s.backgroundColor, s.borderTopColor].filter((c) => {
                const m = c.match(/oklch\\(\\S+ (\\S+)/);
                if (m) return Number(m[1]) > 0.001;
                const r = c.match(/rgba?\\((\\d+), (\\d+), (\\d+)/);
                return r ? new Set(r.slice(1, 4)).size > 1 : false;
              });
            })"""
        )
        assert tinted == []


@pytest.mark.parametrize("query", ["", "?scale=life", "?scale=whole", "?back=1&marks=1"])
@pytest.mark.parametrize("bare", [False, True], ids=["woven", "bare"])
def test_the_panel_keeps_its_width_however_the_cloth_is_seen(
    filled: Running, page: Page, query: str, bare: bool
) -> None:
    piece = next(
        one["id"] for one in page.request.get(f"{filled.url}/api/pieces").json() if one["name"] == "Two shores"
    )
    if bare:
        headers = {"accept": "application/json"}
        form: dict[str, str | float | bool] = {"entry": "bare for the panel"}
        made = page.request.post(f"{filled.url}/pieces/bare-warp", form=form, headers=headers).json()
        piece = made["href"].split("/")[2]
    page.goto(f"{filled.url}/pieces/{piece}/design{query}")
    box = page.locator("aside").bounding_box()
    assert box is not None
    assert (round(box["width"]), round(box["x"] + box["width"])) == (360, 1440)
    widest = "() => Math.max(...[...document.querySelectorAll('#work :is(img, canvas)')].map((one) => one.clientWidth))"
    wait_until(lambda: page.evaluate(widest) > 150, 30)
