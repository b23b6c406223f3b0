"""Do the intervals hold what they say? Simulated weavers of another world, against a flat average and Bayesian ridge.

    PYTHONPATH=. python bench/calibration.py     # 2,000 weavers at the model's own level and 20 % off, fewer elsewhere

Prints coverage of 90 % intervals for the next piece and median widths, before any sample and after 1, 3 and 10 of the
same cloth; then mean log scores of lines per cm, where the cloth stays and where yarn, sett and beat change.
"""

from __future__ import annotations

import time
import warnings
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import exp, lgamma, log, log1p, pi, sqrt
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from bench.weavers import Truth, Weaver, World
from weftline.core.geometry.closure import closure_of
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE, Belief, learn
from weftline.core.learning.expected import drawn_share, lost_share, share_of
from weftline.core.learning.facts import ClothFacts, means_of
from weftline.core.learning.predicted import quantity_of, spread_of
from weftline.core.learning.sample import Sample

AFTER = (0, 1, 3, 10)
WORLDS = (
    (World(), 2000),
    (World(lines=0.80), 2000),
    (World(lines=1.20), 2000),
    (World(lines=0.65), 800),
    (World(lines=1.35), 800),
    (World(others=0.80), 400),
    (World(others=1.20), 400),
    (World(lines=0.85, others=0.85, power=0.43, krokbragd=1.48, tails=3.0), 800),
)
"""Worlds whose lines, or whose crimp, thickness and take-up, are so many times the model's, and a stranger one; with how many weavers."""
QUANTITIES = {
    "lines_per_cm": (expected.lines, exp),
    "mass_g_m2": (expected.mass, exp),
    "thickness_mm": (expected.thickness, exp),
    "draw_in": (expected.draw_in, drawn_share),
    "warp_take_up": (expected.take_up, share_of),
    "crimp": (expected.crimp, share_of),
    "relax_width": (lambda facts: expected.lost("relax width", facts), lost_share),
    "shrink_length": (lambda facts: expected.lost("shrink length", facts), lost_share),
}


OTHER = "lines, other yarn and sett"
"""What those samples teach of a cloth that was never sampled."""


@dataclass
class Tally:
    """Of every weaver, by quantity and by samples before: held or not, and how wide."""

    held: dict[tuple[str, int], list[bool]] = field(default_factory=lambda: defaultdict(list))
    width: dict[tuple[str, int], list[float]] = field(default_factory=lambda: defaultdict(list))

    def share(self, name: str, after: int) -> float:
        """Return the share of intervals that held the truth."""
        return float(np.mean(self.held[name, after]))

    def middle(self, name: str, after: int) -> float:
        """Return the median width: of the logarithm where a quantity is reasoned on one, else of its root or share."""
        return float(np.median(self.width[name, after]))


def same_cloth(weavers: int, world: World, seed: int) -> Tally:
    """Return how well each next piece of one cloth is foretold by weavers who measure it again and again."""
    return tally_of(Weaver(world, seed + each) for each in range(weavers))


class Simulated(Protocol):
    """A weaver of any world: she plans a cloth and changes it, weaves pieces of it, and measures further ones."""

    def facts(self) -> ClothFacts:
        """Return a cloth that she plans."""
        ...

    def changed(self, facts: ClothFacts) -> ClothFacts:
        """Return another of her cloths, of other yarn, sett and beat."""
        ...

    def weave(self, facts: ClothFacts) -> Truth:
        """Return what a further piece of a cloth really is."""
        ...

    def measure(self, facts: ClothFacts, number: int) -> Sample:
        """Return a further piece of a cloth, as she read it."""
        ...


def tally_of(weavers: Iterable[Simulated]) -> Tally:
    """Return how well each next piece of one cloth is foretold, whatever world these weavers are of."""
    tally = Tally()
    for weaver in weavers:
        facts = weaver.facts()
        belief = NO_SAMPLE
        for number in range(max(AFTER) + 1):
            if number in AFTER:
                _compare(tally, number, belief, facts, weaver)
            belief, _ = learn(belief, weaver.measure(facts, number))
    return tally


