"""A workbench in a process of its own, and Debian's chromium at it."""

from __future__ import annotations

import base64
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright

from tests.architecture.source import ROOT

CHROMIUM: Final = shutil.which("chromium")
ARGUMENTS: Final = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
START_S: Final = 30


@dataclass
class Running:
    """A workbench that runs, and may be stopped and started again on the same data."""

    data: Path
    demos: bool = False
    process: subprocess.Popen[str] | None = None
    said: list[str] = field(default_factory=list)
    log: Path = Path()

    def start(self) -> None:
        """Start it and wait until it says where it is."""
        command = [sys.executable, "-P", "-m", "weftline", *([] if self.demos else ["open", "--no-browser"])]
        environment = {**os.environ, "WEFTLINE_DATA": str(self.data), "PYTHONPATH": str(ROOT / "src"), "DISPLAY": ""}
        log = self.data.parent / f"said-{self.data.name}.txt"
        with log.open("w") as out:  # not a pipe: nobody reads on, and a full one would stop the server
            self.process = subprocess.Popen(
                command, env=environment, stdout=out, stderr=subprocess.STDOUT, text=True, cwd=self.data.parent
            )
        self.log = log
        until = time.monotonic() + START_S
        while "\n" not in (text := log.read_text()) and time.monotonic() < until and self.process.poll() is None:
            time.sleep(0.02)
        self.said = [text]
        assert "http://127.0.0.1:" in text, text

    @property
    def url(self) -> str:
        """Where it is."""
        return "http://" + self.said[0].split("http://")[1].split()[0].rstrip("/")

    def stop(self) -> int:
        """Interrupt it as Ctrl-C does; return its exit code."""
        assert self.process is not None
        self.process.send_signal(signal.SIGINT)
        code = self.process.wait(15)
        self.said.append(self.log.read_text())
        self.process = None
        return code

    def kill(self) -> None:
        """Let it vanish as in a power cut."""
        assert self.process is not None
        self.process.kill()
        self.process.wait(15)
        self.process = None


@pytest.fixture
def running(tmp_path: Path) -> Iterator[Running]:
    """A workbench on an empty shelf."""
    found = Running(tmp_path / "data")
    found.start()
    yield found
    if found.process is not None:
        found.stop()


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """Playwright without browsers of its own."""
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="module")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    """Debian's chromium."""
    assert CHROMIUM, "chromium is not here; on Debian: apt-get install chromium"
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
    yield browser
    browser.close()


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """A fresh browser, 1440 px wide."""
    found = chromium.new_context(viewport={"width": 1440, "height": 900}, accept_downloads=True)
    found.set_default_timeout(15_000)
    without_pictures(found)
    yield found
    found.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """One window; anything said on its console is kept in ``page.said`` by the tests that look."""
    return context.new_page()


def without_pictures(context: BrowserContext) -> None:
    """Answer every picture with a dot: cloth is drawn and tested elsewhere, here it would only take time."""
    dot = base64.b64decode("UklGRiQAAABXRUJQVlA4IBgAAAAwAQCdASoBAAEAAgA0JaQAA3AA/vuUAAA=")
    context.route("**/*.webp*", lambda route: route.fulfill(body=dot, content_type="image/webp"))


def project_file(running: Running, page: Page) -> dict[str, object]:
    """The project file of the piece that a page shows, as given out."""
    piece = page.url.split("/pieces/")[1].split("/")[0]
    answer = page.request.get(f"{running.url}/pieces/{piece}/files/project.json")
    found: dict[str, object] = json.loads(answer.text())
    return found


def wait_until(check: object, seconds: float = 10) -> None:
    """Wait until a check holds."""
    assert callable(check)
    until = time.monotonic() + seconds
    while not check():
        assert time.monotonic() < until, "it did not come true in time"
        time.sleep(0.05)
