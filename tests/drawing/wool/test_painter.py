"""The painter of one strip: parts, repaints and tiles give the same picture as painting everything."""

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.drawing.wool.woollen import cloth_of, random_lines, yarns
from weftline.drawing.wool import EdgeWarp, Ground, Scale, StripPainter, sight
from weftline.drawing.wool.panels import FINE, tile_ends
from weftline.drawing.yarn_colours import winding_lights

LINE = 15.0
PLAIN = EdgeWarp()


def painter_of(
    ends: int = 61, edge: EdgeWarp = PLAIN, *, back: bool = False, seed: int = 3, line_px: float = LINE
) -> StripPainter:
    lines = random_lines(np.random.default_rng(5), 14, 3, regular=True)
    cloth, _ = cloth_of({"yarns": yarns(), "sections": [{"strips": [{"ends": ends, "bands": [{"lines": lines}]}]}]})
    weaving = cloth.sections[0].strips[0].weaving
    scale = Scale(line_px * 1.25, line_px, float(weaving.picks.step_mm[0]) * 3)
    seen = sight(weaving, scale, mirrored=back, back=back, edge=edge, woven=len(weaving.picks))
    lights = winding_lights(cloth.project, weaving.windings)
    return StripPainter(seen, lights, Ground(seen.width_px, seen.height_px, 6.0), (30, 30), seed)


def whole(painter: StripPainter) -> NDArray[np.uint8]:
    pixels = np.zeros(painter.shape, dtype=np.uint8)
    painter.paint(pixels)
    return pixels


@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
@pytest.mark.parametrize("kind", ["none", "floating", "doubled"])
def test_one_edited_pick_repaints_just_the_rows_that_change(kind: str, back: bool) -> None:
    painter = painter_of(edge=EdgeWarp(kind, 1), back=back, line_px=40.0 if kind == "none" else LINE)
    pixels = whole(painter)
    before = pixels.copy()
    painter.wound[20] = (painter.wound[20] + 1) % len(painter.lights)
    top, bottom = painter.repaint(pixels, 20)
    assert np.array_equal(pixels, whole(painter))
    changed = np.flatnonzero((pixels != before).any(axis=(1, 2)))
    assert len(changed)
    assert top <= changed.min()
    assert changed.max() < bottom
    assert bottom - top < 0.35 * len(pixels)


def test_bands_painted_one_by_one_make_the_whole() -> None:
    painter = painter_of()
    pixels = whole(painter)
    top = int(painter.band_feet[-1])
    for band in range(len(painter.band_feet) - 1):
        rows = slice(top - int(painter.band_feet[band + 1]), top - int(painter.band_feet[band]))
        part = np.zeros((rows.stop - rows.start, *painter.shape[1:]), dtype=np.uint8)
        painter.paint(part, band, band)
        assert np.array_equal(part, pixels[rows])


def test_painting_into_a_window_of_a_picture_stays_inside_it() -> None:
    painter = painter_of(17)
    rows, columns, _ = painter.shape
    picture = np.full((rows + 8, columns + 10, 3), 7, dtype=np.uint8)
    painter.paint(picture[4:-4, 5:-5])
    assert np.array_equal(picture[4:-4, 5:-5], whole(painter))
    assert (picture[:4] == 7).all()
    assert (picture[:, :5] == 7).all()
    assert (picture[:, -5:] == 7).all()


def test_a_wide_strip_repeats_its_tile_without_a_seam() -> None:
    wide, narrow = painter_of(161), painter_of(29)
    columns = 30 + round(24 * wide.sight.column_px)
    assert wide.shape[1] > narrow.shape[1]
    assert np.array_equal(wide.pick_map()[:, :columns], narrow.pick_map()[:, :columns])
    far = whole(wide)[:, :columns].astype(int) - whole(narrow)[:, :columns]
    assert np.abs(far).max() <= 8
    tile = round(tile_ends(wide.sight, FINE) * wide.sight.column_px)
    middle = whole(wide)[:, 200:-200]
    assert np.array_equal(middle[:, :-tile], middle[:, tile:])


def test_the_same_seed_gives_the_same_picture_and_another_seed_another() -> None:
    assert np.array_equal(whole(painter_of(seed=3)), whole(painter_of(seed=3)))
    assert not np.array_equal(whole(painter_of(seed=3)), whole(painter_of(seed=4)))


def test_forgotten_colours_come_back_alike() -> None:
    painter = painter_of(17)
    before = whole(painter)
    painter.forget_colours()
    assert np.array_equal(whole(painter), before)
