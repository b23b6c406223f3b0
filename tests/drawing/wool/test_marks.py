"""Marks: twelve signs that differ, drawn in an ink that is seen."""

import numpy as np
import pytest

from weftline.drawing.wool.marks import DARK, LIGHT, NAMES, MarkPlace, draw_marks, sign


def test_every_sign_has_ink_and_no_two_are_alike() -> None:
    signs = [sign(place, 12) for place in range(len(NAMES))]
    assert all(one.max() == 1 for one in signs)
    for place, one in enumerate(signs):
        for other in signs[:place]:
            assert np.abs(one - other).sum() > 0.25 * min(one.sum(), other.sum())
    assert np.array_equal(sign(len(NAMES), 12), signs[0])


@pytest.mark.parametrize("yarn,ink", [(20, LIGHT), (235, DARK)])
def test_ink_is_dark_on_light_yarn_and_light_on_dark(yarn: int, ink: int) -> None:
    pixels = np.full((30, 30, 3), yarn, dtype=np.uint8)
    draw_marks(pixels, MarkPlace(15, 15, 24, 20), (1,), (yarn / 255) ** 2.2)
    assert (pixels[15, 15] == ink).all()


def test_two_yarns_stand_side_by_side_and_small_beads_stay_bare() -> None:
    pixels = np.full((30, 40, 3), 200, dtype=np.uint8)
    draw_marks(pixels, MarkPlace(15, 20, 30, 9), (1, 1), 0.6)
    assert (pixels == 200).all()
    draw_marks(pixels, MarkPlace(15, 20, 30, 20), (1, 1), 0.6)
    dark = np.flatnonzero(pixels[15, :, 0] < 100)
    assert (np.diff(dark) > 1).sum() == 1


def test_a_mark_at_the_border_is_cut() -> None:
    pixels = np.full((30, 30, 3), 200, dtype=np.uint8)
    for row, column in ((0, 0), (29, 29), (-40, 15), (15, 70)):
        draw_marks(pixels, MarkPlace(row, column, 24, 20), (1,), 0.6)
    assert (pixels[0, 0] == DARK).all()
    assert (pixels[29, 29] == DARK).all()
