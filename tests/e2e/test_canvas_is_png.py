"""What is painted in the browser is the cloth of the PNG: pick by pick, bead by bead in colour."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import pytest
from coloraide import Color
from numpy.typing import NDArray
from playwright.sync_api import Browser, Page

from tests.e2e.conftest import Running
from weftline.core.colour.light import to_linear
from weftline.core.piece.cloth import expand
from weftline.core.piece.settings import settings_of
from weftline.drawing.wool import StripPainter, View
from weftline.drawing.wool.panels import LIVE
from weftline.drawing.wool.scene import painters
from weftline.drawing.wool.view import canvas
from weftline.drawing.yarn_colours import winding_lights
from weftline.formats.native import loads

LINE_PX: Final = 24
POINTS: Final = 2_000
MOST_ROWS: Final = 900
ALIKE: Final = 2.0
"""CIEDE2000 between a bead here and there."""
WHOLE_BEAD: Final = 200
"""Beads of fewer pixels, cut by an edge, are not compared."""

PAINT: Final = """async ([piece, section, strip, back, fromFoot, mostRows, linePx]) => {
  const [{ expandStrip }, { sightOf, signatures }, { dye, windingLights }, { decode }, { BakeBook, asked }, { WoolPainter, packed }] =
    await Promise.all(["model/expand", "model/sight", "model/light", "render/decode", "render/bakes", "render/wool"]
      .map((name) => import(`/static/js/${name}.js`)));
  const cloth = await (await fetch(`/api/pieces/${piece}/cloth`)).json();
  const mask = (shed) => shed.reduce((sum, shaft) => sum | 1 << (shaft - 1), 0);
  const strands = Object.fromEntries(cloth.yarns.map((yarn) => [yarn.key, yarn.strands]));
  const facts = { sheds: cloth.technique.sheds.map(mask), strands, lineMm: cloth.line_mm, shafts: cloth.technique.shafts };
  const woven = expandStrip(cloth.tree.children[section].children[strip], facts);
  const ends = [...cloth.sections[section].strips[strip].ends];
  if (back === (cloth.face === "up")) ends.reverse();
  const sight = sightOf(woven.picks, { ends, linePx, lineMm: cloth.line_mm, back, edge: cloth.edge });
  const book = new BakeBook();
  const query = `seq=${cloth.seq}&section=${section}&strip=${strip}&ends=${ends.length}&line_px=${linePx}&back=${Number(back)}`;
  const total = sight.feet[sight.feet.length - 1];
  const height = Math.min(mostRows, total);
  const image = new ImageData(1, height);
  const painter = new WoolPainter(book, image);
  const ask = async (bands) => {
    const response = await fetch(`/api/pieces/${piece}/bakes?${query}&bands=${asked(bands)}`);
    if (!response.ok) throw new Error(await response.text());
    const answer = decode(await response.arrayBuffer());
    const texts = (edges) => signatures(answer.recipe, sight, 0, sight.shed.length + 1, edges);
    const known = { true: texts(true), false: texts(false) };
    book.add(answer, (band, edges) => known[edges][band], sight);
    return answer.recipe;
  };
  const recipe = await ask([0]);
  const [left, right] = recipe.margins;
  painter.into(new ImageData(left + recipe.width + right, height));
  const colours = Object.fromEntries(cloth.yarns.map((yarn) => [yarn.key, yarn.colour]));
  const lights = windingLights(woven.windings, (key) => colours[key]);
  const tables = packed(lights.map((light) => dye(light, recipe.colour.seen)));
  const texts = (from, to, edges) => signatures(recipe, sight, from, to, edges);
  painter.show({ shed: sight.shed, feet: sight.feet, wound: sight.wound, tables, signatures: texts });
  const top = Math.round(height + fromFoot * (total - height));
  for (const at of [top - 61, top + 200, top]) {  // as one scrolls there
    painter.look(at, -left);
    for (let missing = painter.paint().missing; missing.length; missing = painter.paint().missing) await ask(missing);
  }
  const { width } = painter.image;
  const picks = new Int32Array(width * height);
  for (let x = 0; x < width; x++) painter.columnPicks(x).forEach((pick, y) => { picks[y * width + x] = pick; });
  const text = (bytes) => new Promise((done) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result.split(",")[1]);
    reader.readAsDataURL(new Blob([bytes]));
  });
  return { width, height, top, left, picks: await text(picks), pixels: await text(painter.image.data) };
}"""


@dataclass(frozen=True, eq=False)
class Look:
    """Part of a strip.

    Parameters
    ----------
    picks : (rows, columns) int32
        -1 where there is none.
    pixels : (rows, columns, 3) uint8
    """

    picks: NDArray[np.int32]
    pixels: NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Seen:
    """The same part of a strip from the browser, as painted here from the same tiles, and from the PNG.

    Parameters
    ----------
    browser, alive, png : Look
    end : (columns,) int64
        The end under each column of pixels.
    """

    browser: Look
    alive: Look
    png: Look
    end: NDArray[np.int64]


@pytest.fixture(scope="module")
def demos(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A workbench with the demo pieces."""
    running = Running(tmp_path_factory.mktemp("demos") / "data", demos=True)
    running.start()
    yield running
    running.stop()


@pytest.fixture(scope="module")
def page(demos: Running, chromium: Browser) -> Iterator[Page]:
    """A page of the workbench that has no cloth of its own."""
    context = chromium.new_context()
    found = context.new_page()
    found.goto(demos.url + "/yarns")
    yield found
    context.close()


