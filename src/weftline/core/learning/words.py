"""What a figure rests on, in sentences a weaver would say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.learning.expected import Effect

if TYPE_CHECKING:
    from weftline.core.learning.belief import Belief
    from weftline.core.learning.facts import ClothFacts

BEFORE = {
    "lines": "no sample of yours: geometry, one documented plain rug and one rule of thumb",
    "mass": "no weighed sample of yours: lines, weft and crimp as reckoned",
    "thickness": "no sample of yours: how closely wool packs in such cloth, from memory and one seller's averages",
    "draw-in": "no sample of yours: four documented pieces, and a form that was chosen",
    "take-up": "no sample of yours: what weavers' pages guess; geometry cannot give it",
    "crimp": "no sample of yours: geometry, and no measurement was found anywhere",
    "weft take-up": "no sample of yours: crimp as reckoned, less the draw-in",
    "relax width": "no sample of yours: one documented piece and common practice",
    "relax length": "no sample of yours: one documented piece and common practice",
    "shrink width": "no sample of yours: two washed rugs and common practice",
    "shrink length": "no sample of yours: two washed rugs and common practice",
    "open": "no word of yours on a sett: setts that weavers wove and judged",
    "close": "no word of yours on a sett: setts that weavers wove and judged",
}
"""What stands behind each figure before any sample."""

LEANS = {"mass": "lines", "thickness": "packing", "weft take-up": "crimp"}
"""Whose samples a figure lives on, where it has no effects of its own."""


def rests_on(belief: Belief, of: str, facts: ClothFacts) -> tuple[str, ...]:
    """Return what a figure rests on, the closest samples first.

    Examples
    --------
    >>> from weftline.core.geometry.threads import thread_of_numbers
    >>> from weftline.core.learning.belief import NO_SAMPLE
    >>> from weftline.core.learning.facts import ClothFacts
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> from weftline.core.yarn.numbers import yarn_numbers
    >>> warp, weft = (thread_of_numbers(yarn_numbers(said)) for said in ("310 tex cotton", "1000 tex wool"))
    >>> rests_on(NO_SAMPLE, "draw-in", ClothFacts(warp, weft, KROKBRAGD, 2.4, "firm"))
    ('no sample of yours: four documented pieces, and a form that was chosen',)
    """
    own = LEANS.get(of, of)
    return (*_samples(belief, own, of, facts), *_wider(belief, own, facts))


def _samples(belief: Belief, own: str, of: str, facts: ClothFacts) -> list[str]:
    def told(by: str, key: str) -> int:
        return belief.read.get(Effect(own, by, key), 0)

    cloth, yarn, weaver = told("cloth", facts.cloth_key), told("yarn", facts.yarn_key), told("weaver", facts.weaver)
    found = []
    if cloth:
        found.append(f"{_samples_word(cloth)} of this very cloth")
    if yarn > cloth:
        elsewhere = "in this yarn" if not cloth else "more in this yarn, at another sett or in another weave"
        found.append(f"{_samples_word(yarn - cloth)} {elsewhere}")
    rest = weaver - max(yarn, cloth)
    if rest > 0:
        found.append(f"{_samples_word(rest)} of yours in other {'yarns' if own in ('lines', 'packing') else 'cloths'}")
    level = told("level", "")
    if not found:
        found.append(f"{_samples_word(level)} of other weavers" if level else BEFORE[of])
    return found


def _samples_word(number: int) -> str:
    return f"{number} sample{'' if number == 1 else 's'}"


def _wider(belief: Belief, own: str, facts: ClothFacts) -> list[str]:
    """Return why a figure is wider than it need be."""
    found = []
    if own == "lines":
        if facts.beat is None:
            found.append("nobody says how hard you beat, so this is wider: taken as firm")
        read = belief.read.get(Effect("lines", "level", ""), 0)
        if read and not belief.read.get(Effect("lines", "loom", facts.loom), 0):
            found.append("no sample from this loom yet")
        if facts.technique.name == "own":
            found.append("a weave of your own: how it closes is reckoned from threading and sheds, never measured")
    if not facts.weft.is_wool and own in ("lines", "packing", "crimp"):
        found.append("this weft is no wool: nothing of it was compared with woven pieces")
    if facts.weft.tex_log_sd and own in ("lines", "packing"):
        found.append("the weft's weight is known by its wraps only: weigh some metres")
    return found
