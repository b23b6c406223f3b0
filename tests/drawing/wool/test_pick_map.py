"""The pick map says what the model says, in the stated inner part of every bead and float."""

from typing import Any

import numpy as np
import pytest

from tests.drawing.wool.woollen import cloth_of, model_points, random_piece
from tests.pieces import one_strip, read
from weftline import expand, settings_of
from weftline.drawing.wool import View, pick_map, wool_picture

FACE_INNER, BACK_INNER = (0.25, 0.3), (0.1, 0.1)
"""How far from the middle: in heights of the bead, and in columns."""


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
def test_the_map_agrees_with_the_model(seed: int, back: bool) -> None:
    cloth, settings = cloth_of(random_piece(seed))
    view = View(back=back, line_px=24)
    picks, strips = pick_map(cloth, settings, view)
    inner = BACK_INNER if back else FACE_INNER
    rows, columns, expected = model_points(cloth, settings, view, np.random.default_rng(seed), inner)
    assert len(expected) > 50
    assert np.array_equal(picks[rows, columns], expected)
    assert (strips[rows, columns] >= 0).all()


def test_the_map_has_the_shape_of_the_picture_and_ends_at_the_bench() -> None:
    cloth, settings = cloth_of(random_piece(1))
    view = View(width_px=90)
    picks, strips = pick_map(cloth, settings, view)
    assert picks.shape == strips.shape == wool_picture(cloth, settings, view=view).pixels.shape[:2]
    assert ((picks < 0) == (strips < 0)).all()
    assert (picks[0] == -1).all()
    assert (picks[:, 0] == -1).all()


def test_strips_are_numbered_section_by_section() -> None:
    strip = {"ends": 9, "bands": [{"lines": ["a b c *3"]}], "gap_after_cm": 3}
    yarns: dict[str, Any] = {key: {} for key in "abc"}
    sections = [{"strips": [strip, strip]}, {"strips": [{**strip, "ends": 18}]}]
    cloth, settings = cloth_of({"yarns": yarns, "sections": sections})
    _, strips = pick_map(cloth, settings, View(line_px=20))
    rows, columns = strips.shape
    assert set(np.unique(strips[rows // 2 :])) == {-1, 0, 1}
    assert set(np.unique(strips[: rows // 2])) == {-1, 2}
    left, right = (np.nonzero(strips == number)[1] for number in (0, 1))
    assert left.max() < right.min()
    assert np.nonzero(pick_map(cloth, settings, View(line_px=20, back=True))[1] == 0)[1].min() > columns // 2 - 20


@pytest.mark.parametrize("back", [False, True])
def test_a_column_that_no_pick_covers_for_a_hundred_lines_shows_the_pick_nearest_by(back: bool) -> None:
    lines = ["o s o", "o o - *60", "s o o", "o o - *45", "o s m"]
    project = read(one_strip({"lines": lines}, ends=13))
    cloth, settings = expand(project), settings_of(project)
    weaving = cloth.sections[0].strips[0].weaving
    picks, strips = pick_map(cloth, settings, View(back=back, line_px=12))
    assert picks.max() == len(weaving.picks) - 1
    assert set(np.unique(strips).tolist()) == {-1, 0}
    if not back:
        column = np.flatnonzero((picks >= 0).any(axis=0))
        third = picks[:, column[0] + round(len(column) * 2.5 / 13)]  # an end on shaft 3
        shown = set(np.unique(third[third >= 0]).tolist())
        assert {2, len(weaving.picks) - 1} <= shown
