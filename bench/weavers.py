"""Simulated weavers for the calibration: a world that is not the model.

Nothing here calls the model's physics. Wool packs by pressure, lines go with tex to the power 0.48, gaps jam hard,
krokbragd closes by 1.33 and not 1.26, weft bends as a sine fed by a bubble of gamma width; noise has heavy tails, a
weaver's arm drifts, one weaver in ten is odd, four counts in a hundred are miscounted and eight beats in a hundred are
written down wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, expm1, log, pi, sqrt

import numpy as np

from weftline.core.findings import Basis, Quantity
from weftline.core.geometry.sett import Thread
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.sample import Count, Length, Marks, Sample, State, WeftLaid, Weighed, Width
from weftline.core.weave.technique import BOUNDWEAVE, KROKBRAGD, TWO_AGAINST_TWO, WEFT_FACED_PLAIN, Technique

CLOSING = {WEFT_FACED_PLAIN.name: 1.0, BOUNDWEAVE.name: 1.30, TWO_AGAINST_TWO.name: 1.8}
BENDING = {KROKBRAGD.name: 0.83, WEFT_FACED_PLAIN.name: 1.0, BOUNDWEAVE.name: 0.70, TWO_AGAINST_TWO.name: 0.55}
FACE = {KROKBRAGD.name: 1, WEFT_FACED_PLAIN.name: 1, BOUNDWEAVE.name: 1, TWO_AGAINST_TWO.name: 2}
BEATS = {"soft": -1.0, "firm": 0.0, "hard": 1.0}
LOOMS = ("floor", "table", "rigid heddle")


@dataclass(frozen=True)
class World:
    """What holds for all weavers.

    ``lines``, and ``others`` (crimp, thickness, take-up), over those of the world nearest the model; the ``power`` of tex
    that line height goes with; how much taller ``krokbragd`` closes than plain weave; the degrees of the ``tails``.
    """

    lines: float = 1.0
    others: float = 1.0
    power: float = 0.48
    krokbragd: float = 1.33
    tails: float = 5.0

    def height_mm(self, tex: float, technique: str) -> float:
        """Return the height of a line, firmly beaten, in gaps that are wide enough."""
        closing = self.krokbragd if technique == KROKBRAGD.name else CLOSING[technique]
        return HEIGHT * float((tex / 800) ** self.power) * closing


@dataclass(frozen=True)
class Truth:
    """What a piece really is, slack on the loom."""

    lines_per_cm: float
    mass_g_m2: float
    thickness_mm: float
    draw_in: float
    warp_take_up: float
    crimp: float
    relax_width: float
    relax_length: float
    shrink_width: float
    shrink_length: float


def thread(said: str, tex: float, density: float, packing: float) -> Thread:
    """Return a thread as a label would give it."""
    mm = sqrt(4 * tex / (1000 * pi * density * packing))
    return Thread(said, tex, Quantity(mm, Basis.COMPUTED), density, density < 1.4)


class Weaver:
    """One weaver in a world: her arm, her looms and her yarns, each drawn once and kept."""

    def __init__(self, world: World, seed: int) -> None:
        self.world, self.rng, self.key = world, np.random.default_rng(seed), f"weaver {seed}"
        odd = self.rng.random() < 0.10
        self.arm = self._heavy(0.10) + (self.rng.normal(0, 0.15) if odd else 0.0)
        self.bubble = self.rng.gamma(20) / 20
        self.fed = self.rng.beta(3, 6)
        self.bent = self.rng.gamma(40) / 40
        self.packs = self.rng.normal(0, 0.07)
        self.washes = self.rng.gamma(9) / 9
        self.kept: dict[tuple[str, str], float] = {}

    def _heavy(self, sd: float) -> float:
        """Return a Student t with this standard deviation."""
        tails = self.world.tails
        return float(self.rng.standard_t(tails)) * sd * sqrt((tails - 2) / tails)

    def _of(self, what: str, key: str, sd: float) -> float:
        """Return what a yarn, cloth or loom has of its own."""
        if (what, key) not in self.kept:
            self.kept[what, key] = self._heavy(sd)
        return self.kept[what, key]

    def facts(self, technique: Technique | None = None) -> ClothFacts:
        """Return a cloth that she might weave: warp, weft, a sett that suits them more or less, a beat she states."""
        rng = self.rng
        if technique is None:
            technique = (KROKBRAGD, KROKBRAGD, WEFT_FACED_PLAIN, BOUNDWEAVE, TWO_AGAINST_TWO)[rng.integers(5)]
        warp = thread("cotton", float(rng.choice([200, 310, 450])), 1.52, 0.60)
        tex = float(rng.choice([330, 500, 660, 1000, 1400, 2000]))
        weft = thread(f"wool {tex:.0f}", tex, 1.31, 0.50)
        sett = self._sett(warp, weft, technique)
        beat = str(rng.choice(["soft", "firm", "firm", "hard"]))
        loom = LOOMS[rng.integers(3)]
        return ClothFacts(warp, weft, technique, sett, beat, self.key, loom, loom, f"{weft.said} a")

    def changed(self, facts: ClothFacts) -> ClothFacts:
        """Return another cloth: one of three yarns, another sett, perhaps another beat; same loom, warp and weave."""
        rng = self.rng
        tex = float(rng.choice([500, 800, 1300]))
        weft = thread(f"wool {tex:.0f}", tex, 1.31, 0.50)
        sett = self._sett(facts.warp, weft, facts.technique)
        beat = str(rng.choice(["soft", "firm", "firm", "hard"]))
        return replace(facts, weft=weft, yarn=weft.said, sett_per_cm=sett, beat=beat)

    def _sett(self, warp: Thread, weft: Thread, technique: Technique) -> float:
        """Return a sett at which warp and face weft fill 42 to 70 % of the room: from too open to rather close."""
        free = self.world.height_mm(weft.tex, technique.name)
        face = FACE[technique.name] * weft.tex / (1310 * 0.32 * free)
        return float(round(10 * self.rng.uniform(0.42, 0.70) / (warp.diameter_mm.value + face), 1))

    def weave(self, facts: ClothFacts) -> Truth:
        """Return a piece; her arm drifts with each."""
        rng, name, cloth = self.rng, facts.technique.name, facts.cloth_key
        yarn, loom = facts.yarn_key, facts.loom
        self.arm += rng.normal(0, 0.012)
        tex = facts.weft.tex * exp(self._of("tex", yarn, 0.035))
        push = self.arm + self._of("loom", loom, 0.05) - (0.05 if facts.loom_kind == "rigid heddle" else 0.0)
        push += 0.11 * BEATS[facts.beat or "firm"] * (1 + self._of("step", "", 0.25))
        push += (
            self._of("yarn", yarn, 0.09) + self._of("cloth", cloth, 0.05) + self._heavy(0.045) + log(self.world.lines)
        )
        packed = 0.32 * exp(0.4 * push + self.packs + self._of("packs", yarn, 0.12) + rng.normal(0, 0.05))
        d1, d2, mean = facts.warp.diameter_mm.value, facts.weft.diameter_mm.value, 0.12
        height = each = drawn = 0.0
        feed = min(0.95, self.fed + self._of("feed", cloth, 0.06) + self._of("feed", loom, 0.05) + rng.normal(0, 0.03))
        bubble = self.bubble * self.bent * exp(self._of("bend", cloth, 0.15)) * rng.gamma(400) / 400
        for _ in range(12):
            pitch = 10 / facts.sett_per_cm * exp(-drawn)
            gap = max((pitch - d1) / d2, 0.3)
            height = self.world.height_mm(tex, name) * max(1.0, 1.2 / gap) ** 0.8 * exp(-push)
            each = tex / (1310 * packed * height)
            x = min((d1 + FACE[name] * each) / pitch, 0.75)
            mean = 0.617 * x * x * BENDING[name] * bubble * self.world.others
            drawn = max(log(1 + mean) * (1 - max(feed, 0.02)), 0.002)
        passes = len(facts.technique.sheds)
        take_up = 0.07 * self._gamma("take-up", "", 10) * self._gamma("take-up", loom, 25) * rng.gamma(50) / 50
        take_up *= self.world.others
        weft = 0.1 * passes * 10 / height * tex * (1 + mean)
        warp = 0.1 * facts.sett_per_cm * facts.warp.tex * (1 + take_up) * exp(drawn)
        return Truth(
            lines_per_cm=10 / height,
            mass_g_m2=weft + warp,
            thickness_mm=d1 + passes * each * self.world.others,
            draw_in=-expm1(-drawn),
            warp_take_up=take_up,
            crimp=mean,
            relax_width=0.022 * self._gamma("relax", "", 6) * rng.gamma(12) / 12,
            relax_length=0.012 * self._gamma("relax long", loom, 6) * rng.gamma(8) / 8,
            shrink_width=0.027 * self.washes * self._gamma("shrink", yarn, 8) * rng.gamma(14) / 14,
            shrink_length=0.042 * self.washes * self._gamma("shrink long", yarn, 8) * rng.gamma(18) / 18,
        )

    def _gamma(self, what: str, key: str, shape: float) -> float:
        """Return a share about 1 that a yarn, a loom or she herself has."""
        if (what, key) not in self.kept:
            self.kept[what, key] = float(self.rng.gamma(shape)) / shape
        return self.kept[what, key]

    def measure(self, facts: ClothFacts, number: int, full: bool = True) -> Sample:
        """Weave a strip and return what is read from it, with the slips that hands and eyes make."""
        rng, real = self.rng, self.weave(facts)
        over = float(rng.choice([50, 80, 100, 150]))
        count = round((real.lines_per_cm * over / 10) * (1 + rng.normal(0, 0.006)))
        if rng.random() < 0.04:
            count += int(rng.choice([-1, 1]) * rng.integers(2, 2 + max(2, count // 5)))
        said = facts
        if rng.random() < 0.08:
            said = replace(facts, beat=str(rng.choice(["soft", "firm", "hard"])))
        counted = Count((float(max(count, 1)),), over, State.SLACK)
        if not full:
            return Sample(f"{number}", said, counted)
        reed, long = float(rng.choice([200, 300, 500])), 180.0
        on = reed * (1 - real.draw_in)
        off = on * (1 - real.relax_width)
        short = long * (1 - real.relax_length)
        edge = rng.normal(0, 1.2, 6)
        width = Width(reed, on + edge[0], off + edge[1], off * (1 - real.shrink_width) + edge[2])
        length = Length(long + edge[3], short + edge[4], short * (1 - real.shrink_length) + edge[5])
        grams = real.mass_g_m2 * on * long / 1e6 * exp(rng.normal(0, 0.012))
        area = (off + rng.normal(0, 1.5)) * (short + rng.normal(0, 1.5))
        thick = max(real.thickness_mm + rng.normal(0, 0.22), 0.5)
        marks = Marks(300 + rng.normal(0, 0.5), 300 / (1 + real.warp_take_up) + rng.normal(0, 0.7))
        laid = WeftLaid(on * (1 + real.crimp) + rng.normal(0, 2.0), on + rng.normal(0, 1.0))
        return Sample(f"{number}", said, counted, width, length, Weighed(grams, area, State.OFF), thick, marks, (laid,))


HEIGHT = 1.421
"""Height of a line of plain weave of 800 tex, mm, so that lines are the model's on average; see ``calibration.level``."""
