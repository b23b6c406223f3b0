"""The width of a section: ends that come nearest to a wish, on one loom or in two widths."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING

from weftline.core.compose.ends import StripEnds, balanced_rests, fitting_counts, share_ends
from weftline.core.compose.wish import with_section
from weftline.core.geometry.sizes import strip_widths
from weftline.core.piece.cloth import expand
from weftline.core.piece.laying import ends_taken
from weftline.core.piece.settings import settings_of
from weftline.core.piece.values import MAX_ENDS

if TYPE_CHECKING:
    from weftline.core.piece.values import Project, Section, Strip


@dataclass(frozen=True, slots=True)
class Across:
    """What the width of a section rests on, mm.

    Parameters
    ----------
    repeat : tuple of int
        Shafts of one repeat of the threading.
    strips : tuple of StripEnds
    pitch_in_reed_mm, pitch_finished_mm : float
        Width of one end.
    gap_mm, open_gap_mm : float
        Gaps on the loom, and those that are still there in the finished cloth.
    """

    repeat: tuple[int, ...]
    strips: tuple[StripEnds, ...]
    pitch_in_reed_mm: float
    pitch_finished_mm: float
    gap_mm: float
    open_gap_mm: float

    @property
    def ends(self) -> int:
        """Ends of all strips as they are."""
        return sum(strip.now for strip in self.strips)

    @property
    def has_point(self) -> bool:
        """Whether the threading reads the same from both sides anywhere."""
        return bool(balanced_rests(self.repeat, 1))

    def finished_mm(self, ends: int) -> float:
        """Return the finished width of so many ends."""
        return ends * self.pitch_finished_mm + self.open_gap_mm

    def in_reed_mm(self, ends: int) -> float:
        """Return the width in the reed of so many ends."""
        return ends * self.pitch_in_reed_mm + self.gap_mm

    def ends_for(self, finished_mm: float) -> float:
        """Return how many ends would be just as wide, as a share of ends too."""
        return (finished_mm - self.open_gap_mm) / self.pitch_finished_mm

    def most_ends(self, loom_mm: float | None, room: int) -> int:
        """Return how many ends a loom and a warp take."""
        if loom_mm is None:
            return room
        return min(room, floor((loom_mm - self.gap_mm) / self.pitch_in_reed_mm + 1e-6))

    def shared(self, wanted: float, most: int) -> tuple[int, ...] | None:
        """Return the ends of each strip, together nearest to a number; None where none is few enough."""
        return share_ends(self.repeat, self.strips, wanted, most)


def across_of(project: Project, place: int) -> Across:
    """Return what the width of a section rests on."""
    cloth = expand(project)
    section = project.sections[place]
    widths = strip_widths(1, settings_of(project))
    between = section.strips[:-1]
    return Across(
        repeat=cloth.technique.threading,
        strips=tuple(StripEnds(strip.lay.start, strip.written.ends) for strip in cloth.sections[place].strips),
        pitch_in_reed_mm=widths.in_reed_mm.value,
        pitch_finished_mm=widths.finished_mm.value,
        gap_mm=sum(strip.gap_after_cm for strip in between) * 10.0,
        open_gap_mm=sum(strip.gap_after_cm for strip in between if not strip.seam_after) * 10.0,
    )


def idle_room(project: Project, place: int) -> int:
    """Return how many ends the strips of a section may have beside those that it leaves idle."""
    section = project.sections[place]
    idle = sum(strip.idle_after for strip in section.strips[:-1])
    spare = len(section.strips) * 64 if len(project.sections) > 1 else 0
    return max(1, MAX_ENDS - idle - spare)


def with_ends(project: Project, place: int, ends: tuple[int, ...], repeat: int) -> Project:
    """Return the project with other ends in one section; other sections leave idle what they do not need.

    Where several sections share the warp, ends left idle between strips are added so that every
    strip keeps its place in the repeat.
    """
    section = project.sections[place]
    shared = len(project.sections) > 1
    last = len(section.strips) - 1
    strips = []
    for number, (strip, count) in enumerate(zip(section.strips, ends, strict=True)):
        changes: dict[str, int] = {} if strip.ends == count else {"ends": count}
        if shared and number < last and (strip.ends - count) % repeat:
            changes["idle_after"] = strip.idle_after + (strip.ends - count) % repeat
        strips.append(strip.model_copy(update=changes) if changes else strip)
    found = with_section(project, place, section.model_copy(update={"strips": tuple(strips)}))
    return _fill_warp(found) if shared else _warp_ends(found, ends_taken(found.sections[0]))


def _warp_ends(project: Project, ends: int) -> Project:
    if project.warp.ends is None or project.warp.ends == ends:
        return project
    return project.model_copy(update={"warp": project.warp.model_copy(update={"ends": ends})})


def _needed(section: Section) -> int:
    return ends_taken(section) - section.strips[-1].idle_after


def _fill_warp(project: Project) -> Project:
    """Return the project with every section taking the whole warp: the last strip leaves idle what is over."""
    whole = max(_needed(section) for section in project.sections)
    for place, section in enumerate(project.sections):
        idle = whole - _needed(section)
        if section.strips[-1].idle_after != idle:
            last = section.strips[-1].model_copy(update={"idle_after": idle})
            section = section.model_copy(update={"strips": (*section.strips[:-1], last)})
            project = with_section(project, place, section)
    return _warp_ends(project, whole)


@dataclass(frozen=True, slots=True)
class Halves:
    """Ends of two widths that are sewn together: the left one in whole repeats, the right one with what balances."""

    left: int
    right: int

    @property
    def ends(self) -> int:
        """Ends of both."""
        return self.left + self.right


def halves_for(across: Across, wanted: float, most: int) -> Halves | None:
    """Return two widths that are together nearest to a number of ends, each of at most so many; None where none fit.

    The left width takes whole repeats, so that the right one goes on where it stops: read across the
    seam, the threading is that of one cloth. They are as equal as whole repeats let them be.
    """
    repeat, (strip,) = len(across.repeat), across.strips
    found: list[tuple[float, int, Halves]] = []
    for count in fitting_counts(across.repeat, strip.start, max(strip.now, repeat)):
        middle = count / (2 * repeat)
        for left in {floor(middle) * repeat, floor(middle + 1) * repeat}:
            right = count - left
            if left >= repeat and repeat <= right <= most and left <= most:
                found.append((abs(count - wanted), abs(left - right), Halves(left, right)))
    return min(found, key=lambda one: one[:2])[2] if found else None


def in_halves(project: Project, halves: Halves) -> Project:
    """Return a piece of one strip as two sections, one for each width, on the same threaded ends."""
    (section,) = project.sections
    (strip,) = section.strips
    name = section.name or strip.name or "Section 1"
    whole = max(halves.left, halves.right)

    def width(which: str, ends: int) -> Section:
        idle = whole - ends
        changes: dict[str, object] = {"ends": ends, "name": _named(name, which)}
        if idle or strip.idle_after:
            changes["idle_after"] = idle
        return section.model_copy(
            update={"name": _named(name, which), "strips": (_without_start(strip, which).model_copy(update=changes),)}
        )

    sections = (width("left", halves.left), width("right", halves.right))
    warp = project.warp.model_copy(update={"ends": whole})
    return project.model_copy(update={"sections": sections, "warp": warp})


def _named(name: str, which: str) -> str:
    return f"{name[:180]}, {which} width"


def _without_start(strip: Strip, which: str) -> Strip:
    """Return the strip; the right width's start follows from the left one's, for they share the threaded ends."""
    if which == "left":
        return strip
    return type(strip).model_construct(
        _fields_set=strip.model_fields_set - {"start"},
        **{name: getattr(strip, name) for name in type(strip).model_fields if name != "start"},
    )
