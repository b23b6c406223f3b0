"""What a piece's own cloth is foretold to be, beside what stands in its file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weftline.core.geometry.threads import stuffs_of
from weftline.core.learning import expected
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.forecast import Forecast, forecast
from weftline.core.learning.next_sample import Question, Strip
from weftline.core.plan.usual import usual_warp, usual_weft

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.findings import Quantity
    from weftline.core.learning.belief import Belief
    from weftline.core.piece.values import Loom, Project
    from weftline.core.plan.plan import Plan, SectionFacts


@dataclass(frozen=True, slots=True)
class Whatif:
    """What is changed in thought: the sett in ends per cm, the strands of a pick as a factor, how hard is beaten."""

    sett_per_cm: float | None = None
    strands: float = 1.0
    beat: str | None = None


AS_IT_IS = Whatif()


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


def in_thought(facts: ClothFacts, other: Whatif) -> ClothFacts:
    """Return a cloth with something changed in thought."""
    weft = facts.weft
    if other.strands != 1.0:
        thicker = other.strands**0.5
        diameter = replace(weft.diameter_mm * thicker, basis=weft.diameter_mm.basis)
        weft = replace(weft, tex=weft.tex * other.strands, diameter_mm=diameter)
    return replace(facts, weft=weft, sett_per_cm=other.sett_per_cm or facts.sett_per_cm, beat=other.beat or facts.beat)


@dataclass(frozen=True, eq=False)
class Foretelling:
    """What is foretold of a piece, as it is or with something changed in thought, and what that makes of it.

    Parameters
    ----------
    plan : Plan
    facts : ClothFacts
        Of its first section that has lines, as it is.
    asked : ClothFacts
        The same with what is changed in thought.
    belief : Belief
    forecast : Forecast
        Of the cloth that is asked.
    """

    plan: Plan
    facts: ClothFacts
    asked: ClothFacts
    belief: Belief
    forecast: Forecast

    @property
    def is_asked(self) -> bool:
        """Whether anything is changed in thought."""
        return self.asked != self.facts

    @property
    def section(self) -> SectionFacts:
        """The section that is spoken of."""
        return next(one for one in self.plan.sections if one.lines)

    @property
    def length_mm(self) -> Quantity:
        """Its lines on the loom."""
        return self.section.lines * 10.0 / self.forecast.lines_per_cm.value

    @property
    def width_mm(self) -> Quantity:
        """Its ends on the loom, gaps left out."""
        return self.section.ends * self.pitch_mm

    @property
    def pitch_mm(self) -> Quantity:
        """From end to end in the cloth on the loom."""
        return 10.0 / self.asked.sett_per_cm * (1.0 - self.forecast.draw_in.value)

    @property
    def square_lines(self) -> Quantity:
        """Lines that are as high as one repeat of the threading is wide."""
        return self.pitch_mm * (len(self.asked.technique.threading) / 10.0) * self.forecast.lines_per_cm.value

    def question(self, named: Callable[[float, float], str] = lambda sett, mm: "") -> Question:
        """Return what might be woven next to know the lines of the piece's own cloth better."""
        return Question(self.belief, expected.lines(self.facts), strips_to_try(self.facts, named))

    def as_project(self) -> Project:
        """Return the piece with the sett that is asked, and beat and draw-in as foretold: to look at, not to keep."""
        project, found = self.plan.project, self.forecast
        beat = {"lines_per_cm": found.lines_per_cm.value.value, "basis": "computed"}
        drawn = min(max(found.draw_in.value.value, 0.0), MOST_DRAWN)
        return project.model_copy(
            update={
                "warp": project.warp.model_copy(update={"sett_per_cm": self.asked.sett_per_cm}),
                "beat": project.beat.model_copy(update=beat),
                "allowances": project.allowances.model_copy(update={"draw_in": drawn}),
            }
        )


MOST_DRAWN = 0.5
"""No cloth that is drawn narrows more."""


def foretell(plan: Plan, belief: Belief, other: Whatif = AS_IT_IS) -> Foretelling | None:
    """Return what is foretold of a piece; None where the sizes of its warp and of most of its weft are not known."""
    facts = first_facts(plan)
    if facts is None:
        return None
    asked = in_thought(facts, other)
    return Foretelling(plan, facts, asked, belief, forecast(asked, belief))
