"""The plain picture and the display list against the model's face and back."""

import json
from xml.etree import ElementTree

import numpy as np
import pytest

from weftline import expand, loads, settings_of
from weftline.core.weave.back import back_columns
from weftline.core.weave.face import face_columns
from weftline.drawing.bead_drawing import draw_beads
from weftline.drawing.pens.bounds import BoundsPen
from weftline.drawing.pens.recording import RecordingPen
from weftline.drawing.pens.svg import SvgPen
from weftline.drawing.plain import plain_picture
from weftline.errors import PictureError

PIECE = {
    "weftline": 1,
    "name": "Teeth <&> more",
    "yarns": {"o": {"colour": "#ffffff"}, "s": {"colour": "#000000"}, "r": {"colour": "#ff0000"}},
    "warp": {"sett_per_cm": 2.5},
    "beat": {"lines_per_cm": 2},
    "allowances": {"draw_in": 0},
    "sections": [{"strips": [{"ends": 7, "bands": [{"lines": ["s o r", "o s s"], "times": 2, "mirror": "picks"}]}]}],
}


def colours(back: bool) -> list[list[str]]:
    """The picture's rows from the top, one letter a column, sampled at the middle of every third of a line."""
    cloth = expand(loads(json.dumps(PIECE)))
    picture = plain_picture(cloth, settings_of(cloth.project), back=back, dpi=254.0)
    pixels = picture.pixels
    letters = {(255, 255, 255): "o", (0, 0, 0): "s", (255, 0, 0): "r"}
    across = [20 + 40 * end for end in range(7)]
    rows = range(len(pixels) - 8, 0, -17)
    return [[letters[tuple(pixels[row, column])] for column in across] for row in rows][::-1]


@pytest.mark.parametrize("back", [False, True])
def test_every_pixel_looked_at_shows_the_pick_that_the_model_says(back: bool) -> None:
    cloth = expand(loads(json.dumps(PIECE)))
    weaving = cloth.sections[0].strips[0].weaving
    shown = [one.shows for one in back_columns(weaving)][::-1] if back else face_columns(weaving)
    picture = plain_picture(cloth, settings_of(cloth.project), back=back, dpi=254.0)
    names = [winding[0][0] for winding in weaving.windings]
    rgb = {"o": [255, 255, 255], "s": [0, 0, 0], "r": [255, 0, 0]}
    rows, columns = picture.pixels.shape[:2]
    rng = np.random.default_rng(1)
    for _ in range(400):
        row, column = int(rng.integers(rows)), int(rng.integers(columns))
        height = (rows - row - 0.5) / rows * weaving.picks.height_mm
        pick = int(shown[int((column + 0.5) / columns * 7)].at(np.array([height]))[0])
        assert picture.pixels[row, column].tolist() == rgb[names[weaving.picks.wound[pick]]]


def test_the_picture_has_the_true_proportion_of_the_cloth_on_the_loom() -> None:
    cloth = expand(loads(json.dumps(PIECE)))
    picture = plain_picture(cloth, settings_of(cloth.project), dpi=254.0)
    assert picture.pixels.shape[:2] == (round(cloth.sections[0].picks.height_mm * 10), 280)


def test_a_picture_too_large_says_what_would_do() -> None:
    piece = json.loads(json.dumps(PIECE))
    piece["sections"][0]["strips"][0] = {"ends": 4000, "bands": [{"lines": ["s o r *3000"]}]}
    cloth = expand(loads(json.dumps(piece)))
    with pytest.raises(PictureError, match=r"million pixels, more than 60; \d+ dpi would do"):
        plain_picture(cloth, settings_of(cloth.project), dpi=600)


@pytest.mark.parametrize("back", [False, True])
def test_the_display_list_covers_every_pick_and_stays_on_the_page(back: bool) -> None:
    cloth = expand(loads(json.dumps(PIECE)))
    pen, bounds = RecordingPen(), BoundsPen()
    draw_beads(cloth, settings_of(cloth.project), pen, back=back)
    draw_beads(cloth, settings_of(cloth.project), bounds, back=back)
    weaving = cloth.sections[0].strips[0].weaving
    columns = [one.shows for one in back_columns(weaving)] if back else face_columns(weaving)
    visible = {int(pick) for beads in columns for pick in beads.pick}
    assert len({round(y, 6) for _, _, y, _ in pen.placed}) == len(visible)
    assert bounds.bounds is not None
    assert bounds.bounds == pytest.approx((0.0, 0.0, *pen.size_mm), abs=0.01)


def test_svg_is_well_formed_whatever_the_name() -> None:
    cloth = expand(loads(json.dumps(PIECE)))
    pen = SvgPen()
    draw_beads(cloth, settings_of(cloth.project), pen)
    tree = ElementTree.fromstring(pen.text())
    assert tree.attrib["width"] == "28mm"
    titles = [element.text for element in tree if element.tag.endswith("title")]
    assert titles == ["Teeth <&> more: face"]
    assert len(pen.text()) < 6000