def _piece(page: Page, url: str, name: str) -> str:
    """Return the id of a piece by how its name begins."""
    hung: dict[str, str] = {one["id"]: one["name"] for one in page.request.get(f"{url}/api/pieces").json()}
    return next(piece for piece, called in hung.items() if called.startswith(name))


def _look(painter: StripPainter, top: int, height: int) -> Look:
    """Return the rows of a strip below ``top``, from edge to edge."""
    left, width = painter.margins[0], painter.sight.width_px
    feet = painter.band_feet
    first, last = (int(np.searchsorted(feet, row, side="right")) - 1 for row in (top - height, top - 1))
    pixels = np.empty((int(feet[last + 1] - feet[first]), painter.shape[1], 3), dtype=np.uint8)
    painter.paint(pixels, first, last)
    above, drawn = int(feet[last + 1]) - top, int(feet[-1]) - top
    columns = slice(left, left + width)
    return Look(painter.pick_map()[drawn : drawn + height, columns], pixels[above : above + height, columns])


def _seen(page: Page, url: str, about: tuple[str, int, int, bool], from_foot: float) -> Seen:
    name, section, strip, back = about
    piece = _piece(page, url, name)
    found: dict[str, Any] = page.evaluate(PAINT, [piece, section, strip, back, from_foot, MOST_ROWS, LINE_PX])
    top, height, shape = found["top"], found["height"], (found["height"], found["width"])
    pixels = np.frombuffer(base64.b64decode(found["pixels"]), dtype=np.uint8).reshape(*shape, 4)
    picks = np.frombuffer(base64.b64decode(found["picks"]), dtype="<i4").reshape(shape)
    assert (pixels[..., 3][picks >= 0] == 255).all()
    project = loads(page.request.get(f"{url}/pieces/{piece}/files/project.json").body())
    cloth, settings, view = expand(project), settings_of(project), View(back=back, line_px=LINE_PX)
    size = canvas(cloth, settings, view)
    assert size.times == 1, "the PNG is what its painters paint"
    number = sum(len(one.strips) for one in cloth.sections[:section]) + strip
    placed = painters(cloth, size, view)[number]
    assert placed.painter is not None
    lights = winding_lights(project, placed.placed.strip.weaving.windings)
    alive = StripPainter(placed.sight, lights, placed.ground, placed.margins, view.seed + 101 * number, LIVE)
    own = slice(found["left"], found["left"] + placed.sight.width_px)
    end = (np.arange(placed.sight.width_px) / placed.sight.column_px).astype(np.int64)
    return Seen(
        Look(picks[:, own], pixels[:, own, :3]), _look(alive, top, height), _look(placed.painter, top, height), end
    )


PIECES: Final = [
    (("Kneeling", 0, 0, False), 0.0),
    (("Kneeling", 0, 0, True), 0.5),
    (("Folding", 1, 1, False), 1.0),
]


@pytest.fixture(scope="module", params=PIECES, ids=["face-foot", "back-middle", "second-strap-fell"])
def seen(request: pytest.FixtureRequest, page: Page, demos: Running) -> Seen:
    """A strip from one side."""
    return _seen(page, demos.url, *request.param)


def _points(shape: tuple[int, ...]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    rng = np.random.default_rng(6)
    rows, columns = (rng.integers(2, most - 2, POINTS) for most in shape)
    return rows, columns


def test_the_browser_paints_the_very_pixels_of_its_tiles(seen: Seen) -> None:
    rows, columns = _points(seen.browser.picks.shape)
    assert np.array_equal(seen.browser.picks[rows, columns], seen.alive.picks[rows, columns])
    assert _farthest(seen.browser, seen.alive, seen.end) <= ALIKE / 20


def test_the_same_pick_lies_under_every_point(seen: Seen) -> None:
    rows, columns = _points(seen.browser.picks.shape)
    same = seen.browser.picks[rows, columns] == seen.png.picks[rows, columns]
    print(f"the same pick at {same.sum():,} of {POINTS:,} points")
    assert same.all()


def test_every_bead_has_the_same_colour(seen: Seen) -> None:
    assert _farthest(seen.browser, seen.png, seen.end) <= ALIKE


def _farthest(first: Look, second: Look, end: NDArray[np.int64]) -> float:
    """Return how far the mean colours of a bead are apart at most, CIEDE2000."""
    one, other = _beads(first, end), _beads(second, end)
    both = sorted(one.keys() & other.keys())
    assert len(both) >= 200
    chosen = np.random.default_rng(7).permutation(both)[:600].tolist()
    colours = [[Color("srgb-linear", mean[bead].tolist()) for mean in (one, other)] for bead in chosen]
    apart = [float(here.delta_e(there, method="2000")) for here, there in colours]
    print(f"{len(apart)} of {len(both):,} beads, {np.mean(apart):.2f} apart on average, {max(apart):.2f} at most")
    return max(apart)


def _beads(look: Look, end: NDArray[np.int64]) -> dict[int, NDArray[np.float64]]:
    """Return the mean linear light of every bead that is seen whole."""
    shown = look.picks >= 0
    bead = (look.picks.astype(np.int64) * (int(end[-1]) + 1) + end)[shown]
    names, place, size = np.unique(bead, return_inverse=True, return_counts=True)
    light = to_linear(look.pixels[shown] / 255)
    mean = np.stack([np.bincount(place, channel) for channel in light.T], axis=1) / size[:, None]
    return {int(names[at]): mean[at] for at in np.flatnonzero(size >= WHOLE_BEAD)}
