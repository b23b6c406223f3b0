"""How far a yarn still goes, by weighing a shuttle or a cone: to which line, how surely, and how much to buy."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, exp, hypot, log
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.edges.runs import strands_by_yarn
from weftline.core.findings import Basis, Quantity
from weftline.core.learning.spreads import TEX
from weftline.core.learning.student import t_quantile
from weftline.core.plan.risk import OWN, SURE, UNKNOWN_DEGREES, UNKNOWN_TAKE_UP, t_cases

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.plan.plan import Plan

    Floats = NDArray[np.float64]

SCALE_G = 1.0
"""Spread of one weighing on a kitchen scale that shows whole grams. Judgement."""

AHEAD = 0.015
"""By how much what is to come may take another length of weft than what is woven, as a spread of its logarithm."""

TAUGHT_DEGREES = 40.0
"""Degrees of freedom once weighing has taught more than half of it."""

LEAST_PART = 0.01
"""Of the yarn's use so far so great a part must have been planned before weighing teaches anything."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A shuttle, bobbin or cone on the scale.

    Parameters
    ----------
    grams : float
        With what the yarn is wound on.
    tare_g : float
        Of that alone.
    before_g : float or None
        The yarn alone when the piece was begun, or since when ``spent_mm`` counts.

    Raises
    ------
    ValueError
        For less than the tare, or more left than there was.
    """

    grams: float
    tare_g: float = 0.0
    before_g: float | None = None

    def __post_init__(self) -> None:
        """Refuse weights that cannot be."""
        if not 0 <= self.tare_g <= self.grams:
            raise ValueError(f"{self.grams:g} g weighed, {self.tare_g:g} g of it no yarn: weigh the empty one again")
        if self.before_g is not None and self.before_g < self.left_g:
            raise ValueError(
                f"{self.left_g:g} g are left of {self.before_g:g} g: more than there was; say what was added"
            )

    @property
    def left_g(self) -> float:
        """Grams of yarn."""
        return self.grams - self.tare_g


@dataclass(frozen=True, slots=True)
class YarnLeft:
    """How far a yarn goes.

    Parameters
    ----------
    left_g, need_g : Quantity
        What is left, and what the lines ahead take, with 90 % intervals.
    lines : int
        Lines ahead that need it or not, up to the end of the piece.
    lasts, lasts_low, lasts_high : int
        Whole lines from here for which it lasts: middle, and ends of the 90 % interval.
    runs_out : float
        The chance that it does not last to the end.
    buy_g : float
        Grams to buy so that it lasts in 95 of 100 cases.
    use : Quantity
        True over planned use, as it is held now.
    """

    left_g: Quantity
    need_g: Quantity
    lines: int
    lasts: int
    lasts_low: int
    lasts_high: int
    runs_out: float
    buy_g: float
    use: Quantity


def yarn_left(
    weighed: Weighed,
    tex: float,
    need_mm: Floats,
    spent_mm: float | None = None,
    take_up_spread: float = UNKNOWN_TAKE_UP,
) -> YarnLeft:
    """Return how far a yarn goes.

    Parameters
    ----------
    weighed : Weighed
    tex : float
        Grams of a kilometre of one strand.
    need_mm : (lines,) float
        What each line ahead takes by the plan, all its strands, weft take-up and tails counted.
    spent_mm : float, optional
        What the lines woven took by the plan since ``before_g`` was weighed; without both, the plan alone speaks.
    take_up_spread : float
        How unsure the planned take-up is, on the logarithm of the weft's length.

    Raises
    ------
    ValueError
        For no size of the yarn, or a need below nothing.

    Notes
    -----
    What was really used over what was planned holds for the rest as well: it tells take-up and the true weight of the
    yarn at once, the better the more of it is gone. Before, both are as unsure as ``risk`` takes them.
    """
    if not tex > 0 or (len(need_mm) and float(np.min(need_mm)) < 0):
        raise ValueError(
            f"a yarn of {tex:g} tex, with needs of a line from 0 up: say the yarn's size and what lines take"
        )
    middle, spread, degrees = _use(weighed, tex, spent_mm, take_up_spread)
    left = weighed.left_g
    needed = np.cumsum(need_mm) * tex * 1e-6
    whole = float(needed[-1]) if len(needed) else 0.0
    far = t_quantile(SURE, degrees)
    low, lasts, high = (_lines(needed, grams) for grams in _range(left, -middle, far * spread, far * SCALE_G))
    short = _range(whole, middle, far * spread, far * SCALE_G)[2] - left
    cases = whole * np.exp(middle + spread * t_cases(degrees)) - left
    scale = NormalDist(0.0, SCALE_G)
    return YarnLeft(
        left_g=Quantity(left, Basis.MEASURED, max(0.0, left - far * SCALE_G), left + far * SCALE_G),
        need_g=_spanned(whole, middle, far * spread),
        lines=len(need_mm),
        lasts_low=low,
        lasts=lasts,
        lasts_high=high,
        runs_out=float(np.mean([scale.cdf(case) for case in cases.tolist()])) if whole else 0.0,
        buy_g=float(max(0, ceil(short - 1e-9))) if whole else 0.0,
        use=_spanned(1.0, middle, far * spread),
    )


def _spanned(times: float, middle: float, far: float) -> Quantity:
    return Quantity(times * exp(middle), Basis.COMPUTED, times * exp(middle - far), times * exp(middle + far))


def _range(grams: float, middle: float, far: float, scale: float) -> tuple[float, float, float]:
    """Return low, middle and high of grams times what is known on a logarithm, a scale's doubt beside it."""
    value = grams * exp(middle)
    low, high = value - hypot(value * (1 - exp(-far)), scale), value + hypot(value * (exp(far) - 1), scale)
    return max(0.0, low), value, high


