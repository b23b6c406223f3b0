"""Make the pictures of the Design page in all its states, in docs/pictures/design: 1440, 820 and 390 pixels, light and dark.

.venv-test/bin/python docs/make_design_pictures.py [STATE ...]
"""

from __future__ import annotations

import io
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "docs" / "pictures" / "design"
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
SIZES = ((1440, 900), (820, 1180), (390, 844))
SCHEMES = ("light", "dark")
REST_MS = 2500
"""How long a page is given to fetch its wool."""
COLOURS = (
    "#e8dfc8",
    "#a8332e",
    "#3f4d5c",
    "#d99a2b",
    "#a9b07e",
    "#6f3b4f",
    "#2f6b63",
    "#1d1b1a",
    "#f4f1ea",
    "#8a5a33",
    "#c7a3a0",
    "#4b4f94",
)
NAMES = ("Oat from the upper meadow, washed twice", "Madder, third bath", "Slate", "Weld over alum", "Lichen", "Alder bark and iron",
         "Deep pool green", "Soot", "Bleached birch", "Walnut hull", "Heather bloom", "Evening cloth blue")  # fmt: skip


def many() -> dict[str, Any]:
    """Return a piece of 40 bands in 12 yarns with the longest names."""
    yarns = {
        key: {"name": name, "fibre": "wool", "size": "Nm 6/2", "strands": 2, "colour": colour, "on_hand_g": 60}
        for key, name, colour in zip("abcdefghijkl", NAMES, COLOURS, strict=True)
    }
    keys = list(yarns)
    bands = []
    for place in range(40):
        one, two, three = (keys[(place * step + step) % 12] for step in (1, 5, 7))
        mirror = ("none", "lines", "picks")[place % 3]
        band: dict[str, Any] = {
            "name": f"Band of the {place + 1}. evening by the long window",
            "lines": [f"{one} {two} {two}", f"{one} {two} {three} *2"],
        }
        bands.append({**band, **({} if mirror == "none" else {"mirror": mirror})})
    strip = {"ends": 61, "bands": bands}
    return {
        "weftline": 1,
        "name": "The long runner for the hall with the twelve wools",
        "yarns": yarns,
        "ground": "a",
        "sections": [{"strips": [strip]}],
    }


def two_strips() -> dict[str, Any]:
    """Return two strips side by side, each with its own colours."""
    yarns = {key: {"name": name, "fibre": "wool", "size": "Nm 6/2", "strands": 2, "colour": colour}
             for key, name, colour in zip("orsd", NAMES, COLOURS, strict=False)}  # fmt: skip
    left = {
        "name": "Left",
        "ends": 29,
        "gap_after_cm": 3,
        "idle_after": 3,
        "bands": [{"lines": ["o o o *4", "r o o", "r r o", "s r o *2"], "mirror": "lines"}],
    }
    right = {
        "name": "Right",
        "ends": 29,
        "bands": [{"lines": ["o o o *4", "s o o", "s d o", "d s o *2"], "mirror": "lines"}],
    }
    return {
        "weftline": 1,
        "name": "A pair of straps",
        "yarns": yarns,
        "ground": "o",
        "sections": [{"strips": [left, right]}],
    }


def demo(name: str) -> dict[str, Any]:
    """Return a demo piece."""
    found: dict[str, Any] = json.loads((ROOT / "examples" / f"{name}.json").read_text(encoding="utf-8"))
    return found


def flawed() -> dict[str, Any]:
    """Return a demo piece with things to be found: a long float, an edge that is not caught, too little wool."""
    piece = demo("kneeling-pad")
    bands = piece["sections"][0]["strips"][0]["bands"]
    bands[1]["lines"] = ["b n m *2", "- n - *3", "n b m"]
    for yarn in piece["yarns"].values():
        yarn["on_hand_g"] = 20
    piece["limits"] = {"float_ends": 3}
    return piece