def _compare(tally: Tally, number: int, belief: Belief, facts: ClothFacts, weaver: Simulated) -> None:
    real = weaver.weave(facts)
    for name, (measure, shown) in QUANTITIES.items():
        told = quantity_of(belief, measure(facts), shown)
        low, high = told.low or 0.0, told.high or 0.0
        tally.held[name, number].append(low <= getattr(real, name) <= high)
        tally.width[name, number].append(_width(name, low, high))
    other = weaver.changed(facts)
    told = quantity_of(belief, expected.lines(other), exp)
    low, high = told.low or 0.0, told.high or 0.0
    tally.held[OTHER, number].append(low <= weaver.weave(other).lines_per_cm <= high)
    tally.width[OTHER, number].append(log(high / low))


def _width(name: str, low: float, high: float) -> float:
    if name == "draw_in":
        return sqrt(-log1p(-high)) - sqrt(-log1p(-low))
    return high - low if name in ("relax_width", "shrink_length") else log(high / low)


def level(weavers: int, seed: int) -> tuple[float, float]:
    """Return how many times the physical mean lines and mass of the nearest world are, as geometric means."""
    off = []
    for each in range(weavers):
        weaver = Weaver(World(), seed + each)
        facts = weaver.facts()
        real, means = weaver.weave(facts), means_of(facts)
        off.append((log(real.lines_per_cm) - means.ln_lines, log(real.mass_g_m2) - means.ln_mass))
    lines, mass = np.exp(np.mean(off, axis=0)).tolist()
    return lines, mass


# --- log scores of ln(lines per cm) -----------------------------------------------------------------------------------


WAYS = ("model", "flat average", "flat average, misses known", "ridge, own", "ridge, pooled")


def scores(weavers: int, world: World, seed: int, changing: bool) -> dict[str, dict[int, float]]:
    """Return mean log scores of five ways to foretell the next piece, by samples before it.

    The flat average is a weaver's own mean, scored as a normal: once with the spread of readings about such means, pooled
    over 300 other weavers, and once with how far such means of theirs missed, which no real weaver knows. Bayesian ridge has the physical mean, tex, sett, beat and weave as features, once on the weaver's own
    samples and once on those of the 300 others.
    """
    kept = [_history(Weaver(world, seed + each), changing) for each in range(weavers)]
    pool = [_history(Weaver(world, seed + 500_000 + each), changing) for each in range(min(300, weavers))]
    found: dict[str, dict[int, float]] = {name: {} for name in WAYS}
    within = sqrt(float(np.mean([np.var(one.read, ddof=1) for one in pool])))
    for after in AFTER[1:]:
        ours = [_model_score(one, after) for one in kept]
        off, others = (
            np.array([one.truths[after] - np.mean(one.read[:after]) for one in ones]) for ones in (kept, pool)
        )
        found["model"][after] = float(np.mean(ours))
        found["flat average"][after] = float(np.mean(_normal(off, within)))
        found["flat average, misses known"][after] = float(np.mean(_normal(off, float(np.std(others)))))
        found["ridge, own"][after] = float(np.mean([_ridge([one], one, after) for one in kept]))
        found["ridge, pooled"][after] = _pooled(pool, kept, after)
    return found


@dataclass
class History:
    """A weaver's cloths in order, what she read of each, and what a piece of each really was; logarithms of lines."""

    facts: list[ClothFacts]
    beliefs: list[Belief]
    read: list[float]
    truths: list[float]


def _history(weaver: Weaver, changing: bool) -> History:
    first = weaver.facts()
    facts = [weaver.changed(first) if changing else first for _ in range(max(AFTER) + 1)]
    found = History(facts, [NO_SAMPLE], [], [])
    for number, cloth in enumerate(facts):
        found.truths.append(log(weaver.weave(cloth).lines_per_cm))
        sample = weaver.measure(cloth, number, full=False)
        belief, _ = learn(found.beliefs[-1], sample)
        found.beliefs.append(belief)
        found.read.append(log(sample.counted.lines[0] * 10 / sample.counted.over_mm) if sample.counted else 0.0)
    return found


