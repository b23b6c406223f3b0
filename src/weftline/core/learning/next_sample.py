"""What to weave next so that one figure of a planned cloth is known best for the warp it costs.

A *strip* is a design that could be woven and measured: a cloth, a length, and what will be read from it. What it would
teach is known beforehand, for a normal's spread does not depend on what is read. The plan is exact: every choice of
strips is either weighed or shown to be no better than one that was.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations_with_replacement, pairwise
from math import inf, sqrt
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.learning.belief import scatter
from weftline.core.learning.facts import means_of
from weftline.core.learning.narrowing import WIDE_MM, planned

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from weftline.core.learning.belief import Belief
    from weftline.core.learning.expected import Measure
    from weftline.core.learning.facts import ClothFacts

    Floats = NDArray[np.float64]

GAP_CM = 3.0
"""Warp left between strips, to cut and to start anew."""

MOST_STRIPS = 6
"""A plan has no more strips than this."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip that could be woven and measured.

    Parameters
    ----------
    name : str
        As the weaver is told it.
    cloth : ClothFacts
    long_mm, wide_mm : float
        Woven, slack; the width in the reed.
    read : tuple of str
        What will be read from it, keys of ``narrowing.DOINGS``.
    warp : str
        Which warp it is woven on; empty for the one that is on the loom.
    """

    name: str
    cloth: ClothFacts
    long_mm: float = 50.0
    wide_mm: float = WIDE_MM
    read: tuple[str, ...] = ("count",)
    warp: str = ""

    @property
    def cost_cm(self) -> float:
        """Warp that it takes on its warp: the strip with its take-up, and a gap."""
        return self.long_mm / 10 * (1 + means_of(self.cloth).cloth.warp_take_up) + GAP_CM


@dataclass(frozen=True, slots=True)
class Trial:
    """A choice of strips and what it would leave.

    Parameters
    ----------
    strips : tuple of Strip
        In the order of the candidates; one may come twice, woven on another day.
    sd : float
        Standard deviation left of the figure, on its own scale.
    cost_cm : float
        Warp it takes, the waste of warps of their own counted once each.
    gain_per_m : float
        Variance taken away per metre of warp.
    """

    strips: tuple[Strip, ...]
    sd: float
    cost_cm: float
    gain_per_m: float


@dataclass(frozen=True, eq=False)
class Question:
    """A figure that a weaver wants to know better, and the strips that she could weave for it.

    Parameters
    ----------
    belief : Belief
    figure : Measure
        Of the planned cloth, from ``expected``.
    strips : sequence of Strip
    waste_cm : float
        Warp lost with every warp that must be put on for a strip.
    """

    belief: Belief
    figure: Measure
    strips: Sequence[Strip]
    waste_cm: float = 65.0
    spreads: Floats = field(init=False, repr=False)
    errors: tuple[Floats, ...] = field(init=False, repr=False)
    places: tuple[slice, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Reckon once how all readings of all strips and the figure are unsure together."""
        if not self.strips:
            raise ValueError("no strip to choose from: give at least one that could be woven")
        read = [[one for doing in s.read for one in planned(doing, s.cloth, s.long_mm, s.wide_mm)] for s in self.strips]
        measures = [self.figure, *(one.expected for strip in read for one in strip)]
        scale = self.belief.scale * self.belief.shape / (self.belief.shape - 1)
        starts = np.cumsum([1, *(len(strip) for strip in read)]).tolist()
        object.__setattr__(self, "spreads", self.belief.covariance(measures) * scale)
        object.__setattr__(self, "errors", tuple(scatter(strip) * scale for strip in read))
        object.__setattr__(self, "places", tuple(slice(a, b) for a, b in pairwise(starts)))

    @property
    def sd(self) -> float:
        """How unsure the figure is now; the scatter of the next piece is not in it, for no sample lessens that."""
        return sqrt(float(self.spreads[0, 0]))

    def after(self, spreads: Floats, strip: int, times: int = 1) -> Floats:
        """Return how unsure all is once a strip was woven and read so many times."""
        at = self.places[strip]
        whole = spreads[at, at] + self.errors[strip] / times
        return np.asarray(spreads - spreads[:, at] @ np.linalg.solve(whole, spreads[at, :]))

    def cost(self, chosen: Sequence[int]) -> float:
        """Return the warp that strips take."""
        warps = {self.strips[i].warp for i in chosen} - {""}
        return sum(self.strips[i].cost_cm for i in chosen) + self.waste_cm * len(warps)

    def trial(self, chosen: Sequence[int]) -> Trial:
        """Return what a choice of strips would leave, and cost."""
        spreads = self.spreads
        for i in chosen:
            spreads = self.after(spreads, i)
        return self._trial(chosen, float(spreads[0, 0]))

    def _trial(self, chosen: Sequence[int], variance: float) -> Trial:
        cost = self.cost(chosen)
        gain = (float(self.spreads[0, 0]) - variance) / cost * 100
        return Trial(tuple(self.strips[i] for i in chosen), sqrt(max(variance, 0.0)), cost, gain)


