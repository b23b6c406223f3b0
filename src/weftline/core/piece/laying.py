"""Where the strips of each section lie on the threaded ends.

In a piece of one section every strip has its own ``start`` in the repeat. Where several sections
share one warp, strips lie on the same threaded ends left to right with ``idle_after`` ends between
them, and their starts follow.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Finding, Severity, Where
from weftline.core.piece.names import section_name, strip_name
from weftline.errors import PieceError

if TYPE_CHECKING:
    from weftline.core.piece.values import Project, Section
    from weftline.core.weave.technique import Technique


@dataclass(frozen=True, slots=True)
class Lay:
    """Where one strip lies: its first end on the warp (from 0) and that end's place in the repeat (from 1)."""

    first_end: int
    start: int


def ends_taken(section: Section) -> int:
    """Return the threaded ends that a section's strips and idle ends take."""
    return sum(strip.ends + strip.idle_after for strip in section.strips)


def warp_ends(project: Project) -> tuple[int, list[Finding]]:
    """Return how many ends are threaded on shafts, and a finding for each section that takes another number."""
    ends = project.warp.ends or ends_taken(project.sections[0])
    findings = []
    for place, section in enumerate(project.sections):
        taken = ends_taken(section)
        if taken != ends:
            name = section_name(section, place)
            findings.append(
                Finding(
                    "ends-sum",
                    Severity.STOP,
                    f"{name} takes {taken} ends with those left idle; the warp has {ends} threaded.",
                    f"Change its strips or idle ends by {abs(ends - taken)}, or thread {taken} ends.",
                    Where(section=name),
                )
            )
    return ends, findings


def lay_strips(project: Project, technique: Technique, place: int, findings: list[Finding]) -> tuple[Lay, ...]:
    """Return the lay of each strip of a section; a start that contradicts the warp is added to the findings.

    Raises
    ------
    PieceError
        For a start beyond the repeat.
    """
    section = project.sections[place]
    repeat, shared = len(technique.threading), len(project.sections) > 1
    warp_start = project.sections[0].strips[0].start
    lays, first = [], 0
    for number, strip in enumerate(section.strips):
        if strip.start > repeat:
            raise PieceError(
                f"sections[{place}].strips[{number}].start",
                f"the repeat has {repeat} places, so the first end stands on 1 to {repeat}, not {strip.start}",
            )
        start = (warp_start - 1 + first) % repeat + 1 if shared else strip.start
        if shared and "start" in strip.model_fields_set and strip.start != start:
            findings.append(
                Finding(
                    "start-follows",
                    Severity.STOP,
                    f"This strip is written to start on place {strip.start} of the repeat, "
                    f"but on the threaded ends it lies on place {start}.",
                    "Take the start away, or change the idle ends before it.",
                    Where(section_name(section, place), strip_name(strip, number)),
                )
            )
        lays.append(Lay(first, start))
        first += strip.ends + strip.idle_after
    return tuple(lays)
