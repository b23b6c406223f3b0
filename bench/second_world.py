"""A second world of simulated weavers, invented apart from the model and from ``bench/weavers.py``.

    PYTHONPATH=src:. python bench/second_world.py          # 2,000 weavers; or: ... second_world.py 800

Prints the coverage of 90 % intervals as ``bench/calibration.py`` does, then how far first pieces lay from what was foretold.

Notes
-----
Every figure here is invented, from reasoning on how a weft packs in weft-faced cloth; none is measured, none was set by
what the model says, and none is to be set by what this prints. What is assumed:

- Beads are wool at a fibre packing near a half, more when beaten hard; a beat can only press so far (:func:`_pressed`).
- A line is as high as the jam of two things: the beads piled on the fuller side of the cloth, and the passes that cross
  between two neighbouring ends; a narrow gap makes the crossing taller (:meth:`SecondWeaver._line_mm`).
- Crimp is the slant of a pass from one face to the other, and what the weaver lays in too much (:func:`_crimps`).
- Thickness is the volume of wool and warp over an area, with a share of air between the crests.
- Warp take-up is that of a shallow wave of one line's length.
- Draw-in is a habit; a temple and a bubbled weft lessen it, crimp raises it.
- A weaver's beat wanders from piece to piece and does not come back, has good and bad days, and 6 % of weavers are odd.
- Labels err in tex, every yarn has its own loft, and noise is heavy-tailed (Student, 4 degrees).
- She reads what she has time for, with tapes that err, scales of 0.1 to 5 g, and counts that slip by a line or two.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, replace
from math import exp, log, pi, sqrt, tanh
from zlib import crc32

import numpy as np

from bench.calibration import QUANTITIES, table, tally_of
from bench.weavers import Truth
from weftline.core.geometry.sett import Thread
from weftline.core.geometry.threads import thread_of_numbers
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.predicted import quantity_of
from weftline.core.learning.sample import Count, Length, Marks, Sample, State, WeftLaid, Weighed, Width
from weftline.core.weave.technique import KROKBRAGD, WEFT_FACED_PLAIN, Technique
from weftline.core.yarn.numbers import yarn_numbers

WEFTS_TEX = (200, 275, 310, 400, 550, 620, 800, 1000, 1200, 1500)
WARPS = ("200 tex cotton", "310 tex cotton", "450 tex cotton", "300 tex linen", "500 tex linen", "400 tex wool")
FIBRES_G_CM3 = {"cotton": 1.54, "linen": 1.48, "wool": 1.31}
LOOMS: dict[str | None, float] = {
    "floor": 0.0, "counterbalance": 0.1, "countermarch": 0.2, "jack": -0.1, "table": -0.5, "frame": -0.2,
    "rigid heddle": -0.9, "upright": 0.1, None: 0.0,
}  # fmt: skip
"""How much harder than the next a loom lets one beat, in steps between soft, firm and hard."""
BEATS = (None, "soft", "firm", "hard")
SETTS = tuple(number / 4 for number in range(4, 29))
"""Ends per cm that reeds allow."""
ODD = 0.06
TOLD = ("lines_per_cm", "mass_g_m2", "thickness_mm", "draw_in", "warp_take_up")
FIRST_SEED = 910_000_000


@dataclass(frozen=True)
class Woven:
    """A piece: what it is, and the crimp of each of its sheds."""

    truth: Truth
    crimps: tuple[float, ...]


@dataclass(frozen=True)
class Strand:
    """A yarn as it is and not as its label says: tex, section in the cloth in mm2, and how springy beside others."""

    tex: float
    area_mm2: float
    spring: float = 1.0

    @property
    def across_mm(self) -> float:
        """Diameter if the section were round."""
        return sqrt(4 * self.area_mm2 / pi)


def _pressed(beat: float) -> float:
    """Return what a beat does, in steps: wool jams, so that the third step harder does little."""
    return 1.6 * tanh(beat / 1.6)


def _covers(technique: Technique) -> list[list[bool]]:
    """Return by shed which ends of a repeat its pass covers on the face."""
    return [[shaft in shed for shaft in technique.threading] for shed in technique.sheds]


def _crossings(row: list[bool]) -> int:
    """Return how often a pass goes from one face to the other in a repeat."""
    return sum(one != other for one, other in zip(row, [*row[1:], row[0]], strict=True))


def _crimps(technique: Technique, pitch_mm: float, depth_mm: float, loose: float) -> tuple[float, ...]:
    """Return crimp by shed: each crossing slants through ``depth_mm`` within four fifths of a pitch; plus what lies loose."""
    run = 0.8 * pitch_mm
    more = (sqrt(run**2 + depth_mm**2) - run) / pitch_mm
    return tuple(more * _crossings(row) / len(row) + loose for row in _covers(technique))


class SecondWeaver:
    """A weaver of the second world, with her loom, her habits, her tape and her scales.

    Parameters
    ----------
    seed : int
        Tells her from others; all about her follows from it and from the order of what she is asked.
    """

    def __init__(self, seed: int) -> None:
        self.seed = seed
        self.rng = np.random.default_rng([seed, 2])
        rng = self.rng
        self.beat = self._heavy(1.0)
        self.wander = 0.0
        self.word = exp(rng.normal(0, 0.3))
        odd = rng.random() < ODD
        self.odd = float(rng.choice([0.78, 1.25])) if odd else 1.0
        self.slips = 0.15 if odd else 0.05
        self.draws = exp(self._heavy(0.45)) * (0.6 if rng.random() < 0.25 else 1.0)
        self.bubbles = self._heavy(0.6)
        self.tension = self._heavy(0.35)
        self.foot = exp(rng.normal(0, 0.05))
        self.tape = exp(rng.normal(0, 0.003))
        self.grams = float(rng.choice([0.1, 1.0, 1.0, 1.0, 5.0]))
        self.reads_tenths_mm = bool(rng.random() < 0.5)
        self.diligence = rng.uniform(0.6, 1.2)
        kinds = list(LOOMS)
        self.loom_kind = kinds[int(rng.integers(len(kinds)))]

    def _heavy(self, sd: float) -> float:
        """Return noise of Student's kind with 4 degrees and this standard deviation."""
        return float(self.rng.standard_t(4)) * sd / sqrt(2)

    def _own(self, what: str, key: str, sd: float) -> float:
        """Return what stays the same for this weaver and this key."""
        return float(np.random.default_rng([self.seed, crc32(f"{what} {key}".encode())]).normal(0, sd))

    # --- what she plans -----------------------------------------------------------------------------------------------

    def facts(self) -> ClothFacts:
        """Return a cloth that she plans: krokbragd two times in three, else plain."""
        rng = self.rng
        warp = thread_of_numbers(yarn_numbers(str(rng.choice(WARPS))))
        technique = KROKBRAGD if rng.random() < 2 / 3 else WEFT_FACED_PLAIN
        weft = self._weft()
        beat = BEATS[int(rng.choice(4, p=(0.2, 0.15, 0.45, 0.2)))]
        return ClothFacts(warp, weft, technique, self._sett(warp, weft), beat, loom_kind=self.loom_kind)

    def changed(self, facts: ClothFacts) -> ClothFacts:
        """Return another of her cloths, on the same warp yarn and in the same weave: other weft, sett and beat."""
        weft = self._weft()
        beat = BEATS[int(self.rng.choice(4, p=(0.2, 0.15, 0.45, 0.2)))]
        return replace(facts, weft=weft, sett_per_cm=self._sett(facts.warp, weft), beat=beat)

    def _weft(self) -> Thread:
        return thread_of_numbers(yarn_numbers(f"{int(self.rng.choice(WEFTS_TEX))} tex wool"))

    def _sett(self, warp: Thread, weft: Thread) -> float:
        """Return a sett whose gaps take some 2.7 wefts, by her own rule of thumb and by labels, as a reed has it."""
        thick = [sqrt(4e-3 * one.tex / (pi * one.density_g_cm3 * fill)) for one, fill in ((warp, 0.6), (weft, 0.5))]
        wanted = 10 / (thick[0] + thick[1] * 2.7 * exp(self.rng.normal(0, 0.18)))
        return min(SETTS, key=lambda sett: abs(log(sett / wanted)))

    # --- what she weaves ----------------------------------------------------------------------------------------------

    def weave(self, facts: ClothFacts) -> Truth:
        """Return one piece of a cloth; her beat wanders on with each."""
        return self._piece(facts).truth

    def _steps(self, facts: ClothFacts) -> float:
        """Return how hard she beats this piece, in steps from the middling weaver's firm.

        Habit, wandering, day, loom and the feel of each weave; a word means more or less to her, and where she says
        none she has one in mind all the same.
        """
        self.wander += float(self.rng.normal(0, 0.12))
        meant = facts.beat_steps if facts.beat else round(0.15 + self._own("meant", facts.cloth_key, 0.6))
        own = self._own("weave", facts.technique.name, 0.3) + self._own("loom", facts.loom, 0.4)
        return self.beat + self.wander + self._heavy(0.3) + self.word * meant + own + LOOMS[facts.loom_kind]

    def _strands(self, facts: ClothFacts, pressed: float) -> tuple[Strand, Strand]:
        """Return warp and weft: labels err by 5 %, loft by 6 %; wool is packed to a half, 9 % closer by step of beat."""
        key = facts.yarn_key
        tex = facts.weft.tex * exp(self._own("lot", key, 0.05))
        packing = min(0.5 * exp(self._own("loft", key, 0.06) + 0.09 * pressed), 0.75)
        weft = Strand(tex, tex * 1e-3 / (FIBRES_G_CM3["wool"] * packing), exp(self._own("spring", key, 0.07)))
        warp_tex = facts.warp.tex * exp(self._own("lot", facts.warp.said, 0.03))
        fibre = next(name for name in FIBRES_G_CM3 if name in facts.warp.said)
        return Strand(warp_tex, warp_tex * 1e-3 / (FIBRES_G_CM3[fibre] * 0.6)), weft

    def _line_mm(self, technique: Technique, weft: Strand, gap_mm: float, pressed: float) -> float:
        """Return the height of a line.

        A bead is 0.72 of a round yarn high, 5 % less by step of beat. On one side of an end, the second bead and each
        one more need 0.6 of their height, the rest goes into depth. In a gap every crossing needs 0.62 of a round yarn,
        more where the gap is narrow. The two jam together as a smooth greater of both (third powers).
        """
        rows = _covers(technique)
        flat = exp(-0.05 * pressed) * weft.across_mm
        face = sum(map(sum, rows)) / len(rows[0])
        piled = 1 + 0.6 * (max(face, len(rows) - face) - 1)
        crossings = sum(map(_crossings, rows)) / len(rows[0])
        crossed = crossings * 0.62 * flat * (1 + 0.35 * weft.across_mm / gap_mm)
        return float(((0.72 * flat * piled) ** 3 + crossed**3) ** (1 / 3))

    def _piece(self, facts: ClothFacts) -> Woven:
        """Return a piece.

        Middling: 4.5 % drawn in, 3 % of loose weft in every pass, a seventh of the thickness air between crests, and a
        warp that waves by 0.06 of both yarns. A pass slants through the warp and 0.8 of a bead's depth.
        Past a third of its width drawn in, a quarter of loose weft or of take-up, a weaver would stop and mend it.
        """
        technique, passes = facts.technique, len(facts.technique.sheds)
        pressed = _pressed(self._steps(facts))
        warp, weft = self._strands(facts, pressed)
        depth = warp.across_mm + 0.8 * weft.area_mm2 / (0.9 * 0.72 * weft.across_mm)
        loose = min(0.03 * exp(self.bubbles + self._heavy(0.2)), 0.25)
        needed = float(np.mean(_crimps(technique, 10 / facts.sett_per_cm, depth, 0.0)))
        drawn = 0.045 * self.draws * sqrt(needed / 0.1) * exp(-0.4 * self.bubbles + 0.1 * pressed + self._heavy(0.2))
        drawn = min(drawn, 1 / 3)
        pitch = 10 * (1 - drawn) / facts.sett_per_cm
        crimps = _crimps(technique, pitch, depth, loose)
        gap = max(pitch - warp.across_mm, 0.3 * weft.across_mm)
        line = self._line_mm(technique, weft, gap, pressed) * self.odd * exp(self._heavy(0.012))
        wave = pi * 0.06 * (weft.across_mm + warp.across_mm) / line
        take_up = min(wave**2 * exp(-self.tension + self._heavy(0.15)), 0.25) + 0.004
        crimp = float(np.mean(crimps))
        wool = passes / line * (1 + crimp)
        mass = wool * weft.tex + warp.tex / pitch * (1 + take_up)
        thick = (wool * weft.area_mm2 + warp.area_mm2 / pitch) / 0.86 * weft.spring * exp(self._heavy(0.04))
        losses = [0.008 + self._heavy(0.008)]
        losses += [part * exp(self._heavy(0.45)) for part in (0.02, 0.025, 0.035)]
        relax_width, relax_length, shrink_width, shrink_length = (min(loss, 0.3) for loss in losses)
        return Woven(
            Truth(
                10 / line, mass, thick, drawn, take_up, crimp, relax_width, relax_length, shrink_width, shrink_length
            ),
            crimps,
        )

    # --- what she measures --------------------------------------------------------------------------------------------

    def measure(self, facts: ClothFacts, number: int) -> Sample:
        """Return a further piece of a cloth, as she read it; she reads what she has time for."""
        piece = self._piece(facts)
        real = piece.truth
        in_reed, long = float(self.rng.uniform(200, 900)), float(self.rng.uniform(200, 1200))
        wide = in_reed * (1 - real.draw_in)
        off_wide, off_long = wide * (1 - real.relax_width), long * (1 - real.relax_length)
        washed_wide, washed_long = off_wide * (1 - real.shrink_width), off_long * (1 - real.shrink_length)
        washes = self._does(0.6)
        width = Width(self._tape(in_reed), *(self._width(one) for one in (wide, off_wide)))
        length = Length(self._tape(long), self._tape(off_long)) if self._does(0.6) else Length()
        if washes:
            width = replace(width, washed_mm=self._width(washed_wide))
            length = replace(length, washed_mm=self._tape(washed_long)) if length.off_loom_mm else length
        marks = None
        if self._does(0.4):
            marks = Marks(1000.0, self._tape(1000 / (1 + real.warp_take_up)))
        return Sample(
            key=f"sample {number}",
            facts=facts,
            counted=self._count(real),
            width=width if self._does(0.85) else Width(),
            length=length,
            weighed=self._weigh(real.mass_g_m2 * wide * long * 1e-6, off_wide, off_long) if self._does(0.7) else None,
            thickness_mm=self._thickness(real) if self._does(0.5) else None,
            marks=marks,
            laid=self._laid(piece) if self._does(0.3) else (),
        )

    def _does(self, share: float) -> bool:
        return bool(self.rng.random() < share * self.diligence)

    def _tape(self, mm: float) -> float:
        """Return a length as her tape tells it: its own stretch, 1.5 mm of laying on, whole millimetres."""
        return float(max(round(mm * self.tape + self._heavy(1.5)), 1))

    def _width(self, mm: float) -> float:
        """Return a width, which differs by 0.4 % along the cloth."""
        return self._tape(mm * exp(self._heavy(0.004)))

    def _count(self, real: Truth) -> Count:
        """Return one to three counts: the beat differs by 2 % within a piece, halves are told, one in twenty slips."""
        over = float(self.rng.choice([50, 100, 100, 200]))
        state = list(State)[int(self.rng.choice(4, p=(0.1, 0.75, 0.1, 0.05)))]
        per_mm = real.lines_per_cm / 10
        if state is State.TENSION:
            per_mm *= 1 - 0.01 * exp(self._heavy(0.4))
        if state in (State.OFF, State.WASHED):
            per_mm /= 1 - real.relax_length
        if state is State.WASHED:
            per_mm /= 1 - real.shrink_length
        counts = []
        for _ in range(int(self.rng.integers(1, 4))):
            seen = per_mm * exp(self._heavy(0.02)) * (over + self._heavy(1.0))
            slip = int(self.rng.choice([-2, -1, 1, 2])) if self.rng.random() < self.slips else 0
            counts.append(max(round(2 * seen) / 2 + slip, 1.0))
        return Count(tuple(counts), over, state)

    def _weigh(self, grams: float, wide: float, long: float) -> Weighed:
        """Return a weighing off the loom: damp by 1.5 %, her scale's step; 3 in 100 leave the fringe on."""
        damp = exp(self._heavy(0.015)) * (1.05 if self.rng.random() < 0.03 else 1.0)
        shown = max(round(grams * damp / self.grams) * self.grams, self.grams)
        return Weighed(shown, self._width(wide) * self._tape(long), State.OFF)

    def _thickness(self, real: Truth) -> float:
        """Return a thickness: to 0.1 mm or to half a millimetre, as hard as she presses."""
        step = 0.1 if self.reads_tenths_mm else 0.5
        return max(round(real.thickness_mm * self.foot * exp(self._heavy(0.05)) / step) * step, step)

    def _laid(self, piece: Woven) -> tuple[WeftLaid, ...]:
        """Return a pass of each shed, unravelled from 200 mm; straightening errs by 1 %."""
        return tuple(
            WeftLaid(self._tape(200 * (1 + crimp) * exp(self._heavy(0.01))), 200.0, shed)
            for shed, crimp in enumerate(piece.crimps, 1)
        )


