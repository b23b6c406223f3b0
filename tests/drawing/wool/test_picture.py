"""Pictures of whole pieces: size, sides, the fell, fringes, marks, errors."""

from typing import Any

import numpy as np
import pytest

from tests.drawing.wool.woollen import cloth_of, random_piece
from weftline.drawing.wool import View, wool_picture
from weftline.drawing.wool.ground import BENCH
from weftline.errors import PictureError

YARNS = {"a": {"colour": "#b03020"}, "b": {"colour": "#f0e8d8"}, "c": {"colour": "#203050"}, "w": {"colour": "#ffffff"}}


def piece(lines: list[str], ends: int = 21, **more: Any) -> dict[str, Any]:
    return {"yarns": YARNS, "sections": [{"strips": [{"ends": ends, "bands": [{"lines": lines}]}]}], **more}


def picture(written: dict[str, Any], **view: Any) -> Any:
    cloth, settings = cloth_of(written)
    return wool_picture(cloth, settings, view=View(**view))


def test_a_stated_resolution_is_met_within_what_whole_pixels_allow() -> None:
    drawn = picture(piece(["a b c *10"], 41), dpi=200)
    assert drawn.dpi_x == pytest.approx(200, rel=0.01)
    assert drawn.dpi_y == pytest.approx(200, rel=0.03)


@pytest.mark.parametrize("width,near", [(64, 0.25), (120, 0.04)], ids=["a line snapped up to a pixel", "true"])
def test_a_thumbnail_is_as_wide_as_asked_for_and_keeps_the_proportions(width: int, near: float) -> None:
    drawn = picture(piece(["a b c *20"], 41), width_px=width)
    assert drawn.pixels.shape[1] == width
    assert drawn.dpi_x == pytest.approx(drawn.dpi_y, rel=near)
    assert drawn.dpi_y / 25.4 * 8 / 3 >= 0.99  # a line is at least a pixel
    repeat_px = drawn.dpi_x / 25.4 * 4 * 10 / 2.4 * 0.9
    assert repeat_px == pytest.approx(round(repeat_px), abs=1e-6)


def test_the_first_line_is_at_the_bottom_and_the_back_is_mirrored() -> None:
    face = picture(piece(["a a a *6", "c c c *6"]), line_px=20).pixels.astype(int)
    middle = face.shape[1] // 2
    assert face[-60, middle, 0] > face[-60, middle, 2]
    assert face[60, middle, 0] < face[60, middle, 2]
    down = picture(piece(["a b c *6"], 22, weave={"face": "down"}), line_px=20, back=True).pixels
    up = picture(piece(["a b c *6"], 22), line_px=20, back=True).pixels
    assert down.shape == up.shape
    assert not np.array_equal(down, up)


@pytest.mark.parametrize("woven", [0, 7, 36])
def test_bare_warp_stands_above_the_fell(woven: int) -> None:
    pixels = picture(piece(["a a a *12"], warp={"yarn": "w"}), line_px=20, woven_picks=woven).pixels
    red = pixels[..., 0].astype(int) - pixels[..., 1] > 60
    assert np.flatnonzero(red.any(axis=1)).size == pytest.approx(woven * 20 / 3, abs=24 if woven else 0)
    warp = (pixels.astype(int) > BENCH + 20).all(axis=2)
    assert warp[40:60].any() == (woven < 36)


def test_picks_are_counted_through_the_sections() -> None:
    written = piece(["a a a *4"])
    written["sections"] = written["sections"] * 2
    half, all_of_it = (picture(written, line_px=20, woven_picks=count).pixels for count in (12, 24))
    red = [(pixels[..., 0].astype(int) - pixels[..., 1] > 60).sum() for pixels in (half, all_of_it)]
    assert red[1] == pytest.approx(2 * red[0], rel=0.02)


def test_a_fringe_is_warp_at_both_ends() -> None:
    plain, fringed = (picture(piece(["a a a *6"]), line_px=20, fringe=fringe).pixels for fringe in (False, True))
    assert len(fringed) > len(plain) + 200
    for rows in (fringed[40:80], fringed[-80:-40]):
        assert (rows.max(axis=(1, 2)) > BENCH + 10).all()


def test_doubled_edge_ends_are_threads_of_their_own() -> None:
    light = []
    for edge in ("none", {"kind": "doubled", "ends": 2}):
        row = picture(piece(["a a a *6"], warp={"yarn": "w", "edge": edge}), line_px=40, fringe=True).pixels[60, :, 0]
        light.append(np.count_nonzero(row > BENCH + 20))
    assert light[1] / light[0] == pytest.approx(25 / 21, rel=0.08)


def test_an_end_that_no_pick_covers_shows_as_warp() -> None:
    band = {"lines": ["a b *8"], "sheds": [[1], [2]]}
    pixels = picture({"yarns": YARNS, "sections": [{"strips": [{"ends": 21, "bands": [band]}]}]}, line_px=30).pixels
    column = pixels[60:-60, pixels.shape[1] // 2]
    assert np.ptp(column.astype(int), axis=1).max() < 60


@pytest.mark.parametrize("back", [False, True])
def test_marks_are_drawn_where_a_run_begins(back: bool) -> None:
    written = piece(["a a a *3", "b b b *3", "a+b a a *3"])
    with_marks, without = (picture(written, line_px=30, marks=marks, back=back).pixels for marks in (True, False))
    rows = np.flatnonzero((with_marks != without).any(axis=(1, 2)))
    assert len(rows)
    share = (with_marks != without).any(axis=2).mean()
    assert 0.005 < share < 0.15
    small, plain = (picture(written, line_px=9, marks=marks, back=back).pixels for marks in (True, False))
    assert np.array_equal(small, plain)


def test_marks_wait_for_the_first_woven_pick() -> None:
    assert picture(piece(["a a a"]), line_px=30, marks=True, woven_picks=0).pixels.size


@pytest.mark.parametrize("seed", range(20, 26))
@pytest.mark.parametrize("line_px", [1.3, 7, 18])
def test_any_piece_of_the_family_can_be_drawn(seed: int, line_px: float) -> None:
    cloth, settings = cloth_of(random_piece(seed))
    for back in (False, True):
        view = View(line_px=line_px, back=back)
        first, second = (wool_picture(cloth, settings, view=view).pixels for _ in range(2))
        assert np.array_equal(first, second)
        assert first.std() > 10


@pytest.mark.parametrize(
    "view,message",
    [
        ({"dpi": 5}, r"a picture has 10 to 1200 dots per inch, not 5"),
        ({"width_px": 3}, r"a picture is 16 to 20,000 pixels wide, not 3"),
        ({"line_px": 0}, r"a line is up to 400 pixels high, not 0"),
        ({"woven_picks": -1}, r"0 picks or more are woven, not -1"),
        ({"dpi": 100, "width_px": 100}, r"a picture has one size, not dpi and width_px; leave out all but one"),
        ({"line_px": 390}, r"this picture has [\d,]+ million pixels, more than 60; ask for \d+ % of that size"),
    ],
)
def test_a_size_that_cannot_be_is_refused(view: dict[str, Any], message: str) -> None:
    with pytest.raises(PictureError, match=message):
        picture(piece(["a b c *40"], 101), **view)
