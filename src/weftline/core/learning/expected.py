"""What a cloth is expected to be, as a mean with the effects that move it: every quantity linear in every effect.

An effect is held in units of its own spread, so that all start as independent, with mean 0 and variance 1. A
*measure* is a mean, its row over lasting effects, and its row over what belongs to one piece alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import exp, hypot, log, log1p, sqrt
from typing import TYPE_CHECKING, NamedTuple

from weftline.core.geometry.closure import closure_of
from weftline.core.learning.facts import means_of
from weftline.core.learning.spreads import (
    BEAT_STEP,
    DRAWN_BY_CRIMP,
    MEANS,
    MOST_CRIMP,
    MOST_SIZES,
    NOT_WOOL,
    OWN_WEAVE,
    SHED_SHARE,
    SIZE_SLOPE,
    SPREADS,
    TEX,
    UNSAID_HABIT,
    UNSAID_PIECE,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.learning.facts import ClothFacts


class Effect(NamedTuple):
    """One reason why cloths differ: of which quantity, by what, and whose."""

    of: str
    by: str
    key: str


Row = dict[Effect, float]


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as a mean and the effects that move it.

    Parameters
    ----------
    mean : float
        On the scale that it is reasoned in.
    row : mapping of Effect to float
        What one spread of each lasting effect does to it.
    piece : mapping of Effect to float
        The same of effects that the next piece does not share.
    """

    mean: float
    row: Row = field(default_factory=dict)
    piece: Row = field(default_factory=dict)

    def plus(self, other: Measure, times: float = 1.0) -> Measure:
        """Return this and so many times the other."""
        return Measure(
            self.mean + times * other.mean,
            _added(self.row, other.row, times),
            _added(self.piece, other.piece, times),
        )

    def moved_by(self, other: Measure, times: float = 1.0) -> Measure:
        """Return this mean, moved also by the effects of another."""
        return Measure(self.mean, _added(self.row, other.row, times), _added(self.piece, other.piece, times))


def _added(first: Row, second: Row, times: float) -> Row:
    found = dict(first)
    for effect, value in second.items():
        found[effect] = found.get(effect, 0.0) + times * value
    return found


def _keys(facts: ClothFacts) -> dict[str, str]:
    return {
        "level": "",
        "weave": facts.weave_key,
        "yarn": facts.yarn_key,
        "cloth": facts.cloth_key,
        "weaver": facts.weaver,
        "loom": facts.loom,
        "beat": f"{facts.weaver} {facts.beat}",
        "piece": "",
    }


def _plain(of: str, facts: ClothFacts, mean: float, spreads: Mapping[str, float] | None = None) -> Measure:
    keys = _keys(facts)
    rows = {Effect(of, by, keys[by]): spread for by, spread in (spreads or SPREADS[of]).items()}
    piece = {effect: value for effect, value in rows.items() if effect.by == "piece"}
    return Measure(mean, {effect: value for effect, value in rows.items() if effect.by != "piece"}, piece)


def true_tex(facts: ClothFacts) -> Measure:
    """Return the logarithm of the weft's true tex over that of its label."""
    return Measure(0.0, {Effect("tex", "yarn", facts.yarn_key): hypot(TEX, facts.weft.tex_log_sd)})


def lines(facts: ClothFacts) -> Measure:
    """Return the logarithm of lines per cm, counted on slack cloth on the loom."""
    spreads = dict(SPREADS["lines"])
    if facts.technique.name == "own":
        spreads["weave"] = OWN_WEAVE
    if not facts.weft.is_wool:
        spreads["yarn"] = hypot(spreads["yarn"], NOT_WOOL)
    if facts.beat is None:
        spreads["beat"] = hypot(spreads["beat"], UNSAID_HABIT)
        spreads["piece"] = hypot(spreads["piece"], UNSAID_PIECE)
    found = _plain("lines", facts, means_of(facts).ln_lines, spreads).moved_by(true_tex(facts), -0.5)
    sizes = max(-MOST_SIZES, min(MOST_SIZES, log(facts.weft.tex / 1000)))
    for by, moved in (("size", SIZE_SLOPE * sizes), ("step", BEAT_STEP * facts.beat_steps)):
        if moved:
            found.row[Effect("lines", by, "")] = moved
    return found


