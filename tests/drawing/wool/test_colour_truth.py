"""Colour truth: whole beads keep the colour of their yarn, judged by an independent colour library."""

import numpy as np
import pytest
from coloraide import Color
from numpy.typing import NDArray

from tests.drawing.wool.woollen import COLOURS, cloth_of, random_lines, yarns
from weftline.core.colour.light import to_linear
from weftline.core.weave.picks import covered
from weftline.drawing.wool import View, pick_map, wool_picture
from weftline.drawing.wool.view import canvas

ENDS, LINES = 41, 36


def bead_colours(back: bool, line_px: float) -> dict[str, NDArray[np.float64]]:
    """CIEDE2000 of the mean of every whole bead or float from its yarn, by the yarn's colour."""
    rng = np.random.default_rng(7)
    bands = [{"lines": random_lines(rng, LINES, 3, regular=True)}]
    cloth, settings = cloth_of({"yarns": yarns(), "sections": [{"strips": [{"ends": ENDS, "bands": bands}]}]})
    view = View(back=back, line_px=line_px)
    picks, _ = pick_map(cloth, settings, view)
    light = to_linear(wool_picture(cloth, settings, view=view).pixels / 255)
    weaving = cloth.sections[0].strips[0].weaving
    size = canvas(cloth, settings, view)
    ends = weaving.ends[::-1] if back else weaving.ends
    shows = covered(weaving.picks.shed, ends) ^ back
    middles = size.left + (np.arange(ENDS) + 0.5) * size.column_px
    found: dict[str, list[float]] = {colour: [] for colour in COLOURS}
    for pick in range(6, len(weaving.picks) - 6):
        rows, columns = np.nonzero(picks == pick)
        inside = (columns > middles[3]) & (columns < middles[-4])
        rows, columns = rows[inside], columns[inside]
        own = np.flatnonzero(shows[pick])
        bead = np.abs(columns[:, None] - middles[own]).argmin(axis=1)
        ((key, _),) = weaving.windings[weaving.picks.wound[pick]]
        colour = str(cloth.project.yarns[key].colour)
        least = 0.2 * size.column_px * size.line_px
        for number in np.unique(bead):
            of_bead = light[rows[bead == number], columns[bead == number]]
            if len(of_bead) > least:
                mean = Color("srgb-linear", of_bead.mean(axis=0).tolist())
                found[colour].append(mean.delta_e(colour, method="2000"))
    return {colour: np.array(values) for colour, values in found.items()}


@pytest.mark.outside
@pytest.mark.parametrize("line_px", [24, 60])
@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
def test_whole_beads_keep_the_colour_of_their_yarn(back: bool, line_px: float) -> None:
    found = bead_colours(back, line_px)
    everyone = np.concatenate(list(found.values()))
    assert len(everyone) >= 1000
    told = {colour: (round(float(np.median(far)), 2), round(float(far.max()), 2)) for colour, far in found.items()}
    assert np.median(everyone) < 1, told
    assert everyone.max() < 3, told
