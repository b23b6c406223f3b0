"""Which single measurement of a cloth would narrow a figure most: reckoned from what it would leave, never listed."""

from __future__ import annotations

from dataclasses import dataclass
from math import log1p, sqrt
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.learning import expected
from weftline.core.learning.belief import scatter
from weftline.core.learning.counting import ratio_log_unsure
from weftline.core.learning.facts import means_of
from weftline.core.learning.readings import Reading, in_state, root_unsure
from weftline.core.learning.sample import State
from weftline.core.learning.spreads import CALLIPERS_MM, CUT_MM, EDGE_MM, HALF, RULER_MM, SCALES

if TYPE_CHECKING:
    from weftline.core.learning.belief import Belief
    from weftline.core.learning.expected import Measure
    from weftline.core.learning.facts import ClothFacts

STRIP_MM, WIDE_MM = 50.0, 250.0
"""The strip that is thought of: so long, so wide."""

WORTH = 0.9
"""A measurement that leaves more of the spread than this is not worth naming."""

DOINGS = {
    "count": "count the lines over {cm:.0f} cm of slack cloth",
    "weigh": "weigh {cm:.0f} cm of it and measure its area",
    "widths": "measure its width in the reed and on the loom",
    "thickness": "measure how thick it is",
    "marks": "mark a length on the warp and measure between the marks once woven",
    "weft": "lay a metre of weft, a whole line of it, and see how much of it the cloth takes",
    "weft by shed": "lay a measured length of weft in each shed and see how much of each the cloth takes",
    "relaxed": "measure length and width on the loom and off it",
    "washed": "measure length and width before and after the wash",
}
"""What a weaver can do with a strip, in the imperative; ``cm`` is how long it is."""


@dataclass(frozen=True, slots=True)
class Narrowing:
    """A measurement that would narrow a figure.

    Parameters
    ----------
    reading : str
        A key of ``DOINGS``.
    left : float
        The share of the standard deviation that it would leave, for the cloth as such.
    words : str
        What to do.
    """

    reading: str
    left: float
    words: str


def narrowing(belief: Belief, facts: ClothFacts, measure: Measure, long_mm: float = STRIP_MM) -> Narrowing | None:
    """Return the single measurement, on a strip of this very cloth, that would narrow a figure most.

    Nothing, where none would leave less than nine tenths of its spread.
    """
    best = min(DOINGS, key=lambda doing: left_by(belief, measure, planned(doing, facts, long_mm)))
    left = left_by(belief, measure, planned(best, facts, long_mm))
    if left > WORTH:
        return None
    return Narrowing(best, left, f"Weave {long_mm / 10:.0f} cm and {DOINGS[best].format(cm=long_mm / 10)}.")


def left_by(belief: Belief, measure: Measure, readings: list[Reading]) -> float:
    """Return the share of a figure's standard deviation that readings would leave, known before they are taken."""
    together = belief.covariance([measure, *(one.expected for one in readings)])
    before = float(together[0, 0])
    shared = together[0, 1:]
    gain = float(shared @ np.linalg.solve(together[1:, 1:] + scatter(readings), shared))
    return sqrt(max(1 - gain / before, 0.0)) if before else 1.0


def planned(doing: str, facts: ClothFacts, long_mm: float, wide_mm: float = WIDE_MM) -> list[Reading]:
    """Return the readings that a measurement would give, as sure as they would be at the physical mean.

    Values are left at the mean: what a reading is worth does not depend on what it will say.
    """
    means = means_of(facts)
    if doing == "count":
        sure = sqrt((HALF / (means.cloth.lines_per_cm * long_mm / 10)) ** 2 + (RULER_MM / long_mm) ** 2)
        return [_reading("lines", expected.lines(facts), sure)]
    if doing == "weigh":
        return [_reading("mass", expected.mass(facts).plus(in_state(State.OFF, facts, True)), SCALES)]
    if doing == "widths":
        root = means.root_draw_in
        sure = root_unsure(root * root, sqrt(RULER_MM**2 + EDGE_MM**2) / wide_mm)
        return [_reading("draw-in", expected.draw_in(facts), sure)]
    if doing == "thickness":
        return [_reading("thickness", expected.thickness(facts), CALLIPERS_MM / means.cloth.thickness_mm)]
    if doing == "marks":
        sure = ratio_log_unsure(long_mm, long_mm, 2 * RULER_MM) / log1p(means.cloth.warp_take_up)
        return [_reading("take-up", expected.take_up(facts), sure)]
    if doing in ("weft", "weft by shed"):
        return _laid(doing, facts, wide_mm)
    return _steps(doing, facts, long_mm, wide_mm)


def _laid(doing: str, facts: ClothFacts, wide_mm: float) -> list[Reading]:
    means = means_of(facts)
    each = ratio_log_unsure(wide_mm, wide_mm, CUT_MM)
    if doing == "weft":
        return [_reading("crimp", expected.crimp(facts), each / means.kappa)]
    return [
        _reading("crimp", expected.crimp(facts, place + 1), each / log1p(crimp))
        for place, crimp in enumerate(means.cloth.crimps)
    ]


def _steps(doing: str, facts: ClothFacts, long_mm: float, wide_mm: float) -> list[Reading]:
    step = "relax" if doing == "relaxed" else "shrink"
    over = {"width": wide_mm, "length": long_mm}
    return [
        _reading(f"{step} {along}", expected.lost(f"{step} {along}", facts), ratio_log_unsure(mm, mm, EDGE_MM))
        for along, mm in over.items()
    ]


def _reading(of: str, measure: Measure, unsure: float) -> Reading:
    return Reading(of, of, measure.mean, unsure, measure, float)
