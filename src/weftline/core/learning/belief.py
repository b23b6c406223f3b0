"""What is held of every effect, and what one more sample teaches: Bayes's rule in closed form.

Effects are normal with a common scale that is itself unknown (inverse gamma), so a prediction is a Student t. A
sample's readings are taken together, for they share what belongs to the piece. Two things keep it honest: a weaver's
arm drifts a little from sample to sample, and a reading far from all that was expected counts for less, and is told.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import erfc, exp, log, pi, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from weftline.core.learning import expected
from weftline.core.learning.expected import Effect, Measure
from weftline.core.learning.readings import Reading, readings_of
from weftline.core.learning.sample import Verdict
from weftline.core.learning.spreads import DRIFT, LEAST, RATE, SHAPE, SPREADS, VERDICT

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from weftline.core.learning.facts import ClothFacts
    from weftline.core.learning.sample import Sample

    Floats = NDArray[np.float64]

DOUBTED, DOUBTED_NEW = 2.0, 4.0
"""Standard deviations beyond which a reading counts for less: of a cloth that was read before, and of one that was not."""

AGREED = 2
"""So many samples must have told of a cloth before the next is doubted easily: of two that differ, either may be wrong."""

TELLS = {"mass": ("mass", "lines"), "thickness": ("packing",)}
"""Of what else than itself a reading is counted as telling, where it is told by the effects of others."""

CLOSEST = ("cloth", "yarn", "loom", "weaver")
"""Reasons in the order of how few cloths share them."""

TAIL = 4.0
"""How fast it does: as a Student t of four degrees would have it, taken once."""

FAR = -25.0
"""Below so many standard deviations the tail of a normal is told by its limit."""


@dataclass(frozen=True, eq=False)
class Belief:
    """What is held of the effects met so far; of any other, that it has mean 0 and variance 1 on its own.

    Parameters
    ----------
    places : mapping of Effect to int
    means : (effects,) float
    spreads : (effects, effects) float
        Covariances, in units of the common scale.
    shape, rate : float
        Of the inverse gamma that the common scale has.
    read : mapping of Effect to int
        How many samples told of an effect.
    """

    places: dict[Effect, int] = field(default_factory=dict)
    means: Floats = field(default_factory=lambda: np.zeros(0))
    spreads: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    shape: float = SHAPE
    rate: float = RATE
    read: dict[Effect, int] = field(default_factory=dict)

    @property
    def scale(self) -> float:
        """The common scale that predictions are told with, never less than the floor."""
        return max(self.rate / self.shape, LEAST)

    @property
    def degrees(self) -> float:
        """Degrees of freedom of a prediction."""
        return 2 * self.shape

    def mean_of(self, measure: Measure) -> float:
        """Return what a quantity is held to be, on its scale."""
        return measure.mean + sum(
            value * float(self.means[self.places[effect]])
            for effect, value in measure.row.items()
            if effect in self.places
        )

    def covariance(self, measures: Sequence[Measure]) -> Floats:
        """Return how unsure several quantities are together, the piece's own scatter left out, in units of the scale."""
        known, own = self.rows(measures)
        return np.asarray(known @ self.spreads @ known.T + own @ own.T)

    def rows(self, measures: Sequence[Measure]) -> tuple[Floats, Floats]:
        """Return the rows of quantities over the effects met so far, and over those not yet met."""
        fresh: dict[Effect, int] = {}
        for measure in measures:
            for effect in measure.row:
                if effect not in self.places:
                    fresh.setdefault(effect, len(fresh))
        return table([one.row for one in measures], self.places), table([one.row for one in measures], fresh)


NO_SAMPLE = Belief()
"""What is held before any sample."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A reading that counts for less, since all before it had expected otherwise.

    Parameters
    ----------
    what : str
        The reading, in the weaver's words.
    value, low, high : float
        What was read, and between what it was expected, in the unit of ``what``.
    """

    what: str
    value: float
    low: float
    high: float

    def __str__(self) -> str:
        """Say so to the weaver."""
        return (
            f"{self.what}: {self.value:.3g}, where {self.low:.3g} to {self.high:.3g} was expected; it counts for less. "
            "Look again whether it was read, or woven, otherwise than written."
        )


