"""Contrast on every page of the workbench, in both themes at every width: the lowest of each role.

Run: ``python -m bench.contrast``. The exit code is 1 if a colour misses its bound.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.e2e.axe_pages import SCHEMES, WIDTHS, View, fill, opened, visit
from tests.e2e.conftest import ARGUMENTS, CHROMIUM, Running
from tests.e2e.contrast import Shown, shown, table


def main() -> None:
    """Fill a workbench, look at the colours of all of it, tell."""
    every: dict[str, list[Shown]] = {scheme: [] for scheme in SCHEMES}
    troubles: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        running = Running(Path(folder) / "data", demos=True)
        running.start()
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        try:
            with opened(browser, View(1440)) as context:
                places = fill(running, context.request)
            for view in (View(width, scheme) for width in WIDTHS for scheme in SCHEMES):
                with opened(browser, view) as context:
                    page = context.new_page()
                    for place in places:
                        for trouble in visit(page, running.url, place):
                            troubles.setdefault(f"{place.name}: {trouble}", str(view))
                        colours = shown(page)
                        every[view.scheme] += colours
                        for one in colours:
                            if one.trouble:
                                troubles.setdefault(f"{place.name}: {one.trouble}", str(view))
        finally:
            browser.close()
            running.stop()
    for scheme, colours in every.items():
        print(f"{scheme}, {len(places)} pages x {len(WIDTHS)} widths, {len(colours)} colours on what lies behind:")
        print(table(colours))
    print(f"contrast: {len(troubles)} colours miss their bound")
    for trouble, where in troubles.items():
        print(f"  {trouble} ({where})")
    sys.exit(bool(troubles))


if __name__ == "__main__":
    main()
