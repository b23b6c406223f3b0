"""What was read from a sample, each on the scale that it is reasoned in, with what was expected and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, hypot, log, log1p, sqrt
from typing import TYPE_CHECKING

from weftline.core.learning import expected
from weftline.core.learning.counting import counted, log_unsure, ratio_log_unsure
from weftline.core.learning.expected import Effect, Measure
from weftline.core.learning.sample import State
from weftline.core.learning.spreads import (
    CALLIPERS_MM,
    CUT_MM,
    EDGE_MM,
    RULER_MM,
    SCALES,
    UNDER_TENSION,
    UNDER_TENSION_SD,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from weftline.core.learning.facts import ClothFacts
    from weftline.core.learning.sample import Sample, WeftLaid

LEAST_SHARE = 0.003
"""A take-up or a crimp measured as less, or as less than nothing, counts as so much: on its logarithm there is no nothing."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One figure of a sample.

    Parameters
    ----------
    what : str
        In the weaver's words.
    of : str
        The quantity that it tells of.
    value, unsure : float
        On the scale of ``expected``; ``unsure`` is the reading's own standard deviation.
    expected : Measure
    shown : callable
        From that scale to the unit in ``what``.
    """

    what: str
    of: str
    value: float
    unsure: float
    expected: Measure
    shown: Callable[[float], float]


def readings_of(sample: Sample) -> list[Reading]:
    """Return all that a sample tells, its verdict left out; each figure is used once.

    Widths and lengths are taken as steps: reed to loom, loom to off the loom, off the loom to washed. A step
    whose first figure is missing is left out, but for the way from the reed straight to off the loom.
    """
    return [*_lines(sample), *_widths(sample), *_lengths(sample), *_mass(sample), *_others(sample)]


def in_state(state: State, facts: ClothFacts, with_width: bool) -> Measure:
    """Return what a state adds to the logarithm of lines, or with the width to that of mass, over slack on the loom."""
    if state is State.TENSION:
        spread = {Effect("lines", "tension", facts.loom): UNDER_TENSION_SD}
        return Measure(UNDER_TENSION, spread)
    found = Measure(0.0)
    if state is State.SLACK:
        return found
    steps = ("relax",) if state is State.OFF else ("relax", "shrink")
    for step in steps:
        for along in ("length", "width") if with_width else ("length",):
            found = found.plus(expected.lost(f"{step} {along}", facts))
    return found


def _lines(sample: Sample) -> Iterator[Reading]:
    count = sample.counted
    if count is None:
        return
    value = log(counted(count.lines).mean * 10 / count.over_mm)
    wanted = expected.lines(sample.facts).plus(in_state(count.state, sample.facts, False))
    yield Reading("lines per cm", "lines", value, log_unsure(count.lines, count.over_mm), wanted, exp)


def _widths(sample: Sample) -> Iterator[Reading]:
    width, facts = sample.width, sample.facts
    reed, loom, off, washed = width.in_reed_mm, width.on_loom_mm, width.off_loom_mm, width.washed_mm
    if reed is not None and loom is not None:
        yield _drawn("draw-in", reed, loom, expected.draw_in(facts))
    elif reed is not None and off is not None:
        yield _drawn("draw-in with what the width relaxed", reed, off, expected.reed_to_off_loom(facts))
    if loom is not None and off is not None:
        yield _lost("relax width", "width lost off the loom", (loom, off), EDGE_MM, facts)
    if off is not None and washed is not None:
        yield _lost("shrink width", "width lost in the wash", (off, washed), EDGE_MM, facts)


def _lengths(sample: Sample) -> Iterator[Reading]:
    length, facts = sample.length, sample.facts
    if length.on_loom_mm is not None and length.off_loom_mm is not None:
        pair = (length.on_loom_mm, length.off_loom_mm)
        yield _lost("relax length", "length lost off the loom", pair, EDGE_MM, facts)
    if length.off_loom_mm is not None and length.washed_mm is not None:
        pair = (length.off_loom_mm, length.washed_mm)
        yield _lost("shrink length", "length lost in the wash", pair, EDGE_MM, facts)


def _drawn(what: str, reed_mm: float, cloth_mm: float, wanted: Measure) -> Reading:
    """Return a draw-in on its root; near nothing the root cannot be told finer than its reading error allows."""
    unsure = hypot(RULER_MM / reed_mm, EDGE_MM / cloth_mm)
    drawn = max(log(reed_mm / cloth_mm), 0.0)
    return Reading(what, "draw-in", sqrt(drawn), root_unsure(drawn, unsure), wanted, expected.drawn_share)


def root_unsure(drawn: float, unsure: float) -> float:
    """Return how unsure the root of a figure is that is itself so unsure."""
    return unsure / (2 * sqrt(max(drawn, unsure)))


def _lost(of: str, what: str, pair: tuple[float, float], each_mm: float, facts: ClothFacts) -> Reading:
    before, after = pair
    unsure = ratio_log_unsure(before, after, each_mm)
    return Reading(what, of, log(before / after), unsure, expected.lost(of, facts), expected.lost_share)


def _mass(sample: Sample) -> Iterator[Reading]:
    weighed = sample.weighed
    if weighed is None:
        return
    value = log(weighed.grams / weighed.area_mm2 * 1e6)
    wanted = expected.mass(sample.facts).plus(in_state(weighed.state, sample.facts, True))
    yield Reading("g/m2", "mass", value, SCALES, wanted, exp)


def _others(sample: Sample) -> Iterator[Reading]:
    facts = sample.facts
    if sample.thickness_mm is not None:
        unsure = CALLIPERS_MM / sample.thickness_mm
        yield Reading("thickness in mm", "thickness", log(sample.thickness_mm), unsure, expected.thickness(facts), exp)
    if sample.marks is not None:
        warp, woven = sample.marks.warp_mm, sample.marks.woven_mm
        yield _shared("warp take-up", "take-up", (warp, woven), 2 * RULER_MM, expected.take_up(facts))
    for laid in sample.laid:
        yield _weft(laid, facts)


def _weft(laid: WeftLaid, facts: ClothFacts) -> Reading:
    what = "weft crimp" if laid.shed is None else f"weft crimp in shed {laid.shed}"
    return _shared(what, "crimp", (laid.weft_mm, laid.over_mm), CUT_MM, expected.crimp(facts, laid.shed))


def _shared(what: str, of: str, pair: tuple[float, float], each_mm: float, wanted: Measure) -> Reading:
    """Return a share more of one length than of another, on ``ln ln(1 + share)``."""
    more, less = pair
    unsure = ratio_log_unsure(more, less, each_mm)
    share = max(log(more / less), log1p(LEAST_SHARE))
    return Reading(what, of, log(share), unsure / max(share, unsure), wanted, expected.share_of)