@dataclass(frozen=True, slots=True)
class Manner:
    """How samples are taken in: with how much drift of a weaver's arm, and whether readings are doubted."""

    drift: float = DRIFT
    doubting: bool = True


USUAL = Manner()


def table(rows: Sequence[dict[Effect, float]], places: dict[Effect, int]) -> Floats:
    """Return rows as an array, effects without a place left out."""
    found = np.zeros((len(rows), len(places)))
    for i, row in enumerate(rows):
        for effect, value in row.items():
            place = places.get(effect)
            if place is not None:
                found[i, place] = value
    return found


def learn(belief: Belief, sample: Sample, manner: Manner = USUAL) -> tuple[Belief, tuple[Doubt, ...]]:
    """Return what is held after a sample, and which of its readings were doubted.

    Examples
    --------
    >>> from weftline.core.geometry.threads import thread_of_numbers
    >>> from weftline.core.learning.facts import ClothFacts
    >>> from weftline.core.learning.sample import Count, Sample
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> from weftline.core.yarn.numbers import yarn_numbers
    >>> warp, weft = (thread_of_numbers(yarn_numbers(said)) for said in ("310 tex cotton", "1000 tex wool"))
    >>> facts = ClothFacts(warp, weft, KROKBRAGD, 2.4, "firm")
    >>> after, doubts = learn(NO_SAMPLE, Sample("strip", facts, Count((62,), 150)))
    >>> round(exp(after.mean_of(expected.lines(facts))), 1), doubts
    (4.2, ())
    """
    readings = readings_of(sample)
    after, doubts = (belief, ()) if not readings else _updated(belief, readings, sample.facts, manner)
    if sample.verdict is not None:
        after = _judged(after, sample.facts, sample.verdict)
    return after, doubts


def believed(samples: Iterable[Sample], manner: Manner = USUAL) -> Belief:
    """Return what is held after samples, in the order they were woven."""
    found = NO_SAMPLE
    for sample in samples:
        found, _ = learn(found, sample, manner)
    return found


def _updated(
    belief: Belief, readings: list[Reading], facts: ClothFacts, manner: Manner
) -> tuple[Belief, tuple[Doubt, ...]]:
    wider = _grown(_drifted(belief, facts, manner.drift), [one.expected for one in readings])
    rows = table([one.expected.row for one in readings], wider.places)
    off = (
        np.array([one.value for one in readings])
        - np.array([one.expected.mean for one in readings])
        - rows @ wider.means
    )
    noise = scatter(readings)
    before = rows @ wider.spreads @ rows.T
    doubts: tuple[Doubt, ...] = ()
    if manner.doubting:
        noise, doubts = _doubted(wider, readings, off, before, noise)
    whole = before + noise
    gain = np.linalg.solve(whole, rows @ wider.spreads).T
    spreads = wider.spreads - gain @ whole @ gain.T
    after = Belief(
        places=wider.places,
        means=wider.means + gain @ off,
        spreads=(spreads + spreads.T) / 2,
        shape=wider.shape + len(readings) / 2,
        rate=wider.rate + 0.5 * float(off @ np.linalg.solve(whole, off)),
        read=_told(wider.read, [(one.of, one.expected) for one in readings]),
    )
    return after, doubts


def scatter(readings: Sequence[Reading]) -> Floats:
    """Return how readings of one piece scatter together: what the piece has of its own, and their own errors."""
    pieces: dict[Effect, int] = {}
    for one in readings:
        for effect in one.expected.piece:
            pieces.setdefault(effect, len(pieces))
    shared = table([one.expected.piece for one in readings], pieces)
    return np.asarray(shared @ shared.T + np.diag([one.unsure**2 for one in readings]))


