"""Stock cloth: whole lines in the sheds of a technique, on any ends; and the shades that are seen in it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.weave.picks import Picks, Weaving
from weftline.core.weave.technique import KROKBRAGD, shed_mask
from weftline.core.weave.threading import thread
from weftline.drawing.wool.bake import BARE
from weftline.drawing.wool.dye import SHADES
from weftline.drawing.wool.panels import Grain
from weftline.drawing.wool.sight import EdgeWarp, Scale, sight
from weftline.drawing.wool.tiles import Tiles

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.weave.threading import Shafts

ENDS, LINES = 14, 9
"""Of the cloth that shades are counted in ..."""
ENDS_LEFT_OUT, LINES_LEFT_OUT = 4, 3
"""... and how much of it is left out on each side."""
WIDE = 1.4
"""Width of its columns, in lines."""


def stock_weaving(ends: Shafts, sheds: tuple[tuple[int, ...], ...], lines: int, line_mm: float) -> Weaving:
    """Return so many whole lines of one winding, every shed of a line once."""
    each = len(sheds)
    count = lines * each
    picks = Picks(
        shed=np.tile(np.array([shed_mask(shed) for shed in sheds], dtype=np.uint16), lines),
        wound=np.zeros(count, dtype=np.int32),
        line=np.repeat(np.arange(lines, dtype=np.int32), each),
        slot=np.tile(np.arange(each, dtype=np.int16), lines),
        band=np.zeros(count, dtype=np.int16),
        written=np.zeros(count, dtype=np.int32),
        step_mm=np.full(count, line_mm / each),
    )
    return Weaving(ends, picks, ())


@lru_cache(maxsize=64)
def seen_shades(line_px: float, finest_line: float, *, back: bool) -> NDArray[np.float64]:
    """Return (256,) float64: how often each shade is seen in the middle of krokbragd of this scale.

    The light of every bead and float is brought to the same mean, so what is seen there stands for
    any cloth; a colour is then dyed alike wherever and with whatever it is woven.

    Parameters
    ----------
    line_px : float
    finest_line : float
        As in ``Grain``.
    back : bool
    """
    weaving = stock_weaving(thread(KROKBRAGD.threading, ENDS), KROKBRAGD.sheds, LINES, 1.0)
    scale = Scale(WIDE * line_px, line_px, 1.0)
    seen = sight(weaving, scale, mirrored=back, back=back, edge=EdgeWarp(), woven=len(weaving.picks))
    beside = round(ENDS_LEFT_OUT * scale.column_px)
    tiles = Tiles(seen, (-beside, -beside), 1, Grain(finest_line, 0, ENDS, len(weaving.picks)))
    each = len(KROKBRAGD.sheds)
    bands = range(LINES_LEFT_OUT * each + 1, (LINES - LINES_LEFT_OUT) * each + 1)
    tiles.bake(bands)
    counts = np.zeros(SHADES)
    for tile in tiles.tiles:
        for band in bands:
            bake = tile.of(band)
            counts += np.bincount(bake.shade[bake.which != BARE], minlength=SHADES)
    counts.flags.writeable = False
    return counts
