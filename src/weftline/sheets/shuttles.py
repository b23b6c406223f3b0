"""How many shuttles are in use at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan


def most_shuttles(plan: Plan) -> tuple[int, int, str]:
    """Return how many windings a line and a band use at most on one strip, and the name of that band."""
    most_line, most_band, where = 0, 0, ""
    for strip in (strip for section in plan.cloth.sections for strip in section.strips):
        picks = strip.weaving.picks
        if not len(picks):
            continue
        pairs = np.unique(np.stack([picks.line, picks.wound]), axis=1)
        most_line = max(most_line, int(np.unique(pairs[0], return_counts=True)[1].max()))
        bands = np.unique(np.stack([picks.band, picks.wound]), axis=1)
        places, counts = np.unique(bands[0], return_counts=True)
        if int(counts.max()) > most_band:
            most_band, where = int(counts.max()), strip.bands[int(places[counts.argmax()])]
    return most_line, most_band, where
