"""How close to set a warp for a weft-faced cloth: a range, with its reasons, for any weave of the family.

Three questions bound it. Does the warp still hold the weft? Set too open, the weft packs down on
nothing and the cloth is limp. Does the weft cover? Set too close, beads of neighbouring ends no
longer meet over the warp and it shows. Does a line close? In every gap two picks a line change
sides; they want a gap as wide as the weft, or they stand on one another.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, hypot, log, sqrt
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.geometry.closure import closure_of
from weftline.core.geometry.physics import (
    BEATS,
    Physics,
    Yarns,
    free_height_mm,
    line_height_mm,
    pass_thickness_mm,
    physics_of,
)
from weftline.core.geometry.setting import canon_sett_per_cm

if TYPE_CHECKING:
    from weftline.core.geometry.closure import Closure
    from weftline.core.weave.technique import Technique

OPEN, SOFT, BEST = 0.42, 0.50, 0.52
"""Warp and face weft together, as a share of the room from end to end: at the open limit, where a soft hand ends, and
at its best. From setts that were woven and judged: 3.15 ends per cm called too drapey and 3.94 good, both in a two-ply
weaving wool of about 333 tex (weavers' notes on a Flesberg group warp); 2.36 called very loose in 551 tex on 12/6
twine (rebeccamezoff.com 2018-03-28); 3.15 good in 653 tex; 1.57 good in 1,908 tex on 8/4 (trantor.is Project013). Those
called too loose and those liked overlap at 0.43 to 0.45, so the limit is soft by 15 %."""

CLOSE = 1.25
"""The close limit: ends this many times as far apart as warp and weft diameter together. The tapestry rule, weft as
wide as the gap (americantapestryalliance.org, choosing warp and weft), would be 1; worked tapestry warps of the Creuse
(craeft.eu course 115) stand at d/p of 0.45 to 0.48; the wider limit leaves room for a bead. Soft by 20 %."""

OPEN_LOG_SD, BEST_LOG_SD, CLOSE_LOG_SD = 0.15, 0.15, 0.20
"""Scatter of the three, as standard deviations of their logarithms (judgement, from the same pieces)."""

LINE_SPREADS = {"level": 0.15, "yarn": 0.13, "cloth": 0.09, "weaver": 0.12, "loom": 0.07, "beat label": 0.05,
                "piece": 0.05, "weave": 0.07}  # fmt: skip
"""Why one cloth of these yarns has more lines than another, as standard deviations of ln(lines per cm): how sure the
model's level is (one plain rug and one rule of thumb), this yarn's lie, what the physics gets wrong in this cloth, the
weaver's arm, the loom, what she calls firm, the piece itself, and the weave's closure. Judgement."""

SIZE_SLOPE = 0.05
"""More scatter for each factor of e that a weft lies from 1,000 tex."""

BEAT_UNKNOWN, WEAVE_UNKNOWN = 0.085, 0.12
"""More scatter where nobody says how hard she beats, and for a weave that no documented piece stands behind."""

STUDENT = 1.812 * sqrt(0.8)
"""Half a 90 % interval in standard deviations, of a Student t of 10 degrees with scale 0.8."""

WIDEST = 2.5
"""A count predicted wider than this factor would be no answer; a weaver who states her beat and whose weft has a
size, not wraps alone, gets no wider one."""

NINETY = 1.645


@dataclass(frozen=True, slots=True)
class Thread:
    """A warp end or a weft pick as the sett needs it.

    Parameters
    ----------
    said : str
        As the weaver says it.
    tex : float
        All strands together.
    diameter_mm : Quantity
        In contact, as one bundle.
    density_g_cm3 : float
        Of its fibre.
    is_wool : bool
        Whether what the model was compared with speaks of it.
    tex_log_sd : float
        How unsure the tex is beyond a label's own scatter, as the standard deviation of its logarithm: wraps only.
    """

    said: str
    tex: float
    diameter_mm: Quantity
    density_g_cm3: float
    is_wool: bool = True
    tex_log_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class SettLimits:
    """Setts in ends per cm: the open limit, the end of a soft hand, the best, the close limit."""

    low: float
    soft: float
    best: float
    high: float


@dataclass(frozen=True, slots=True)
class SettAdvice:
    """How close to set a warp.

    Parameters
    ----------
    low, best, high : Quantity
        Ends per cm in the reed: the open limit, the best, the close limit, each with how soft it is.
    soft_to : float
        Below this a cloth is open and soft, but held.
    at_per_cm : float
        The sett that lines and thickness are told for: the best, or the one asked about.
    cloth : Physics
        What it comes to there, by the mean of the model.
    lines_per_cm : Quantity
        With its 90 % interval.
    canon_per_cm : float
        What the tapestry rule says, weft as wide as the gap: closer than a line closes well.
    verdict : str
        Of the sett asked about: ``limp``, ``open``, ``good``, ``close`` or ``shows``.
    reason : str
    rests_on : tuple of str
    """

    low: Quantity
    best: Quantity
    high: Quantity
    soft_to: float
    at_per_cm: float
    cloth: Physics
    lines_per_cm: Quantity
    canon_per_cm: float
    verdict: str
    reason: str
    rests_on: tuple[str, ...]


def sett_advice(
    warp: Thread, weft: Thread, technique: Technique, beat: str | None = None, sett_per_cm: float | None = None
) -> SettAdvice:
    """Return how close to set a warp for a weft, and what a line comes to.

    Parameters
    ----------
    warp, weft : Thread
    technique : Technique
        Any weave of the family; its closure is computed from threading and sheds.
    beat : str, optional
        ``soft``, ``firm`` or ``hard``; firm, and less sure, where it is left out.
    sett_per_cm : float, optional
        To be judged; the best where it is left out.

    Examples
    --------
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> warp = Thread("8/4 cotton", 310, Quantity(0.658, Basis.COMPUTED), 1.52, False)
    >>> weft = Thread("2 x 500 tex wool", 1000, Quantity(1.394, Basis.COMPUTED), 1.31)
    >>> found = sett_advice(warp, weft, KROKBRAGD, "firm", 2.4)
    >>> [round(one.value, 1) for one in (found.low, found.best, found.high)], found.verdict
    ([2.2, 2.7, 3.9], 'open')
    >>> lines = found.lines_per_cm
    >>> round(lines.low or 0, 1), round(lines.value, 1), round(lines.high or 0, 1)
    (3.2, 5.1, 8.0)
    """
    closure = closure_of(technique)
    yarns = Yarns(warp.tex, weft.tex, warp.diameter_mm.value, weft.diameter_mm.value, weft.density_g_cm3)
    limits = sett_limits(warp, weft, closure)
    at = limits.best if sett_per_cm is None else sett_per_cm
    cloth = physics_of(yarns, closure, at, BEATS[beat or "firm"])
    lines = lines_interval(
        cloth.lines_per_cm,
        weft.tex,
        technique.name == "own",
        beat is not None,
        _basis(warp, weft, beat),
        weft.tex_log_sd,
    )
    gap = (10 / at - warp.diameter_mm.value) / weft.diameter_mm.value
    return SettAdvice(
        low=_soft(limits.low, OPEN_LOG_SD, lines.basis),
        best=_soft(limits.best, BEST_LOG_SD, lines.basis),
        high=_soft(limits.high, CLOSE_LOG_SD, lines.basis),
        soft_to=limits.soft,
        at_per_cm=at,
        cloth=cloth,
        lines_per_cm=lines,
        canon_per_cm=canon_sett_per_cm(warp.diameter_mm.value, weft.diameter_mm.value),
        verdict=verdict(at, limits),
        reason=_reason(limits, at, gap),
        rests_on=tuple(_rests_on(warp, weft, technique, beat)),
    )


def sett_limits(warp: Thread, weft: Thread, closure: Closure) -> SettLimits:
    """Return where a sett is too open, soft, best and too close.

    The face weft's thickness is that of a gap without jam, so the limits do not lean on the sett itself.
    """
    free = line_height_mm(free_height_mm(weft.tex, weft.density_g_cm3), closure.g, 1.0)
    room = warp.diameter_mm.value + closure.face_passes * pass_thickness_mm(weft.tex, weft.density_g_cm3, free)
    touch = warp.diameter_mm.value + weft.diameter_mm.value
    return SettLimits(OPEN * 10 / room, SOFT * 10 / room, BEST * 10 / room, 10 / (CLOSE * touch))


def verdict(sett_per_cm: float, limits: SettLimits) -> str:
    """Return how a sett stands to its limits.

    Examples
    --------
    >>> [verdict(sett, SettLimits(2.2, 2.6, 2.7, 3.9)) for sett in (2.0, 2.4, 3.0, 3.5, 4.0)]
    ['limp', 'open', 'good', 'close', 'shows']
    """
    if sett_per_cm < limits.low:
        return "limp"
    if sett_per_cm > limits.high:
        return "shows"
    if sett_per_cm < limits.soft:
        return "open"
    return "close" if sett_per_cm > (limits.best * limits.high) ** 0.5 else "good"


def lines_interval(
    lines_per_cm: float,
    weft_tex: float,
    is_own_weave: bool,
    beat_said: bool,
    basis: Basis = Basis.COMPUTED,
    tex_log_sd: float = 0.0,
) -> Quantity:
    """Return a predicted count with its 90 % interval, for a weaver of whom nothing is known.

    Half of what the logarithm of tex is unsure by goes into that of the count, which goes with its root.

    Examples
    --------
    >>> wide = lines_interval(5.08, 1000, False, True)
    >>> round(wide.low or 0, 1), round(wide.high or 0, 1)
    (3.2, 8.0)
    """
    sd = hypot(*LINE_SPREADS.values(), SIZE_SLOPE * log(weft_tex / 1000))
    sd = hypot(sd, 0.0 if beat_said else BEAT_UNKNOWN, WEAVE_UNKNOWN if is_own_weave else 0.0, tex_log_sd / 2)
    far = STUDENT * sd
    if beat_said and not tex_log_sd:
        far = min(far, log(WIDEST) / 2)
    return Quantity(lines_per_cm, basis, lines_per_cm * exp(-far), lines_per_cm * exp(far))


def _soft(value: float, log_sd: float, basis: Basis) -> Quantity:
    far = exp(NINETY * log_sd)
    return Quantity(value, basis, value / far, value * far)


def _basis(warp: Thread, weft: Thread, beat: str | None) -> Basis:
    """Return default where a fibre or the beat had to be supposed."""
    bases = (warp.diameter_mm.basis, weft.diameter_mm.basis)
    return Basis.DEFAULT if beat is None or Basis.DEFAULT in bases else Basis.COMPUTED


def _reason(limits: SettLimits, at: float, gap: float) -> str:
    said = (
        f"At {limits.best:.1f} ends per cm the weft covers and the warp holds it. Below {limits.low:.1f} the weft packs "
        f"down on too few ends and the cloth is limp; above {limits.high:.1f} the beads no longer meet and the warp shows."
    )
    if gap >= 1.3:
        return f"{said} At {at:.1f} each gap is {gap:.1f} wefts wide, so a line closes."
    if gap >= 0.8:
        return f"{said} At {at:.1f} each gap is only {gap:.1f} wefts wide, so a line stands taller than it could."
    return f"{said} At {at:.1f} a gap is too narrow for two picks to change sides in, so a line does not close."


def _rests_on(warp: Thread, weft: Thread, technique: Technique, beat: str | None) -> list[str]:
    closure = closure_of(technique)
    found = [_thread_words("warp", warp), _thread_words("weft", weft)]
    found.append(
        f"weave: {technique.name}, {closure.passes} picks a line; its wool has {closure.g:.2f} times the height of plain "
        "weave's (worked out from threading and sheds, never measured)"
    )
    found.append(f"beat: {beat}, as you say" if beat else "beat: taken as firm, since nobody says")
    found.append("limits: setts that weavers wove and judged; soft by 15 % at the open end, by 20 % at the close one")
    found.append("lines: one documented plain rug and one rule of thumb; a strip of 5 cm, counted, narrows this most")
    if weft.tex_log_sd:
        found.append("the weft's weight is known by its wraps only, so everything here is wider: weigh some metres")
    if not weft.is_wool:
        found.append("this weft is no wool: nothing of it was compared with woven pieces")
    return found


def _thread_words(what: str, thread: Thread) -> str:
    mm = thread.diameter_mm
    between = "" if mm.low is None or mm.high is None else f" ({mm.low:.2f} to {mm.high:.2f})"
    return f"{what}: {thread.said}, {thread.tex:.4g} tex, {mm.value:.2f} mm{between}"