def _model_score(one: History, after: int) -> float:
    belief, measure = one.beliefs[after], expected.lines(one.facts[after])
    scale, degrees = spread_of(belief, measure), belief.degrees
    away = (one.truths[after] - belief.mean_of(measure)) / scale
    norm = lgamma((degrees + 1) / 2) - lgamma(degrees / 2) - log(degrees * pi) / 2 - log(scale)
    return norm - (degrees + 1) / 2 * log1p(away * away / degrees)


def _normal(off: NDArray[np.float64], sd: NDArray[np.float64] | float) -> NDArray[np.float64]:
    return -0.5 * (off / sd) ** 2 - np.log(sd) - 0.5 * log(2 * pi)


def _features(facts: ClothFacts) -> list[float]:
    steps, closing = facts.beat_steps, log(closure_of(facts.technique).g)
    return [
        means_of(facts).ln_lines,
        log(facts.weft.tex),
        log(facts.sett_per_cm),
        steps,
        closing,
        len(facts.technique.sheds),
    ]


def _fitted(rows: list[list[float]], read: list[float]) -> Any:
    from sklearn.linear_model import BayesianRidge

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return BayesianRidge().fit(np.array(rows), np.array(read))


def _ridge(known: list[History], one: History, after: int) -> float:
    fit = _fitted([_features(f) for h in known for f in h.facts[:after]], [v for h in known for v in h.read[:after]])
    mean, sd = fit.predict(np.array([_features(one.facts[after])]), return_std=True)
    return float(_normal(one.truths[after] - mean, np.maximum(sd, 1e-3))[0])


def _pooled(pool: list[History], kept: list[History], after: int) -> float:
    fit = _fitted([_features(f) for h in pool for f in h.facts], [v for h in pool for v in h.read])
    mean, sd = fit.predict(np.array([_features(one.facts[after]) for one in kept]), return_std=True)
    return float(np.mean(_normal(np.array([one.truths[after] for one in kept]) - mean, sd)))


# --- what is printed --------------------------------------------------------------------------------------------------


def table(tally: Tally, heading: str) -> str:
    """Return coverage in % with the median width, as lines of text."""
    rows = [f"{heading:40}" + "".join(f"{f'after {after}' if after else 'before':>16}" for after in AFTER)]
    for name in (*QUANTITIES, OTHER):
        cells = "".join(f"{tally.share(name, after):9.1%} ({tally.middle(name, after):4.2f})" for after in AFTER)
        rows.append(f"  {name:38}{cells}")
    return "\n".join(rows)


def title(world: World) -> str:
    """Return a world in words."""
    said = f"lines x {world.lines:.2f}, others x {world.others:.2f}"
    return said if world == World(world.lines, world.others) else f"{said}, strange"


def main() -> None:
    """Print it all."""
    start = time.perf_counter()
    lines, mass = level(1000, 7_000_000)
    print(f"the nearest world over the physical mean: lines x {lines:.3f}, mass x {mass:.3f}")
    print(
        "coverage of 90 % intervals (median width: of the logarithm; of the root for draw-in; of the share for losses)"
    )
    for place, (world, weavers) in enumerate(WORLDS):
        tally = same_cloth(weavers, world, 60_000_000 + place * 10_000)
        print(table(tally, title(world)), flush=True)
        if place == 0:
            for name in ("lines_per_cm", "mass_g_m2"):
                widest = exp(max(tally.width[name, 0]))
                shares = ", ".join(f"{tally.middle(name, n) / tally.middle(name, 0):.0%}" for n in AFTER[1:])
                print(f"  {name}: widest before any sample a factor {widest:.2f}; then {shares} of that log width")
    for changing in (False, True):
        print("mean log score of ln(lines), " + ("yarn, sett and beat changing" if changing else "same cloth"))
        for name, by in scores(1000, World(), 80_000_000, changing).items():
            print(f"  {name:26}" + "".join(f"{by[after]:9.2f} after {after:2d}" for after in AFTER[1:]), flush=True)
    print(f"{time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
