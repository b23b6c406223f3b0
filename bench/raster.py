"""The picture of cloth against copying the same array, one edited pick, and the pick map against the model.

Run: ``python -m bench.raster`` (an optional number says how many pieces the pick map is tried on).
"""

from __future__ import annotations

import sys
import time

import numpy as np

from bench.plan import random_piece
from bench.timing import middle, side_by_side, told
from weftline.core.piece.cloth import expand
from weftline.drawing.wool.ground import Ground
from weftline.drawing.wool.painter import StripPainter
from weftline.drawing.wool.sight import EdgeWarp, Scale, sight, snapped

WIDTH_MM, HEIGHT_MM, DPI, COLOURS = 700.0, 1200.0, 200.0, 8
ENDS_PER_CM, LINES_PER_CM = 2.4, 3.75


def large_painter(*, back: bool) -> tuple[StripPainter, float]:
    """Return the painter of a piece of 0.7 x 1.2 m at 200 dpi, and the seconds that its colourless tile took."""
    ends, picks = round(WIDTH_MM / 10 * ENDS_PER_CM), round(HEIGHT_MM / 10 * LINES_PER_CM) * 3
    weaving = expand(random_piece(ends, picks)).sections[0].strips[0].weaving
    per_mm = DPI / 25.4
    scale = Scale(snapped(10 / ENDS_PER_CM * per_mm, 4), round(10 / LINES_PER_CM * per_mm), 10 / LINES_PER_CM)
    lights = np.random.default_rng(1).uniform(0.02, 0.9, (len(weaving.windings), 3))
    start = time.perf_counter()
    seen = sight(weaving, scale, mirrored=back, back=back, edge=EdgeWarp(), woven=len(weaving.picks))
    painter = StripPainter(seen, lights, Ground(seen.width_px, seen.height_px, 12.0), (24, 24), 1)
    return painter, time.perf_counter() - start


def raster(*, back: bool) -> None:
    """Print the raster against a copy, and one edited pick."""
    painter, tile = large_painter(back=back)
    side = "back" if back else "face"
    print(
        f"{side}: {painter.shape[1]} x {painter.shape[0]} pixels, {COLOURS} yarns, {len(painter.wound)} picks at random"
    )
    print(f"  colourless tile, made before        {told(tile)}")
    out = np.full(painter.shape, 1, np.uint8)  # written once, so that every page is really there
    source = np.full(painter.shape, 2, np.uint8)

    def paint() -> None:
        painter.forget_colours()
        painter.paint(out)

    times = side_by_side(5, paint=paint, copy=lambda: np.copyto(out, source))
    picture, copy = middle(times["paint"]), middle(times["copy"])
    print(f"  picture, every colour dyed anew      {told(picture)}")
    print(f"  numpy.copyto of the same array       {told(copy)}   ratio {picture / copy:.2f} (goal 2, at most 4)")
    again = middle(side_by_side(5, paint=lambda: painter.paint(out))["paint"])
    print(f"  picture, colours kept                {told(again)}   ratio {again / copy:.2f}")
    pick, rows = len(painter.wound) // 2, (0, 0)
    spent = []
    for number in range(40):
        painter.wound[pick] = number % COLOURS
        start = time.perf_counter()
        rows = painter.repaint(out, pick)
        spent.append(time.perf_counter() - start)
    share = (rows[1] - rows[0]) / painter.shape[0]
    part = middle(spent) / again
    print(
        f"  one pick edited                      {told(middle(spent))}   {part:.2%} of the time for {share:.2%} of the pixels"
    )


def agreement(pieces: int) -> None:
    """Print how often the pick map and the model agree at random points of random pieces."""
    from tests.drawing.wool.test_pick_map import BACK_INNER, FACE_INNER
    from tests.drawing.wool.woollen import cloth_of, model_points, random_piece
    from weftline.drawing.wool import View, pick_map

    for back, inner in ((False, FACE_INNER), (True, BACK_INNER), (True, FACE_INNER)):
        points = wrong = 0
        for seed in range(1000, 1000 + pieces):
            cloth, settings = cloth_of(random_piece(seed))
            view, rng = View(back=back, line_px=24), np.random.default_rng(seed)
            rows, columns, expected = model_points(cloth, settings, view, rng, inner)
            some = rng.permutation(len(expected))[:50]
            found = pick_map(cloth, settings, view)[0][rows[some], columns[some]]
            points, wrong = points + len(some), wrong + int((found != expected[some]).sum())
        side = "back" if back else "face"
        print(f"{side}: {points - wrong} of {points} random points of {pieces} pieces agree with the model,")
        print(f"  within {inner[0]:g} of a bead's height and {inner[1]:g} of a column from its middle")


if __name__ == "__main__":
    raster(back=False)
    raster(back=True)
    agreement(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
