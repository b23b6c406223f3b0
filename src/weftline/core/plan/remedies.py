"""What can be done when a piece will not end where it should: up to three remedies, each with where it leads.

Only what lies ahead of the fell changes. Four ways are looked at: a band repeated more or fewer times, lines more or
fewer in the bands to come, another beat, one strand more or fewer in every pick. Of each way the best is kept, if
it does better than going on, and the three that lead nearest, surely, are told.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.piece.cloth import expand
from weftline.core.plan.bands_ahead import bands_ahead, expanded_alike
from weftline.core.plan.ways import WAYS
from weftline.core.weaving.length import Ending, ending, misses
from weftline.core.weaving.measures import Course, line_heights

if TYPE_CHECKING:
    from weftline.core.findings import Quantity
    from weftline.core.learning.belief import Belief
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.values import Project
    from weftline.core.plan.ways import Change
    from weftline.core.weaving.measures import Aim, Finish, Habit, Measure

MOST = 3
"""So many remedies are told."""

TRIED = 6
"""Of each way so many changes are expanded, the most promising first, until one can be woven on from here."""


@dataclass(frozen=True)
class Underway:
    """A piece in the loom.

    Parameters
    ----------
    cloth : Cloth
    section : int
        The one that is being woven, from 0.
    woven : int
        Lines woven of the piece in the loom.
    measures : tuple of Measure
    habit : Habit
    finish : Finish
    aims : tuple of Aim
        Where the beat was changed on purpose.
    piece : int
        Which of the section's pieces, from 1.
    """

    cloth: Cloth
    section: int
    woven: int
    measures: tuple[Measure, ...]
    habit: Habit
    finish: Finish
    aims: tuple[Aim, ...] = ()
    piece: int = 1

    @cached_property
    def course(self) -> Course:
        """Its lines."""
        return _course(self.cloth, self.section, self.aims)

    @cached_property
    def ending(self) -> Ending:
        """Where it will end if nothing is changed."""
        return ending(self.course, self.measures, self.habit, self.finish, self.woven)


@dataclass(frozen=True, slots=True)
class Remedy:
    """One thing to do, and where it leads.

    Parameters
    ----------
    way : str
        ``repeats``, ``lines``, ``beat`` or ``yarn``.
    sentence : str
        For the weaver.
    project : Project
        The piece with it done; what is woven is as it was.
    ending : Ending
        Where it then ends.
    aims : tuple of Aim
        Where the beat is changed on purpose, those before it too; ``Underway`` wants them from then on.
    """

    way: str
    sentence: str
    project: Project
    ending: Ending
    aims: tuple[Aim, ...]

    @property
    def end_mm(self) -> Quantity:
        """Woven length with its 90 % interval."""
        return self.ending.end_mm


@dataclass(frozen=True, slots=True)
class LengthWarning:
    """A piece that will not end where it should.

    Parameters
    ----------
    sentence : str
    miss_mm : float
        Woven length beyond the target; less than 0 where it ends short.
    remedies : tuple of Remedy
        At most three, the one that leads nearest first.
    """

    sentence: str
    miss_mm: float
    remedies: tuple[Remedy, ...]


def warning(at: Underway, target_mm: float, belief: Belief = NO_SAMPLE) -> LengthWarning | None:
    """Return the warning that a piece asks for at a line's end; None while its interval holds the target.

    Parameters
    ----------
    at : Underway
    target_mm : float
        Woven length wanted, of slack cloth; ``Finish.woven_for`` tells it from the finished length.
    belief : Belief
        What samples taught, for the height of lines in another weft.
    """
    miss = misses(at.ending, target_mm)
    if miss is None:
        return None
    return LengthWarning(_lead(at, miss), miss, remedies(at, target_mm, belief))


def remedies(at: Underway, target_mm: float, belief: Belief = NO_SAMPLE) -> tuple[Remedy, ...]:
    """Return up to three things to do so that a piece ends at its target, the best first.

    Notes
    -----
    A section woven several times is changed only while its first piece is in the loom, and all its pieces with it:
    later changes would change what was cut off already.
    """
    if at.piece > 1 or not bands_ahead(at.cloth.sections[at.section], at.woven):
        return ()
    found = [remedy for way in WAYS if (remedy := _best(at, way, target_mm, belief)) is not None]
    going_on = _loss(at.ending, target_mm)
    better = [one for one in found if _loss(one.ending, target_mm) < going_on]
    return tuple(sorted(better, key=lambda one: _loss(one.ending, target_mm))[:MOST])


def _loss(end: Ending, target_mm: float) -> float:
    """Return how far off an end may be: its miss, and half its interval."""
    wide = (end.end_mm.high or 0.0) - (end.end_mm.low or 0.0)
    return abs(end.end_mm.value - target_mm) + wide / 2


def _best(at: Underway, way: str, target_mm: float, belief: Belief) -> Remedy | None:
    """Return the change of one way that leads nearest, of those that can be woven on from here."""
    wanted = target_mm - (0.0 if at.ending.woven_mm is None else at.ending.woven_mm.value)
    found = _nearest(at, way, wanted, belief)
    if way == "beat" and found is not None:
        off = target_mm - found.end_mm.value
        found = _nearest(at, way, wanted + off, belief) or found
    if found is None:
        return None
    lead = _lead(at, at.ending.end_mm.value - target_mm)
    return replace(found, sentence=f"{lead} {found.sentence}")


def _nearest(at: Underway, way: str, ahead_mm: float, belief: Belief) -> Remedy | None:
    changes = WAYS[way](at.cloth, at.section, at.woven, (ahead_mm, at.ending.ahead), belief)
    changes.sort(key=lambda change: abs(change.ahead_mm - ahead_mm))
    for change in changes[:TRIED]:
        cloth = expanded_alike(at.cloth, change.changed(), at.section, at.woven)
        if cloth is None:
            continue
        aims = _aims(at, change, cloth)
        course = _course(cloth, at.section, aims)
        found = ending(course, at.measures, at.habit, at.finish, at.woven)
        return Remedy(way, change.sentence, cloth.project, found, aims)
    return None


def _aims(at: Underway, change: Change, cloth: Cloth) -> tuple[Aim, ...]:
    """Return the aims of a changed piece: those ahead move with their lines, or give way to a new one."""
    if change.aim is not None:
        return (*(aim for aim in at.aims if aim.from_line < change.aim.from_line), change.aim)
    more = len(line_heights(cloth.sections[at.section])) - at.course.lines
    return tuple(
        replace(aim, from_line=aim.from_line + more) if aim.from_line > change.from_line else aim for aim in at.aims
    )


def _course(cloth: Cloth, section: int, aims: tuple[Aim, ...]) -> Course:
    return Course(line_heights(cloth.sections[section]), aims)


def _lead(at: Underway, miss_mm: float) -> str:
    inches = at.cloth.project.units == "imperial"
    size = abs(miss_mm) / (25.4 if inches else 10)
    said = f"{size:.0f}" if size >= 3 else f"{size:.1f}".removesuffix(".0")
    return f"At this beat the piece ends {said} {'in' if inches else 'cm'} {'short' if miss_mm < 0 else 'too long'}."


def underway_of(project: Project, at: Underway, aims: tuple[Aim, ...]) -> Underway:
    """Return the same weaving by a changed plan, with the aims that its remedy gave it."""
    return replace(at, cloth=expand(project), aims=aims)
