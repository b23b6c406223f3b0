"""The picture of the cloth in wool: what a weaver takes for cloth, with every colour true.

Way of the picture: a *sight* is one strip as looked at, in whole pixel rows; *spots* are its beads,
floats and turns; they are *raised* to a height field, *shaded*, and *baked* without colour, one
tile for each way in which picks follow each other; a *painter* lays the tile in the colours of the
picks. The *pick map* comes from the same tile, so what is touched is what is seen.

Units: pixels within a strip, x from its left edge as seen, y upwards from its foot; pictures have
their first row at the top. May import: ``core``, the rest of ``drawing``, numpy.
"""

from __future__ import annotations

from weftline.drawing.wool.ground import Ground
from weftline.drawing.wool.painter import StripPainter
from weftline.drawing.wool.panels import FINE, LIVE, Grain
from weftline.drawing.wool.picture import Picture, pick_map, wool_picture
from weftline.drawing.wool.sight import EdgeWarp, Scale, Sight, sight, snapped
from weftline.drawing.wool.view import View

__all__ = [
    "FINE",
    "LIVE",
    "EdgeWarp",
    "Grain",
    "Ground",
    "Picture",
    "Scale",
    "Sight",
    "StripPainter",
    "View",
    "pick_map",
    "sight",
    "snapped",
    "wool_picture",
]