# --- what is printed --------------------------------------------------------------------------------------------------


def levels(weavers: int) -> list[str]:
    """Return how many times what was foretold first pieces were: medians and the middle 90 % of weavers."""
    ratios: dict[str, list[float]] = {}
    for each in range(weavers):
        weaver = SecondWeaver(FIRST_SEED + each)
        facts = weaver.facts()
        real = weaver.weave(facts)
        for name in TOLD:
            measure, shown = QUANTITIES[name]
            off = log(getattr(real, name) / quantity_of(NO_SAMPLE, measure(facts), shown).value)
            ratios.setdefault(name, []).append(off)
            if name == "lines_per_cm":
                ratios.setdefault(f"{name}, {facts.technique.name}", []).append(off)
    found = []
    for name, offs in ratios.items():
        low, middle, high = np.quantile(offs, (0.05, 0.5, 0.95)).tolist()
        shares = f"x {exp(middle):.3f} (9 in 10: x {exp(low):.2f} to {exp(high):.2f})"
        found.append(f"  {name:38}  median log ratio {middle:+.3f}, {shares}")
    return found


def main() -> None:
    """Print it all."""
    start = time.perf_counter()
    weavers = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print("coverage of 90 % intervals (median width), as in bench/calibration.py")
    tally = tally_of(SecondWeaver(FIRST_SEED + each) for each in range(weavers))
    print(table(tally, f"the second world, {weavers} weavers"))
    print("first pieces over what was foretold before any sample")
    print("\n".join(levels(weavers)))
    print(f"{time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
