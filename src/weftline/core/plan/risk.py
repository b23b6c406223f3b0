"""Whether the wool lasts: for each yarn the chance that it runs out, from which line on, and how much to buy."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, exp, log1p
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.edges.runs import strands_by_yarn
from weftline.core.findings import Basis, Quantity
from weftline.core.learning import expected
from weftline.core.learning.predicted import spread_of
from weftline.core.learning.spreads import TEX
from weftline.core.learning.student import t_quantile
from weftline.core.learning.words import rests_on
from weftline.core.plan.foretold import facts_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.core.learning.belief import Belief
    from weftline.core.piece.cloth import SectionCloth
    from weftline.core.plan.plan import Plan

    Floats = NDArray[np.float64]

SURE = 0.95
"""What is bought lasts in so many cases."""

UNKNOWN_TAKE_UP, UNKNOWN_DEGREES = 0.06, 10.0
"""Spread of the logarithm of weft over reed, and its degrees, where no yarn says what it weighs against the others."""

OWN = 0.02
"""Spread of one yarn's length beside what is common to all: knots, broken ends, a tail cut long. From memory."""

SHARED, ALONE = 400, 81
"""Cases looked at: of what all yarns of a piece share, and of what each has of its own."""

KNOTS = 25
"""Quantiles that are reckoned exactly; those between are drawn through them on the scale of a normal."""


@dataclass(frozen=True, slots=True)
class Place:
    """A line of a section, both as the weaver counts them: from 1; which of its pieces, from 1."""

    section: str
    piece: int
    line: int


@dataclass(frozen=True, slots=True)
class YarnRisk:
    """What may become of one yarn.

    Parameters
    ----------
    need_g : Quantity
        Middle of what is needed, warp and weft and tails, with its 90 % interval.
    runs_out : float or None
        The chance that what is on hand does not last; None where the piece does not say how much that is.
    from_line : Place or None
        Where it ends in the worst case in twenty; None where it lasts in all of these.
    buy_g : float or None
        Grams to buy, to the gram, so that it lasts in 95 of 100 cases.
    packs : int or None
        The same in whole packs of one lot.
    cost : float or None
        Of these packs.
    """

    need_g: Quantity
    runs_out: float | None
    from_line: Place | None
    buy_g: float
    packs: int | None
    cost: float | None


@dataclass(frozen=True, slots=True)
class PieceRisk:
    """What may become of all yarns of a piece.

    Parameters
    ----------
    yarns : dict of str to YarnRisk
        Of known weight, by key.
    any_runs_out : float or None
        The chance that at least one of those on hand does; less than the sum, for they share the take-up.
    rests_on : tuple of str
    """

    yarns: dict[str, YarnRisk]
    any_runs_out: float | None
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Shared:
    """The weft over the width in the reed: its middle as a factor, and the cases of it, as factors of that."""

    middle: float
    cases: Floats
    rests_on: tuple[str, ...]


def piece_risk(plan: Plan, belief: Belief) -> PieceRisk:
    """Return what may become of every yarn of a piece.

    A weft take-up that stands in the piece is the middle; else learning foretells it. How unsure it is, all yarns of a
    piece share; each has beside it what its label's number may be off by, and its own accidents.
    """
    shared = _shared(plan, belief)
    found: dict[str, YarnRisk] = {}
    lasts = np.ones(SHARED)
    known = False
    for key, amount in plan.yarns.items():
        if amount.tex is None:
            continue
        laid = plan.weft[key].laid_mm.value if key in plan.weft else 0.0
        tails = plan.weft[key].tails_mm.value if key in plan.weft else 0.0
        laid *= shared.middle / (1 + plan.settings.weft_take_up.value)
        fixed = tails + amount.warp_mm.value
        grams = amount.tex.value * 1e-6 * np.outer(laid * shared.cases + fixed, _own())
        hand = None if amount.on_hand_g is None else amount.on_hand_g.value
        found[key] = _yarn(plan, key, grams, hand)
        if hand is not None:
            known = True
            lasts *= np.mean(grams <= hand, axis=1)
    return PieceRisk(found, float(1 - np.mean(lasts)) if known else None, shared.rests_on)


def surely_on_hand(plan: Plan, risk: PieceRisk) -> dict[str, float]:
    """Return the grams on hand of each yarn that may be counted on: reckoned at the middle, they last in 95 of 100 pieces."""
    found = {}
    for key, yarn in plan.project.yarns.items():
        if yarn.on_hand_g is None:
            continue
        mass = plan.yarns[key].mass_g if key in plan.yarns else None
        high = risk.yarns[key].need_g.high if key in risk.yarns else None
        share = 1.0 if mass is None or not high else min(1.0, mass.value / high)
        found[key] = float(yarn.on_hand_g) * share
    return found


