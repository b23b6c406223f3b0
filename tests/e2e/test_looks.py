"""What every page keeps to: axe finds nothing, nothing is cut or runs out sideways, nothing comes from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.e2e.conftest import Running, without_pictures

STOPS = ("sample", "design", "dress", "weave", "finish", "write-up")
SHELVES = ("/", "/yarns", "/looms", "/samples", "/settings", "/new", "/demos", "/put-away", "/find?q=mat")


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A workbench with every demo, one of them on the loom, and something on the shelves."""
    running = Running(tmp_path_factory.mktemp("filled") / "data", demos=True)
    running.start()
    yield running
    running.stop()


def addresses(running: Running, page: Page) -> list[str]:
    pieces = page.request.get(f"{running.url}/api/pieces").json()
    chosen = [one["id"] for one in pieces if one["name"].startswith(("Kneeling", "Folding"))]
    page.request.post(f"{running.url}/pieces/{chosen[0]}/woven", form={"entry": "woven", "throws": "30"})
    page.request.post(
        f"{running.url}/yarns",
        form={"entry": "skein", "name": "Night", "size": "R 550 tex / 3", "lot": "7", "on_hand": "90"},
    )
    page.request.post(f"{running.url}/looms", form={"entry": "loom", "name": "Big one", "kind": "floor"})
    return [*SHELVES, *(f"/pieces/{piece}/{stop}" for piece in chosen for stop in STOPS)]


@pytest.mark.parametrize("width,scheme", [(1440, "light"), (390, "dark")])
def test_axe_finds_nothing(filled: Running, chromium: Browser, width: int, scheme: str) -> None:
    context = chromium.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)  # type: ignore[arg-type]
    without_pictures(context)
    page = context.new_page()
    found = []
    for path in addresses(filled, page):
        page.goto(filled.url + path)
        for one in Axe().run(page).response["violations"]:
            found += [f"{path}: {one['id']}: {node['html'][:160]}" for node in one["nodes"][:3]]
    context.close()
    assert found == []


@pytest.mark.parametrize("width,size", [(320, 16), (390, 32), (820, 16), (1440, 16), (1440, 32), (2560, 16)])
def test_nothing_runs_out_sideways(filled: Running, chromium: Browser, width: int, size: int) -> None:
    context = chromium.new_context(viewport={"width": width, "height": 900})
    without_pictures(context)
    page = context.new_page()
    over = []
    for path in addresses(filled, page):
        page.goto(filled.url + path, wait_until="domcontentloaded")
        if size != 16:
            page.evaluate("size => { document.documentElement.style.fontSize = size + 'px'; }", size)
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        if wide > 0:
            over.append(f"{path}: {wide} px")
    context.close()
    assert over == []


def test_every_byte_comes_from_this_workbench_and_nothing_is_said_on_the_console(filled: Running, page: Page) -> None:
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda cause: said.append(str(cause)))
    for path in addresses(filled, page):
        page.goto(filled.url + path)
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
    box = page.locator(".panel").bounding_box()
    assert box is not None
    assert (round(box["width"]), round(box["x"] + box["width"])) == (360, 1440)
    seen = page.locator("#work img").first.bounding_box()
    assert seen is not None
    assert seen["width"] > 150
