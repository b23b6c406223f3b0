"""The display list against the model's face and back, and its pens."""

import json
from xml.etree import ElementTree

import pytest

from weftline import expand, loads, settings_of
from weftline.core.weave.back import back_columns
from weftline.core.weave.face import face_columns
from weftline.drawing.bead_drawing import draw_beads
from weftline.drawing.pens.bounds import BoundsPen
from weftline.drawing.pens.recording import RecordingPen
from weftline.drawing.pens.svg import SvgPen

PIECE = {
    "weftline": 1,
    "name": "Teeth <&> more",
    "yarns": {"o": {"colour": "#ffffff"}, "s": {"colour": "#000000"}, "r": {"colour": "#ff0000"}},
    "warp": {"sett_per_cm": 2.5},
    "beat": {"lines_per_cm": 2},
    "allowances": {"draw_in": 0},
    "sections": [{"strips": [{"ends": 7, "bands": [{"lines": ["s o r", "o s s"], "times": 2, "mirror": "picks"}]}]}],
}


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