def _grown(belief: Belief, measures: Sequence[Measure]) -> Belief:
    """Return the same belief with a place for every effect of these quantities."""
    places = dict(belief.places)
    for measure in measures:
        for effect in measure.row:
            places.setdefault(effect, len(places))
    fresh = len(places) - len(belief.places)
    if not fresh:
        return belief
    spreads = np.eye(len(places))
    old = len(belief.places)
    spreads[:old, :old] = belief.spreads
    return _with(belief, places=places, means=np.concatenate([belief.means, np.zeros(fresh)]), spreads=spreads)


def _with(belief: Belief, **changed: Any) -> Belief:
    return Belief(**{**belief.__dict__, **changed})


def _drifted(belief: Belief, facts: ClothFacts, drift: float) -> Belief:
    """Return the belief with the weaver's arm a little less sure than it was."""
    place = belief.places.get(Effect("lines", "weaver", facts.weaver))
    if place is None or not drift:
        return belief
    spreads = belief.spreads.copy()
    spreads[place, place] += (drift / SPREADS["lines"]["weaver"]) ** 2
    return _with(belief, spreads=spreads)


def _doubted(
    belief: Belief, readings: list[Reading], off: Floats, before: Floats, noise: Floats
) -> tuple[Floats, tuple[Doubt, ...]]:
    """Return the scatter with that of far readings widened, and what to tell of them."""
    deviation = np.sqrt(np.diag(before + noise) * belief.rate / belief.shape)
    away = off / deviation
    bounds = np.array([DOUBTED if _met(belief, one.expected) >= AGREED else DOUBTED_NEW for one in readings])
    widened = np.where(np.abs(away) > bounds, np.sqrt((TAIL + away**2) / (TAIL + 1)), 1.0)
    doubts = tuple(
        Doubt(
            one.what,
            one.shown(one.value),
            one.shown(one.value - miss - DOUBTED * sd),
            one.shown(one.value - miss + DOUBTED * sd),
        )
        for one, miss, sd, far in zip(readings, off, deviation, widened, strict=True)
        if far > 1
    )
    return noise * np.outer(widened, widened), doubts


def _met(belief: Belief, measure: Measure) -> int:
    """Return how many samples told of the closest reason that moves a quantity: its cloth's, where it has one."""
    for by in CLOSEST:
        found = [belief.read.get(effect, 0) for effect in measure.row if effect.by == by]
        if found:
            return max(found)
    return 0


def _told(read: dict[Effect, int], told: Sequence[tuple[str, Measure]]) -> dict[Effect, int]:
    """Return how many samples told of each effect, one more for those that these quantities are about."""
    found = dict(read)
    about = {effect for of, measure in told for effect in measure.row if effect.of in TELLS.get(of, (of,))}
    for effect in about:
        found[effect] = found.get(effect, 0) + 1
    return found


def _judged(belief: Belief, facts: ClothFacts, verdict: Verdict) -> Belief:
    """Return the belief after a verdict: which side of a limit this sett lies on, as sharply as weavers tell.

    The normal closest to what follows (its mean and variance are exact); a verdict far from a limit says nothing of it.
    """
    sides = {
        Verdict.OPEN: (("open", 1),),
        Verdict.SHOWS: (("close", -1),),
        Verdict.HELD: (("open", -1), ("close", 1)),
    }
    for of, side in sides[verdict]:
        measure = expected.limit(of, facts)
        belief = _grown(belief, [measure])
        row = table([measure.row], belief.places)[0]
        own = belief.spreads @ row
        variance = float(row @ own)
        whole = variance + VERDICT**2
        away = side * (belief.mean_of(measure) - log(facts.sett_per_cm)) / sqrt(whole)
        pull = _hazard(away)
        belief = _with(
            belief,
            means=belief.means + own * side * pull / sqrt(whole),
            spreads=belief.spreads - np.outer(own, own) * pull * (away + pull) / whole,
            read=_told(belief.read, [(of, measure)]),
        )
    return belief


def _hazard(z: float) -> float:
    """Return the density of a normal at z over the share below z."""
    if z < FAR:
        return -z
    return exp(-z * z / 2) / sqrt(2 * pi) / (erfc(-z / sqrt(2)) / 2)
