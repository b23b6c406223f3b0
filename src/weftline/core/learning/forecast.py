"""What is foretold of a cloth: every figure with its 90 % interval, what it rests on and what would narrow it most."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.expected import Measure, drawn_share, lost_share, share_of
from weftline.core.learning.narrowing import Narrowing, narrowing
from weftline.core.learning.predicted import quantity_of
from weftline.core.learning.words import rests_on

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.learning.belief import Belief
    from weftline.core.learning.facts import ClothFacts

MEASURED = 0.5
"""A figure is called measured where samples of this very cloth have taken half of its spread away."""


@dataclass(frozen=True, slots=True)
class Told:
    """One figure of a forecast.

    Parameters
    ----------
    value : Quantity
        With its 90 % interval for the next piece.
    rests_on : tuple of str
        Sentences in trade words.
    narrow_it : Narrowing or None
        The one measurement that would narrow it most; nothing where none would by a tenth.
    """

    value: Quantity
    rests_on: tuple[str, ...]
    narrow_it: Narrowing | None


@dataclass(frozen=True, slots=True)
class Forecast:
    """What is foretold of the next piece of a cloth.

    Lines, mass, thickness and crimp are those of slack cloth on the loom; draw-in is from the reed to it. Relaxing is
    what it loses off the loom, shrinking what it then loses in the wash.

    Parameters
    ----------
    lines_per_cm, mass_g_m2, thickness_mm, draw_in, warp_take_up : Told
    weft_take_up : Told
        Extra weft over the width in the reed, mean of a line.
    weft_crimp : tuple of Told
        Extra weft over the width of the cloth, by shed.
    relax_width, relax_length, shrink_width, shrink_length : Told
    sett_low, sett_high : Told
        The open and the close limit in ends per cm.
    """

    lines_per_cm: Told
    mass_g_m2: Told
    thickness_mm: Told
    draw_in: Told
    warp_take_up: Told
    weft_take_up: Told
    weft_crimp: tuple[Told, ...]
    relax_width: Told
    relax_length: Told
    shrink_width: Told
    shrink_length: Told
    sett_low: Told
    sett_high: Told


def forecast(facts: ClothFacts, belief: Belief = NO_SAMPLE) -> Forecast:
    """Return what is foretold of a cloth.

    Examples
    --------
    >>> from weftline.core.geometry.threads import thread_of_numbers
    >>> from weftline.core.learning.facts import ClothFacts
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> from weftline.core.yarn.numbers import yarn_numbers
    >>> warp, weft = (thread_of_numbers(yarn_numbers(said)) for said in ("310 tex cotton", "1000 tex wool"))
    >>> lines = forecast(ClothFacts(warp, weft, KROKBRAGD, 2.4, "firm")).lines_per_cm
    >>> [round(one or 0, 1) for one in (lines.value.low, lines.value.value, lines.value.high)]
    [3.3, 5.1, 7.9]
    >>> lines.narrow_it.reading, lines.narrow_it.left < 0.3
    ('count', True)
    """

    def told(of: str, measure: Measure, shown: Callable[[float], float]) -> Told:
        basis = _basis(belief, of, measure, facts)
        return Told(
            quantity_of(belief, measure, shown, basis),
            rests_on(belief, of, facts),
            narrowing(belief, facts, measure),
        )

    def lost(of: str) -> Told:
        return told(of, expected.lost(of, facts), lost_share)

    sheds = range(1, len(facts.technique.sheds) + 1)
    return Forecast(
        lines_per_cm=told("lines", expected.lines(facts), exp),
        mass_g_m2=told("mass", expected.mass(facts), exp),
        thickness_mm=told("thickness", expected.thickness(facts), exp),
        draw_in=told("draw-in", expected.draw_in(facts), drawn_share),
        warp_take_up=told("take-up", expected.take_up(facts), share_of),
        weft_take_up=told("weft take-up", expected.weft_over_reed(facts), lambda y: exp(y) - 1),
        weft_crimp=tuple(told("crimp", expected.crimp(facts, shed), share_of) for shed in sheds),
        relax_width=lost("relax width"),
        relax_length=lost("relax length"),
        shrink_width=lost("shrink width"),
        shrink_length=lost("shrink length"),
        sett_low=told("open", expected.limit("open", facts), exp),
        sett_high=told("close", expected.limit("close", facts), exp),
    )


def _basis(belief: Belief, of: str, measure: Measure, facts: ClothFacts) -> Basis:
    """Return what a figure rests on: its own measurements, else arithmetic, else suppositions."""
    before = float(NO_SAMPLE.covariance([measure])[0, 0])
    left = float(belief.covariance([measure])[0, 0])
    if left < MEASURED**2 * before:
        return Basis.MEASURED
    supposed = facts.beat is None and of in ("lines", "mass")
    unknown = Basis.DEFAULT in (facts.warp.diameter_mm.basis, facts.weft.diameter_mm.basis)
    return Basis.DEFAULT if supposed or unknown else Basis.COMPUTED
