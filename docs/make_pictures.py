"""Make the pictures of the pages in docs/pictures: the real workbench with the demo pieces, at 1440 and 390 pixels.

.venv-test/bin/python docs/make_pictures.py
"""

from __future__ import annotations

import io
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "docs" / "pictures"
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
PAGES = {
    "pieces": "",
    "sample": "sample",
    "design": "design",
    "another-size": "resize?width=40&length=60",
    "yarns-of-a-piece": "yarns",
    "dress": "dress",
    "weave": "weave",
    "finish": "finish",
    "write-up": "write-up",
}
"""What each picture is called, and the page of the piece that it shows; the rail is no page of one."""
DARK = ("sample", "design", "weave")
SIZES = ((1440, 900, "light"), (390, 844, "light"), (1440, 900, "dark"))
COLOURS = 160
"""Colours that a picture keeps, so that it stays small."""

COME = """[...document.images].every((one) => {
  const { top, bottom } = one.getBoundingClientRect();
  return one.complete || !one.checkVisibility() || top > innerHeight || bottom < 0;
})"""
"""Whether every picture that is in sight has come."""
PATIENCE_S = 120
"""How long a page waits for its pictures."""
PAINTED_MS = 4000
"""How long a page that paints its own cloth is given, the first bake included."""


def show(page: Page, url: str, name: str, target: Path) -> None:
    """Open a page, wait for its cloth, and keep it as a small PNG."""
    page.goto(url + (f"/pieces/{page.piece}/{PAGES[name]}" if PAGES[name] else "/"))  # type: ignore[attr-defined]
    until = time.monotonic() + PATIENCE_S
    while not page.evaluate(COME):  # its policy lets no text be run in it
        if time.monotonic() > until:
            raise TimeoutError(f"{target.name}: its pictures did not come in {PATIENCE_S} s")
        page.wait_for_timeout(100)
    if name in ("design", "weave"):  # their cloth is painted by the page itself
        page.wait_for_selector("canvas", state="attached", timeout=60_000)
        page.wait_for_timeout(PAINTED_MS)
    page.wait_for_timeout(400)
    image = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    image.quantize(COLOURS, dither=Image.Dither.FLOYDSTEINBERG).save(target, optimize=True)
    sys.stderr.write(f"{target.name}: {target.stat().st_size // 1000} kB\n")


def main() -> None:
    """Start a workbench with the demo pieces, one of them on the loom, and take its pages."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "WEFTLINE_DATA": folder, "PYTHONPATH": str(ROOT / "src"), "DISPLAY": ""}
        server = subprocess.Popen(
            [sys.executable, "-P", "-m", "weftline"], env=environment, stdout=subprocess.PIPE, text=True
        )
        assert server.stdout is not None
        url = "http://" + server.stdout.readline().split("http://")[1].strip().rstrip("/")
        try:
            take(url)
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(20)


def take(url: str) -> None:
    """Take every page in every size."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
        for width, height, scheme in SIZES:
            context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)  # type: ignore[arg-type]
            page = context.new_page()
            pieces = page.request.get(f"{url}/api/pieces").json()
            piece = next(one["id"] for one in pieces if one["name"] == "Kneeling pad")
            for what, done in (("woven", {"throws": "60"}), ("threaded", {"ends": "40"})):
                page.request.post(f"{url}/pieces/{piece}/{what}", form={"entry": what, **done})
            page.request.post(f"{url}/pieces/{piece}/samples", form={"entry": "counted", "lines": "62", "over": "150"})
            page.piece = piece  # type: ignore[attr-defined]
            for name in PAGES if scheme == "light" else DARK:
                show(page, url, name, PICTURES / f"{name}-{width}{'' if scheme == 'light' else '-dark'}.png")
            context.close()
        browser.close()


if __name__ == "__main__":
    main()