def _lines(needed: Floats, grams: float) -> int:
    """Return for how many whole lines so many planned grams last."""
    return int(np.searchsorted(needed, grams * (1 + 1e-12), side="right"))


def _use(weighed: Weighed, tex: float, spent_mm: float | None, take_up_spread: float) -> tuple[float, float, float]:
    """Return middle, spread and degrees of freedom of the logarithm of true over planned use of the lines ahead."""
    before = hypot(take_up_spread, TEX, OWN)
    planned = (spent_mm or 0.0) * tex * 1e-6
    used = 0.0 if weighed.before_g is None else weighed.before_g - weighed.left_g
    if planned < LEAST_PART * max(weighed.left_g, 1.0) or used <= 0:
        return 0.0, hypot(before, AHEAD), UNKNOWN_DEGREES
    noise = hypot(2**0.5 * SCALE_G / used, OWN)
    share = before**2 / (before**2 + noise**2)
    degrees = TAUGHT_DEGREES if share > 0.5 else UNKNOWN_DEGREES
    return share * log(used / planned), hypot(before * (1 - share) ** 0.5, AHEAD), degrees


def need_by_line(plan: Plan, key: str, section: int = 0) -> Floats:
    """Return what each line of a section woven once takes of a yarn, (lines,) mm of one strand, take-up and tails counted.

    Parameters
    ----------
    plan : Plan
    key : str
        Of the yarn.
    section : int
        From 0.
    """
    one, sizes = plan.cloth.sections[section], plan.sections[section].size.strips
    lines = max(strip.weaving.picks.line_count for strip in one.strips)
    found = np.zeros(lines)
    strands = strands_by_yarn(plan.cloth.windings).get(key)
    if strands is None or key not in plan.weft:
        return found
    each = np.zeros(len(plan.cloth.windings))
    each[strands[0]] = strands[1]
    for strip, size in zip(one.strips, sizes, strict=True):
        picks = strip.weaving.picks
        found += np.bincount(picks.line, weights=each[picks.wound] * size.in_reed_mm.value, minlength=lines)
    amount = plan.weft[key]
    tails = 1 + amount.tails_mm.value / amount.laid_mm.value if amount.laid_mm.value else 1.0
    return found * (1 + plan.settings.weft_take_up.value) * tails