def middle(page: Page) -> tuple[float, float]:
    """Return a place on the cloth."""
    box = page.locator(".stage").bounding_box()
    assert box is not None
    return box["x"] + box["width"] * (0.55 if page.viewport_size and page.viewport_size["width"] > 700 else 0.4), box[
        "y"
    ] + box["height"] * 0.62


def first_minute(page: Page) -> None:
    """Nothing is laid; the first hint stands there."""


def painting(page: Page) -> None:
    """A pick laid in a line that comes again."""
    page.mouse.click(*middle(page))


def band(page: Page) -> None:
    """A band's card with its three ways back."""
    page.mouse.click(*middle(page))
    page.keyboard.press("m")
    page.wait_for_timeout(4000)


def swap(page: Page) -> None:
    """The sheet of swaps."""
    page.mouse.click(*middle(page))
    page.keyboard.press("s")


def turned(page: Page) -> None:
    """The back, with marks."""
    page.locator("#work").focus()
    page.keyboard.press("t")
    page.wait_for_timeout(REST_MS)
    page.keyboard.press("y")


def findings(page: Page) -> None:
    """A peg that says what it is about."""
    if page.locator(".peg:visible").count():
        page.locator(".peg:visible").first.click()


def second_strip(page: Page) -> None:
    """The second of two strips."""
    href = page.url.split("?")[0] + "?section=0&strip=1"
    page.goto(href)


STATES: dict[str, tuple[Callable[[], dict[str, Any]] | None, Callable[[Page], None]]] = {
    "first-minute": (None, first_minute),
    "painting": (lambda: demo("kneeling-pad"), painting),
    "band": (lambda: demo("sling-and-straps"), band),
    "swap": (lambda: demo("wall-piece"), swap),
    "turned-over": (lambda: demo("allotment-mat"), turned),
    "findings": (flawed, findings),
    "two-strips": (two_strips, second_strip),
    "many": (many, first_minute),
}


def hang(page: Page, url: str, state: str) -> str:
    """Make the piece of a state; return its Design page."""
    make = STATES[state][0]
    headers = {"accept": "application/json"}
    if make is None:
        answer = page.request.post(
            f"{url}/pieces/bare-warp", form={"entry": f"bare-{page.viewport_size}"}, headers=headers
        )
    else:
        text = json.dumps(make()).encode()
        file: Any = {"name": "piece.json", "mimeType": "application/json", "buffer": text}
        answer = page.request.post(
            f"{url}/pieces/from-file",
            multipart={"entry": f"{state}-{page.viewport_size}", "file": file},
            headers=headers,
        )
    assert answer.ok, answer.text()
    return url + str(answer.json()["href"]).split("?")[0].split("#")[0]


def take(browser: Browser, url: str, states: list[str]) -> None:
    """Take every state in every size, light and dark."""
    for state in states:
        for width, height in SIZES:
            for scheme in SCHEMES:
                context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)  # type: ignore[arg-type]
                page = context.new_page()
                page.goto(hang(page, url, state))
                page.locator("html.live").wait_for(timeout=60_000)
                page.wait_for_timeout(REST_MS)
                STATES[state][1](page)
                page.wait_for_timeout(REST_MS)
                target = PICTURES / f"{state}-{width}-{scheme}.webp"
                Image.open(io.BytesIO(page.screenshot())).convert("RGB").save(target, quality=78, method=6)
                sys.stderr.write(f"{target.name}: {target.stat().st_size // 1000} kB\n")
                context.close()


def main() -> None:
    """Start a workbench and take its pictures."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "WEFTLINE_DATA": folder, "PYTHONPATH": str(ROOT / "src"), "DISPLAY": ""}
        command = [sys.executable, "-P", "-m", "weftline", "open", "--no-browser"]
        server = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)
        assert server.stdout is not None
        url = "http://" + server.stdout.readline().split("http://")[1].strip().rstrip("/")
        try:
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
                take(browser, url, sys.argv[1:] or list(STATES))
                browser.close()
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(20)


if __name__ == "__main__":
    main()
