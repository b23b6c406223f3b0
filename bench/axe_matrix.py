"""Every page of the workbench in every view: axe, no sideways scroll, and nothing cut with text at 200 %.

Run: ``python -m bench.axe_matrix``. The exit code is 1 if anything is found.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from bench.timing import told
from tests.e2e.axe_pages import (
    FORCED,
    LARGE_TEXT,
    SCHEMES,
    VIEWS,
    WIDTHS,
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
from tests.e2e.conftest import ARGUMENTS, CHROMIUM, Running

SHOWN = 6
"""Findings of a page that are printed."""


def seen(page: Page, url: str, place: Place, width: int) -> list[str]:
    """Return what is found on a page at a width, in all colours, then with text at 200 %."""
    if found := visit(page, url, place):
        return found
    for scheme in SCHEMES:
        for forced in FORCED:
            page.emulate_media(color_scheme=scheme, forced_colors=forced)
            view = View(width, scheme, forced)
            found += [f"{view}: {one}" for one in (*axe_findings(page), *sideways(page), *cut(page))]
    if width in LARGE_TEXT:
        set_text(page, 200)
        found += [f"{width}, text at 200 %: {one}" for one in (*sideways(page), *cut(page))]
    return found


def matrix(browser: Browser, running: Running) -> tuple[int, int]:
    """Print a line for every page; return how many pages there are, and how many findings."""
    contexts = [opened(browser, View(width)) for width in WIDTHS]
    pages = [context.new_page() for context in contexts]
    places = fill(running, contexts[0].request)
    total = 0
    for place in places:
        start = time.perf_counter()
        found: list[str] = []
        for page, width in zip(pages, WIDTHS, strict=True):
            found += seen(page, running.url, place, width)
            if any(one.startswith("answered") for one in found):
                break
        took = told(time.perf_counter() - start)
        print(f"  {place.name}: {len(VIEWS)} views, {len(found)} findings ({took})", flush=True)
        for one in found[:SHOWN]:
            print(f"    {one}")
        total += len(found)
    for context in contexts:
        context.close()
    return len(places), total


def main() -> None:
    """Fill a workbench, look at all of it, tell."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        running = Running(Path(folder) / "data", demos=True)
        running.start()
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        try:
            pages, found = matrix(browser, running)
        finally:
            browser.close()
            running.stop()
    print(f"axe: {pages} pages x {len(VIEWS)} views, {found} findings")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