def next_samples(question: Question, strips: int = 1) -> list[Trial]:
    """Return every choice of so many strips, the one that teaches most per metre of warp first.

    Of equal ones the cheaper, then the one whose strips were named first. Three strips of twenty designs are 1,540.
    """
    places = range(len(question.strips))
    found = [question.trial(chosen) for chosen in combinations_with_replacement(places, strips)]
    return sorted(found, key=lambda trial: (-round(trial.gain_per_m, 12), trial.cost_cm))


def least_warp(question: Question, sd: float, most: int = MOST_STRIPS) -> Trial | None:
    """Return the choice of at most so many strips that brings a figure's spread to ``sd`` or less for the least warp.

    Of choices that cost the same, the one that leaves least. Nothing where none does; the empty choice where it is
    there already.

    Notes
    -----
    Branch and bound. More readings never make a figure less sure, so a branch is dropped when even every strip that it
    may still afford, each woven as often as may be, would not do; and when one more strip would cost more than the best
    choice found so far. Both bounds hold, so the answer is the least.
    """
    if question.sd <= sd:
        return Trial((), question.sd, 0.0, 0.0)
    return _Search(question, sd * sd, most).found()


class _Search:
    """A search for the least warp: strips are taken in order of cost, each as often as may be."""

    def __init__(self, question: Question, variance: float, most: int) -> None:
        self.question, self.variance, self.most = question, variance, most
        self.order = sorted(range(len(question.strips)), key=lambda i: question.strips[i].cost_cm)
        self.costs = [question.strips[i].cost_cm for i in self.order]
        self.best: Trial | None = None

    def found(self) -> Trial | None:
        self._greedy()
        self._branch((), 0, self.question.spreads)
        return self.best

    def _keep(self, chosen: tuple[int, ...], variance: float) -> None:
        trial = self.question._trial(sorted(chosen), variance)
        if self.best is None or (round(trial.cost_cm, 9), trial.sd) < (round(self.best.cost_cm, 9), self.best.sd):
            self.best = trial

    def _greedy(self) -> None:
        """Find a first choice: each time the strip that leaves least for its cost."""
        spreads = self.question.spreads
        chosen: tuple[int, ...] = ()
        while len(chosen) < self.most and spreads[0, 0] > self.variance:
            now, cost = float(spreads[0, 0]), self.question.cost(chosen)
            ahead = {i: self.question.after(spreads, i) for i in self.order}
            taken = max(
                self.order, key=lambda i: (now - float(ahead[i][0, 0])) / (self.question.cost((*chosen, i)) - cost)
            )
            spreads, chosen = ahead[taken], (*chosen, taken)
        if spreads[0, 0] <= self.variance:
            self._keep(chosen, float(spreads[0, 0]))

    def _branch(self, chosen: tuple[int, ...], first: int, spreads: Floats) -> None:
        if spreads[0, 0] <= self.variance:
            self._keep(chosen, float(spreads[0, 0]))
            return
        left = self.most - len(chosen)
        if not left:
            return
        room = (inf if self.best is None else self.best.cost_cm) - self.question.cost(chosen) + 1e-9
        may = {at: often for at in range(first, len(self.order)) if (often := self._often(at, chosen, room, left))}
        if not self._could(spreads, may):
            return
        for at in may:
            place = self.order[at]
            self._branch((*chosen, place), at, self.question.after(spreads, place))

    def _often(self, at: int, chosen: tuple[int, ...], room: float, left: int) -> int:
        """Return how often a strip may still be taken, were it alone: by its cost, and by its warp's if that is new."""
        warp = self.question.strips[self.order[at]].warp
        on = {"", *(self.question.strips[i].warp for i in chosen)}
        free = room - (0.0 if warp in on else self.question.waste_cm)
        if free < self.costs[at]:
            return 0
        return left if free == inf else min(left, int(free // self.costs[at]))

    def _could(self, spreads: Floats, may: dict[int, int]) -> bool:
        """Return whether every strip that may still be taken, as often as each alone could be, would do."""
        for at, times in may.items():
            spreads = self.question.after(spreads, self.order[at], times)
            if spreads[0, 0] <= self.variance:
                return True
        return False
