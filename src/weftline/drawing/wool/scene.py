"""The strips of a view in their places: painters where cloth is woven, ground where it is not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import hex_to_linear
from weftline.drawing.wool.columns import columns
from weftline.drawing.wool.ground import BareWarp, Ground
from weftline.drawing.wool.painter import StripPainter
from weftline.drawing.wool.panels import COARSE, LIVE
from weftline.drawing.wool.sight import Scale, Sight, sight
from weftline.drawing.yarn_colours import UNDYED, winding_lights, yarn_lights

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth
    from weftline.drawing.layout import PlacedStrip
    from weftline.drawing.wool.view import Canvas, View

ROWS_AT_ONCE = 512


@dataclass(frozen=True, eq=False)
class PlacedPainter:
    """One strip in a raster.

    Parameters
    ----------
    placed : PlacedStrip
    sight : Sight
    painter : StripPainter or None
        None where nothing is woven yet.
    ground : Ground
    left : int
        Column of the raster at the strip's left edge as seen.
    foot : int
        Rows of the raster below the strip's foot.
    margins : (int, int)
    beyond : (int, int)
        Rows that show bare warp below the foot and above the fell.
    """

    placed: PlacedStrip
    sight: Sight
    painter: StripPainter | None
    ground: Ground
    left: int
    foot: int
    margins: tuple[int, int]
    beyond: tuple[int, int]

    @property
    def reach(self) -> tuple[int, int]:
        """The rows that are painted, upwards from the foot."""
        over = 0 if self.painter is None else self.painter.overhang
        return -max(over, self.beyond[0]), self.sight.height_px + max(over, self.beyond[1])

    @property
    def sides(self) -> tuple[int, int]:
        """The first column of the raster that is painted and the first that is not."""
        return self.left - self.margins[0], self.left + self.sight.width_px + self.margins[1]

    def chunks(self, rows_at_once: int = ROWS_AT_ONCE) -> Iterator[tuple[int, NDArray[np.uint8]]]:
        """Yield pieces of the strip's picture: the row of their foot, upwards from the strip's, and their pixels."""
        low, high = self.reach
        x = -self.margins[0], self.sight.width_px + self.margins[1]
        bands = np.array([low], dtype=np.int64) if self.painter is None else self.painter.band_feet
        for foot in range(low, int(bands[0]), rows_at_once):
            yield foot, self.ground.rows((foot, min(foot + rows_at_once, int(bands[0]))), x)
        first = 0
        while self.painter is not None and first < len(bands) - 1:
            last = max(first, int(np.searchsorted(bands, bands[first] + rows_at_once, side="right")) - 2)
            pixels = np.empty((int(bands[last + 1] - bands[first]), x[1] - x[0], 3), dtype=np.uint8)
            self.painter.paint(pixels, first, last)
            yield int(bands[first]), pixels
            first = last + 1
        for foot in range(int(bands[-1]), high, rows_at_once):
            yield foot, self.ground.rows((foot, min(foot + rows_at_once, high)), x)


def woven_of_sections(cloth: Cloth, woven: int | None) -> list[int]:
    """Return how many picks of each section are woven, when ``woven`` are in all (None: everything)."""
    left, counts = woven, []
    for section in cloth.sections:
        own = max(len(strip.weaving.picks) for strip in section.strips)
        counts.append(own if left is None else min(own, left))
        left = None if left is None else left - counts[-1]
    return counts


def painters(cloth: Cloth, canvas: Canvas, view: View) -> list[PlacedPainter]:
    """Return every strip of a view, in the order of the layout."""
    woven = woven_of_sections(cloth, view.woven_picks)
    return [_painter(cloth, canvas, view, number, woven) for number in range(len(canvas.layout.strips))]


def _painter(cloth: Cloth, canvas: Canvas, view: View, number: int, woven: list[int]) -> PlacedPainter:
    placed = canvas.layout.strips[number]
    weaving = placed.strip.weaving
    mirrored = view.back == (cloth.project.weave.face == "up")
    count = min(woven[placed.section], len(weaving.picks))
    scale = Scale(canvas.column_px, canvas.line_px, canvas.line_mm)
    seen = sight(weaving, scale, mirrored=mirrored, back=view.back, edge=canvas.edge, woven=count)
    left_mm = canvas.layout.width_mm - placed.left_mm - placed.width_mm if mirrored else placed.left_mm
    left = canvas.left + canvas.across(left_mm)
    before, after = _margins(canvas, number)[:: -1 if mirrored else 1]
    own = min(before, left), min(after, canvas.columns * canvas.times - left - seen.width_px)
    beyond = _beyond(canvas, view, placed, seen)
    ground = _ground(cloth, seen, beyond, round(0.5 * canvas.line_px), view.bench)
    painter = None
    if seen.height_px:
        lights = winding_lights(cloth.project, weaving.windings)
        grain = LIVE if canvas.times == 1 else COARSE
        painter = StripPainter(seen, lights, ground, own, view.seed + 101 * number, grain)
    foot = canvas.foot + canvas.upwards(placed.foot_mm)
    return PlacedPainter(placed, seen, painter, ground, left, foot, own, beyond)


def _margins(canvas: Canvas, number: int) -> tuple[int, int]:
    """Return the bench to paint left and right of a strip, not yet mirrored: half the gap to its neighbours at most."""
    strips = canvas.layout.strips
    placed = strips[number]
    most = canvas.left
    found = []
    for beside in (number - 1, number + 1):
        room = most
        if 0 <= beside < len(strips) and strips[beside].section == placed.section:
            first, second = sorted((number, beside))
            gap = strips[second].left_mm - strips[first].left_mm - strips[first].width_mm
            room = min(most, canvas.across(gap) // 2)
        found.append(room)
    return found[0], found[1]


def _beyond(canvas: Canvas, view: View, placed: PlacedStrip, seen: Sight) -> tuple[int, int]:
    """Return the rows of bare warp below the foot and above the fell."""
    fringe = canvas.upwards(canvas.fringe_mm)
    if not view.on_loom:
        return fringe, fringe
    tops = [other.foot_mm for other in canvas.layout.strips if other.section == placed.section + 1]
    top = canvas.upwards(min(tops)) if tops else canvas.upwards(canvas.layout.height_mm) + fringe + canvas.foot
    return fringe if placed.section == 0 else 0, top - canvas.upwards(placed.foot_mm) - seen.height_px


def _ground(cloth: Cloth, seen: Sight, beyond: tuple[int, int], soft: int, bench: int) -> Ground:
    spans = []
    if beyond[0]:
        spans.append((-beyond[0], 0))
    if beyond[1]:
        spans.append((seen.height_px, seen.height_px + beyond[1]))
    if len(seen.shed) and np.bitwise_or.reduce(seen.shed) != np.bitwise_or.reduce(1 << seen.ends.astype(int) - 1):
        spans = [(-beyond[0], seen.height_px + beyond[1])]  # an end that no pick covers shows everywhere
    warp = None
    if spans:
        x = columns(seen, len(seen.ends)).x
        if seen.edge.kind == "doubled":
            more = 0.3 * seen.column_px * np.arange(1, seen.edge.ends + 1)
            x = np.concatenate([x[0] - more[::-1], x, x[-1] + more])
        warp = BareWarp(x, _warp_light(cloth), tuple(spans), seen.column_px, seen.line_px)
    return Ground(seen.width_px, seen.height_px, float(max(2, soft)), warp, bench)


def _warp_light(cloth: Cloth) -> NDArray[np.float64]:
    key = cloth.project.warp.yarn
    return hex_to_linear(UNDYED[0]) if key is None else yarn_lights(cloth.project)[key]
