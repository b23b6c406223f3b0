"""A window at the painted cloth: where a bead lies in it, what is seen there, what the server keeps of it."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from playwright.sync_api import Page, expect

from tests.e2e.conftest import Running
from weftline.core.piece.cloth import StripCloth, expand
from weftline.core.piece.values import Project

BEYOND: Final = {"floating": 1.1, "none": 0.4}
"""Drawn beside each edge, in columns."""
PLACED: Final = """() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => {
  const stage = document.querySelector('#work .stage').getBoundingClientRect();
  const style = document.querySelector('#work .cloth-shade').style;
  const [left, top, width, height] = ['left', 'top', 'width', 'height'].map((name) => parseFloat(style[name]));
  const tall = style.display === 'none' ? 0 : height + 6;
  done({ x: stage.x + left - 2, foot: stage.y + top - 3 + tall, width: width + 4, height: tall });
})))"""
FOLLOWED: Final = """(seq) => Number(document.body.dataset.seq) > seq
  && document.querySelector('#kept .kept-word').textContent === 'Kept'"""
"""Whether a page knows of more entries, and has nothing left to send."""
PIXEL: Final = """([x, y]) => {
  const wool = document.querySelector('#work .wool');
  const box = wool.getBoundingClientRect();
  const dense = wool.width / box.width;
  return [...wool.getContext('2d').getImageData(Math.round((x - box.x) * dense), Math.round((y - box.y) * dense), 1, 1).data];
}"""


@dataclass(frozen=True)
class Placed:
    """Where the cloth lies in the window, px: its left edge, its foot, its width and height."""

    x: float
    foot: float
    width: float
    height: float


class Bench:
    """A window at the Design page of a piece."""

    def __init__(self, running: Running, page: Page, line_px: int) -> None:
        self.running, self.page, self.line_px = running, page, line_px
        self.strip = (0, 0)
        self._known: dict[tuple[str, str], dict[str, Any]] = {}

    @property
    def piece(self) -> str:
        """The piece's id."""
        return self.page.url.split("/pieces/")[1].split("/")[0]

    def _got(self, address: str) -> dict[str, Any]:
        """An answer of the server; asked for once for each entry that the page knows."""
        key = address, self.page.evaluate("document.body.dataset.seq")
        if key not in self._known:
            self._known[key] = json.loads(self.page.request.get(self.running.url + address).text())
        return self._known[key]

    def data(self) -> dict[str, Any]:
        """The piece as the page gets it."""
        return self._got(f"/api/pieces/{self.piece}/cloth")

    def file(self) -> dict[str, Any]:
        """The project file, as given out."""
        return self._got(f"/pieces/{self.piece}/files/project.json")

    def bands(self) -> list[dict[str, Any]]:
        """The bands of the strip in hand."""
        found: list[dict[str, Any]] = self.file()["sections"][self.strip[0]]["strips"][self.strip[1]].get("bands", [])
        return found

    def lines(self) -> list[str]:
        """The written lines of the strip in hand, the lowest first."""
        return [line for band in self.bands() for line in band["lines"]]

    def cloth(self) -> StripCloth:
        """The strip in hand, expanded in Python."""
        return cloth_of(self.file(), self.strip)

    def placed(self) -> Placed:
        """Where the cloth lies now, once it is drawn."""
        return Placed(**self.page.evaluate(PLACED))

    def kept(self) -> None:
        """Wait until everything is kept, and the page shows all that others did."""
        expect(self.page.locator("#kept .kept-word")).to_have_text("Kept")
        seq = self.page.request.get(f"{self.running.url}/api/pieces/{self.piece}/cloth").json()["seq"]
        self.page.wait_for_function(FOLLOWED, arg=seq - 1)

    def bead(self, line: int, slot: int) -> tuple[float, float]:
        """A bead that shows a pick on the face: the middle of one left of the tuck."""
        placed, (pick, picks) = self.placed(), self.pick(line, slot)
        mask, middle = int(picks.shed[pick]), float(picks.centre_mm[pick])
        covered = [shaft for shaft in range(1, 17) if mask >> (shaft - 1) & 1]
        return self.across(placed, covered), placed.foot - middle / picks.height_mm * placed.height

    def across(self, placed: Placed, shafts: Sequence[int]) -> float:
        """The middle of an end of some shafts, left of the tuck, px; where there is room not at the edge."""
        column, ends = self.column(placed), self.ends()
        first = 4 if placed.width > 9 * column else 0
        return placed.x + (next(at for at in range(first, len(ends)) if ends[at] in shafts) + 0.5) * column

    def pick(self, line: int, slot: int) -> tuple[int, Any]:
        """The place of a pick of a running line, and all picks."""
        picks = self.cloth().weaving.picks
        found = [at for at in range(len(picks)) if (int(picks.line[at]), int(picks.slot[at])) == (line, slot)]
        return found[0], picks

    def above(self, slot: int) -> tuple[float, float]:
        """Bare warp above the fell, over an end of a shed."""
        placed = self.placed()
        shed = self.data()["technique"]["sheds"][slot]
        return self.across(placed, shed), placed.foot - placed.height - 24

    def ends(self) -> Sequence[int]:
        """Shafts of the ends, left to right."""
        found: Sequence[int] = self.data()["sections"][self.strip[0]]["strips"][self.strip[1]]["ends"]
        return found

    def column(self, placed: Placed) -> float:
        """Width of a column, px."""
        data = self.data()
        pitch = float(data["pitch_mm"]) / float(data["line_mm"]) * self.line_px
        return placed.width / max(1, round(placed.width / pitch))

    def beside(self) -> float:
        """Where the margin's right edge is, px."""
        placed = self.placed()
        return placed.x - BEYOND[self.data()["edge"]["kind"]] * self.column(placed)

    def pixel(self, x: float, y: float) -> tuple[int, int, int]:
        """What the wool shows at a place of the window."""
        red, green, blue, opaque = self.page.evaluate(PIXEL, [x, y])
        assert opaque == 255, "no wool is there"
        return red, green, blue

    def yarn_at(self, x: float, y: float) -> str:
        """Key of the yarn whose colour is seen at a place: the nearest hue."""
        seen = _hue(self.pixel(x, y))
        colours: dict[str, str] = {one["key"]: one["colour"] for one in self.data()["yarns"] if not one["is_warp"]}
        parts = {key: tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5)) for key, colour in colours.items()}
        return min(parts, key=lambda key: math.dist(_hue(parts[key]), seen))

    def said(self) -> str:
        """What the foot of the page says of the pick pointed at, or in hand."""
        return self.page.locator("#views .held-words").text_content() or ""


def _hue(colour: tuple[int, ...]) -> tuple[float, ...]:
    """How far red, green and blue lie from their mean, against it: the same in light and shade."""
    light = [(one / 255) ** 2.2 for one in colour]
    mean = sum(light) / 3 or 1.0
    return tuple(one / mean for one in light)


def cloth_of(file: dict[str, Any], strip: tuple[int, int] = (0, 0)) -> StripCloth:
    """A strip of a project file, expanded."""
    return expand(Project.model_validate(file)).sections[strip[0]].strips[strip[1]]


def told(file: dict[str, Any], strip: tuple[int, int] = (0, 0)) -> list[tuple[int, int, str]]:
    """Every pick of a strip: running line, shed mask, yarns."""
    weaving = cloth_of(file, strip).weaving
    picks, windings = weaving.picks, ["+".join(key for key, _ in one) for one in weaving.windings]
    return [(int(picks.line[at]), int(picks.shed[at]), windings[picks.wound[at]]) for at in range(len(picks))]
