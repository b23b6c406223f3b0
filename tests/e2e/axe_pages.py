"""The pages of a full workbench, the views they are seen in, and what each keeps to: axe, no sideways scroll, nothing cut.

Shared by the tests, which take two views, and by ``bench/axe_matrix.py``, which takes them all.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Final, Literal

from axe_playwright_python.sync_playwright import Axe

from tests.e2e.conftest import Running, without_pictures

if TYPE_CHECKING:
    from playwright.sync_api import APIRequestContext, APIResponse, Browser, BrowserContext, FilePayload, Page

STOPS: Final = ("sample", "design", "dress", "weave", "finish", "write-up")
SHELVES: Final = ("/", "/put-away", "/demos", "/new", "/yarns", "/looms", "/samples", "/settings", "/find?q=mat")
NOWHERE: Final = "/nothing-hangs-here"
WIDTHS: Final = (320, 390, 820, 1440, 2560)
LARGE_TEXT: Final = (390, 1440)
"""Widths at which text is also set at 200 %."""
SCHEMES: Final[tuple[Literal["light", "dark"], ...]] = ("light", "dark")
FORCED: Final[tuple[Literal["none", "active"], ...]] = ("none", "active")

SIDEWAYS: Final = "document.scrollingElement.scrollWidth - innerWidth"

CUT: Final = """() => {
  const hides = (style) => ['hidden', 'clip'].includes(style.overflowX) || ['hidden', 'clip'].includes(style.overflowY);
  const scrolls = (style) => ['auto', 'scroll'].includes(style.overflowX) || ['auto', 'scroll'].includes(style.overflowY);
  const out = (box, frame) => {       // a letter's box has a fifth of nothing above and below its ink
    const blank = Math.min(box.height / 5, 8);
    return Math.max(frame.left - box.left, box.right - frame.right, frame.top - box.top - blank, box.bottom - blank - frame.bottom);
  };
  const found = [];
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    const said = text.data.trim();
    const held = text.parentElement;
    if (!said || !held.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue;
    let leaves = false;                     // positioned out of its parents, which then cannot clip it
    const range = document.createRange();
    range.selectNodeContents(text);
    let box = range.getBoundingClientRect();
    for (let up = held; up && up !== document.body; up = up.parentElement) {
      const style = getComputedStyle(up);
      if (style.clipPath !== 'none') { box = null; break; }   // for screen readers only
      if (leaves && style.position === 'static') continue;
      const frame = up.getBoundingClientRect();
      if (scrolls(style)) box = frame;
      else if (hides(style) && out(box, frame) > 1.5) {
        found.push(`"${said.slice(0, 40)}" in ${up.tagName.toLowerCase()}.${up.className.baseVal ?? up.className}`);
        break;
      }
      leaves = style.position === 'absolute';
      if (style.position === 'fixed') break;
    }
    if (box && box.left < -1.5 && !held.closest('.skip')) found.push(`"${said.slice(0, 40)}" left of the page`);
  }
  for (const button of document.querySelectorAll('.btn, button, summary')) {
    if (!button.checkVisibility() || !button.clientWidth) continue;
    if (button.scrollWidth > button.clientWidth + 1 && !button.querySelector('.unseen, .fig'))
      found.push(`button "${button.textContent.trim().slice(0, 40)}" is wider than itself`);
  }
  for (const field of document.querySelectorAll('input:not([type=file], [type=hidden]), select')) {
    if (!field.checkVisibility() || !field.clientWidth) continue;
    const chosen = ['number', 'text', 'search'].includes(field.type) && field.value.length <= 8;
    if (chosen && field.scrollWidth > field.clientWidth + 1) found.push(`value "${field.value}" in ${field.name}`);
  }
  return found;
}"""
"""Words that an ancestor hides, that lie left of the page, or that are wider than their button or field."""


@dataclass(frozen=True)
class Place:
    """A page by the name it is told under, and its address."""

    name: str
    path: str


@dataclass(frozen=True)
class View:
    """How a page is seen: width in CSS pixels, colours, and whether the machine forces its own."""

    width: int
    scheme: Literal["light", "dark"] = "light"
    forced: Literal["none", "active"] = "none"

    def __str__(self) -> str:
        return f"{self.width} {self.scheme}" + (" forced" if self.forced == "active" else "")


VIEWS: Final = tuple(View(*one) for one in product(WIDTHS, SCHEMES, FORCED))


def crowded() -> dict[str, object]:
    """Return a project that is hard to show: long names, twelve yarns, forty bands, a little short of wool."""
    letters = "abcdefghijkl"
    yarns = {
        letter: {
            "name": f"Hand-dyed {'very ' * place}long-named skein number {place + 1}",
            "fibre": "wool",
            "size": "Nm 6/2",
            "colour": f"#{(place * 0x150F0B + 0x181410) & 0xFFFFFF:06x}",
            "on_hand_g": 40 + place,
        }
        for place, letter in enumerate(letters)
    }
    bands = [
        {
            "name": f"Band {number} counted from the foot",
            "lines": [f"a {letters[number % 12]} {letters[(number + 5) % 12]} *2", "a a a *2"],
        }
        for number in range(1, 41)
    ]
    name = "A hanging for the long wall of the room on the north side, woven in the winter of the great snow"
    return {"weftline": 1, "name": name, "yarns": yarns, "ground": "a", "sections": [
        {"name": "Hanging", "pieces": 1, "strips": [{"name": "Hanging", "ends": 121, "bands": bands}]}
    ]}  # fmt: skip


def fill(running: Running, ask: APIRequestContext) -> tuple[Place, ...]:
    """Put something of every kind on a workbench with the demo pieces; return every page of it.

    Six stops each of two demo pieces (one on the loom), a bare warp, and a crowded piece; the shelves with a label
    open and closed; what stands where nothing is.
    """
    made = _Maker(running.url, ask)
    demos = {name: piece for piece, name in made.hung().items()}
    pieces = {name: piece for name, piece in demos.items() if name.startswith(("Kneeling", "Folding"))}
    assert len(pieces) == 2, f"two demo pieces were looked for among {sorted(demos)}"
    loom = next(piece for name, piece in pieces.items() if name.startswith("Kneeling"))
    made(f"/pieces/{loom}/woven", throws="30")
    made(f"/pieces/{loom}/threaded", ends="24")
    before = set(made.hung())
    made(f"/pieces/{loom}/duplicate")
    (away,) = set(made.hung()) - before
    made(f"/pieces/{away}/put-away")
    pieces["Bare warp"] = made("/pieces/bare-warp").split("/")[2]
    pieces["Crowded"] = made.from_file(crowded()).split("/")[2]
    made("/yarns", entry="night", name="Night", size="R 550 tex / 3", lot="7", on_hand="90")
    made("/looms", entry="big-one", name="Big one", kind="floor")
    labels = (Place("a yarn's label", "/yarns?at=night"), Place("a loom", "/looms?at=big-one"))
    made(f"/pieces/{loom}/samples", lines="40", over="104", thickness="6", note="dense")
    others = (
        Place("another size", f"/pieces/{loom}/resize?width=140&length=60"),
        Place("yarns of a piece", f"/pieces/{loom}/yarns"),
        Place("what if", f"/pieces/{loom}/sample?sett=3.2&beat=hard"),
    )
    stops = [Place(f"{name}: {stop}", f"/pieces/{at}/{stop}") for name, at in pieces.items() for stop in STOPS]
    return (*(Place(path, path) for path in SHELVES), *labels, *others, *stops, Place("error page", NOWHERE))


@dataclass
class _Maker:
    """Sends the forms of a workbench; called with a path and fields, returns the address that comes next."""

    url: str
    ask: APIRequestContext
    sent: int = 0

    def __call__(self, path: str, **fields: str) -> str:
        self.sent += 1
        form: dict[str, str | float | bool] = {"entry": f"fill {self.sent}", **fields}
        return self._next(self.ask.post(self.url + path, form=form, headers={"accept": "application/json"}))

    def from_file(self, project: dict[str, object]) -> str:
        """Send a project file."""
        self.sent += 1
        file: FilePayload = {
            "name": "project.json",
            "mimeType": "application/json",
            "buffer": json.dumps(project).encode(),
        }
        parts: dict[str, str | float | bool | FilePayload] = {"entry": f"fill {self.sent}", "file": file}
        to = f"{self.url}/pieces/from-file"
        return self._next(self.ask.post(to, multipart=parts, headers={"accept": "application/json"}))  # type: ignore[arg-type]

    def hung(self) -> dict[str, str]:
        """Return the names of the pieces on the rail, by id."""
        return {one["id"]: one["name"] for one in self.ask.get(f"{self.url}/api/pieces").json()}

    @staticmethod
    def _next(answer: APIResponse) -> str:
        assert answer.ok, f"{answer.url}: {answer.status} {answer.text()[:300]}"
        found: str = answer.json()["href"]
        return found


def opened(browser: Browser, view: View) -> BrowserContext:
    """Return a fresh browser for a view, in which nothing moves and pictures are dots."""
    context = browser.new_context(
        viewport={"width": view.width, "height": 900},
        color_scheme=view.scheme,
        forced_colors=view.forced,
        reduced_motion="reduce",
    )
    without_pictures(context)
    return context


def visit(page: Page, url: str, place: Place) -> list[str]:
    """Open a page; return a sentence if it is not answered as it should be."""
    answer = page.goto(url + place.path)
    expected = 404 if place.path == NOWHERE else 200
    status = answer.status if answer else None
    return [] if status == expected else [f"answered {status}, expected {expected}"]


def axe_findings(page: Page) -> list[str]:
    """Return what axe finds on a page as it is seen now."""
    violations = Axe().run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:160]}" for one in violations for node in one["nodes"][:3]]


def sideways(page: Page) -> list[str]:
    """Return by how much a page runs out sideways, as a list that is empty when it does not."""
    wide = page.evaluate(SIDEWAYS)
    return [f"runs out sideways by {wide} px"] if wide > 0 else []


def cut(page: Page) -> list[str]:
    """Return the words on a page that are cut."""
    return [f"cut: {one}" for one in page.evaluate(CUT)]


def set_text(page: Page, percent: int) -> None:
    """Set the size of the text, as a reader's own setting does."""
    page.evaluate("percent => { document.documentElement.style.fontSize = percent + '%'; }", percent)