def crimp(facts: ClothFacts, shed: int | None = None) -> Measure:
    """Return ``ln ln(1 + crimp)`` of the mean over a line, or of one of its sheds, counted from 1."""
    means = means_of(facts)
    if shed is None:
        return _plain("crimp", facts, means.ln_crimp)
    found = _plain("crimp", facts, means.ln_crimps[shed - 1])
    bends = closure_of(facts.technique).bends
    flattened = [bend < max(bends) - 1e-9 for bend in bends]
    held = sum(bend for bend, flat in zip(bends, flattened, strict=True) if flat) / sum(bends)
    if any(flattened):
        found.row[Effect("crimp", "shed", facts.weave_key)] = SHED_SHARE * (flattened[shed - 1] - held)
    return found


def draw_in(facts: ClothFacts) -> Measure:
    """Return the root of ``-ln(1 - draw-in)``, from the reed to the slack cloth on the loom."""
    return _plain("draw-in", facts, means_of(facts).root_draw_in).moved_by(crimp(facts), DRAWN_BY_CRIMP)


def take_up(facts: ClothFacts) -> Measure:
    """Return ``ln ln(1 + warp take-up)``, the take-up as a share of woven length."""
    return _plain("take-up", facts, means_of(facts).ln_take_up)


def packing(facts: ClothFacts) -> Measure:
    """Return the logarithm of the packing of a pass in the cloth, over that of the physical mean."""
    return _plain("packing", facts, 0.0)


def thickness(facts: ClothFacts) -> Measure:
    """Return the logarithm of the thickness in mm: more wool makes it thicker, closer packing thinner."""
    means = means_of(facts)
    share = means.wool_share
    return Measure(means.ln_thickness).moved_by(true_tex(facts), share).moved_by(packing(facts), -share)


def mass(facts: ClothFacts) -> Measure:
    """Return the logarithm of g/m2 of slack cloth on the loom."""
    means = means_of(facts)
    share = means.weft_share
    found = _plain("mass", facts, means.ln_mass).moved_by(lines(facts), share).moved_by(true_tex(facts), share)
    return found.moved_by(crimp(facts), share * min(means.kappa, MOST_CRIMP))


def lost(of: str, facts: ClothFacts) -> Measure:
    """Return ``-ln(1 - share)`` of what is lost: ``relax width``, ``relax length``, ``shrink width``, ``shrink length``."""
    return _plain(of, facts, -log1p(-MEANS[of]))


def weft_over_reed(facts: ClothFacts) -> Measure:
    """Return ``ln(1 + extra weft over the width in the reed)``: crimp gives, draw-in takes."""
    means = means_of(facts)
    drawn = -log1p(-means.cloth.draw_in)
    found = Measure(means.kappa - drawn).moved_by(crimp(facts), means.kappa)
    return found.moved_by(draw_in(facts), -2 * means.root_draw_in)


def reed_to_off_loom(facts: ClothFacts) -> Measure:
    """Return the root of ``-ln(width off the loom / width in the reed)``, where nobody measured on the loom."""
    drawn, relaxed = draw_in(facts), lost("relax width", facts)
    whole = sqrt(drawn.mean**2 + relaxed.mean)
    return Measure(whole).moved_by(drawn, drawn.mean / whole).moved_by(relaxed, 1 / (2 * whole))


def limit(of: str, facts: ClothFacts) -> Measure:
    """Return the logarithm of the ``open`` or ``close`` limit of the sett, in ends per cm."""
    limits = means_of(facts).limits
    return _plain(of, facts, log(limits.low if of == "open" else limits.high))


def share_of(y: float) -> float:
    """Return the share whose ``ln ln(1 + share)`` this is."""
    return exp(exp(y)) - 1


def drawn_share(y: float) -> float:
    """Return the draw-in whose root this is; a root below nothing is none."""
    return 1 - exp(-(max(y, 0.0) ** 2))


def lost_share(y: float) -> float:
    """Return the share lost whose ``-ln(1 - share)`` this is; below nothing the cloth has grown."""
    return 1 - exp(-y)