def _yarn(plan: Plan, key: str, grams: Floats, hand: float | None) -> YarnRisk:
    low, middle, high = (float(one) for one in np.quantile(grams, (1 - SURE, 0.5, SURE)))
    short = max(0.0, high - (hand or 0.0))
    buy = float(ceil(short - 1e-9))
    pack = plan.project.yarns[key].pack
    packs = None if pack is None else ceil(short / pack.mass_g - 1e-9)
    amount = plan.yarns[key]
    basis = Basis.COMPUTED if amount.mass_g is None else amount.mass_g.basis
    return YarnRisk(
        need_g=Quantity(middle, basis, low, high),
        runs_out=None if hand is None else float(np.mean(grams > hand)),
        from_line=None if hand is None or hand >= high else _end(plan, key, hand / high),
        buy_g=buy,
        packs=packs,
        cost=None if pack is None or pack.price is None or packs is None else packs * float(pack.price),
    )


def _shared(plan: Plan, belief: Belief) -> _Shared:
    facts = next((facts_of(plan, place) for place, one in enumerate(plan.sections) if one.lines), None)
    own = plan.settings.weft_take_up
    if facts is None:
        words: tuple[str, ...] = ("common practice: the sizes of warp and weft are not all known",)
        return _Shared(1 + own.value, np.exp(UNKNOWN_TAKE_UP * t_cases(UNKNOWN_DEGREES)), words)
    measure = expected.weft_over_reed(facts)
    middle = exp(belief.mean_of(measure)) if own.basis is Basis.DEFAULT else exp(log1p(own.value))
    cases = np.exp(spread_of(belief, measure) * t_cases(belief.degrees))
    words = rests_on(belief, "weft take-up", facts)
    if own.basis is not Basis.DEFAULT:
        words = ("the weft take-up that stands in the piece", *words)
    return _Shared(middle, cases, words)


@lru_cache(maxsize=16)
def t_cases(degrees: float) -> Floats:
    """Return equally likely values of a Student t, (``SHARED``,) rising."""
    normal = NormalDist()
    shares = [(place + 0.5) / SHARED for place in range(SHARED)]
    knots = np.linspace(normal.inv_cdf(shares[0]), 0.0, KNOTS)
    exact = [t_quantile(min(normal.cdf(knot), 0.5), degrees) for knot in knots[:-1]] + [0.0]
    half = np.interp([normal.inv_cdf(share) for share in shares[: SHARED // 2]], knots, exact)
    return np.concatenate([half, -half[::-1]])


@lru_cache(maxsize=1)
def _own() -> Floats:
    """Return equally likely factors of what a yarn has of its own, (``ALONE``,)."""
    normal = NormalDist(0.0, (TEX**2 + OWN**2) ** 0.5)
    return np.exp([normal.inv_cdf((place + 0.5) / ALONE) for place in range(ALONE)])


def _end(plan: Plan, key: str, share: float) -> Place:
    """Return the line at which so great a share of a yarn's whole need is used, its warp and tails taken along evenly."""
    lines = list(_by_line(plan, key))
    used = np.cumsum([strands for _, strands in lines])
    if not len(used) or not used[-1]:
        return Place(plan.sections[0].name, 1, 1)
    return lines[int(np.searchsorted(used, share * used[-1], side="right").clip(0, len(lines) - 1))][0]


def _by_line(plan: Plan, key: str) -> Iterator[tuple[Place, float]]:
    """Yield every line in the order woven, with the millimetres of a yarn in it before take-up."""
    for section, facts in zip(plan.cloth.sections, plan.sections, strict=True):
        widths = [strip.in_reed_mm.value for strip in facts.size.strips]
        laid = _laid(plan, section, widths, key)
        for piece in range(section.written.pieces):
            for line, length in enumerate(laid):
                yield Place(facts.name, piece + 1, line + 1), float(length)


def _laid(plan: Plan, section: SectionCloth, widths: list[float], key: str) -> Floats:
    strands = strands_by_yarn(plan.cloth.windings).get(key)
    count = max((strip.weaving.picks.line_count for strip in section.strips), default=0)
    found = np.zeros(count)
    if strands is None:
        return found
    each = np.zeros(len(plan.cloth.windings))
    each[strands[0]] = strands[1]
    for strip, width in zip(section.strips, widths, strict=True):
        picks = strip.weaving.picks
        found += np.bincount(picks.line, weights=each[picks.wound] * width, minlength=count)
    return found
