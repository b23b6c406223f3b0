"""What a piece's own cloth is foretold to be, beside what stands in its file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weftline.core.geometry.threads import stuffs_of
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.forecast import Forecast, forecast
from weftline.core.learning.next_sample import Strip
from weftline.core.plan.usual import usual_warp, usual_weft

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.learning.belief import Belief
    from weftline.core.piece.values import Loom, Project
    from weftline.core.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class Whatif:
    """What is changed in thought: the sett in ends per cm, the strands of a pick as a factor, how hard is beaten."""

    sett_per_cm: float | None = None
    strands: float = 1.0
    beat: str | None = None


def loom_key(loom: Loom) -> str:
    """Return what tells looms apart where a piece says no more than what they are."""
    parts = [loom.kind, loom.shed, loom.shafts, loom.reed_dents_per_10cm, loom.weaving_width_cm]
    return " ".join(f"{part:g}" if isinstance(part, float) else str(part) for part in parts if part is not None)


def facts_of(plan: Plan, section: int = 0, beat: str | None = None) -> ClothFacts | None:
    """Return the cloth of a section as learning needs it; None where warp or weft have no size that is known.

    Parameters
    ----------
    plan : Plan
    section : int
        From 0.
    beat : str, optional
        ``soft``, ``firm`` or ``hard``, as the weaver means to beat; the file does not say.
    """
    cloth = plan.cloth
    stuffs = stuffs_of(cloth.project.yarns)
    warp, weft = usual_warp(cloth, stuffs), usual_weft(cloth, cloth.sections[section], stuffs)
    if warp is None or weft is None:
        return None
    loom = cloth.project.loom
    return ClothFacts(
        warp=warp,
        weft=weft[0],
        technique=cloth.technique,
        sett_per_cm=plan.settings.sett_per_mm.value * 10,
        beat=beat,
        loom=loom_key(loom) or "loom",
        loom_kind=loom.kind,
    )


def first_facts(plan: Plan, beat: str | None = None) -> ClothFacts | None:
    """Return the cloth of a piece's first section that has lines."""
    for place, section in enumerate(plan.sections):
        if section.lines:
            return facts_of(plan, place, beat)
    return None


ASIDE = 0.85
"""A sett to try beside the piece's own: closer or wider by this factor."""

LONG_MM = (50.0, 100.0)
"""How long strips are that might be woven to learn."""


def strips_to_try(facts: ClothFacts, named: Callable[[float, float], str] = lambda sett, mm: "") -> list[Strip]:
    """Return the strips of a cloth that might be woven next: at its own sett, a closer and a wider one.

    Parameters
    ----------
    facts : ClothFacts
    named : callable
        What a strip is called, from its sett per cm and its length in mm.
    """
    setts = (facts.sett_per_cm, facts.sett_per_cm * ASIDE, facts.sett_per_cm / ASIDE)
    return [
        Strip(named(sett, mm), replace(facts, sett_per_cm=sett), long_mm=mm, read=("count",))
        for sett in setts
        for mm in LONG_MM
    ]


def foretold(facts: ClothFacts, belief: Belief, other: Whatif = Whatif()) -> Forecast:
    """Return what is foretold of a cloth, or of the same cloth with something changed in thought."""
    weft = facts.weft
    if other.strands != 1.0:
        diameter = weft.diameter_mm
        thicker = other.strands**0.5
        weft = replace(
            weft,
            tex=weft.tex * other.strands,
            diameter_mm=replace(
                diameter,
                value=diameter.value * thicker,
                low=None if diameter.low is None else diameter.low * thicker,
                high=None if diameter.high is None else diameter.high * thicker,
            ),
        )
    changed = replace(
        facts, weft=weft, sett_per_cm=other.sett_per_cm or facts.sett_per_cm, beat=other.beat or facts.beat
    )
    return forecast(changed, belief)


def as_foretold(plan: Plan, facts: ClothFacts, belief: Belief, other: Whatif) -> Project:
    """Return the piece with the sett that is asked, and beat and draw-in as they are foretold: to look at, not to keep."""
    found = foretold(facts, belief, other)
    project = plan.project
    sett = other.sett_per_cm or facts.sett_per_cm
    drawn = min(max(found.draw_in.value.value, 0.0), 0.5)
    beat = {"lines_per_cm": found.lines_per_cm.value.value, "basis": "computed"}
    return project.model_copy(
        update={
            "warp": project.warp.model_copy(update={"sett_per_cm": sett}),
            "beat": project.beat.model_copy(update=beat),
            "allowances": project.allowances.model_copy(update={"draw_in": drawn}),
        }
    )
