"""The whole cloth of a piece: every section, every strip, every pick."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Finding, Severity, Where, joined
from weftline.core.piece.expansion import expand_band, too_many_picks
from weftline.core.piece.laying import Lay, ends_taken, lay_strips, warp_ends
from weftline.core.piece.names import band_name, section_name, strip_name
from weftline.core.piece.settings import line_height
from weftline.core.piece.values import MAX_ENDS, MAX_PICKS
from weftline.core.piece.written import LineReader, check_yarns, technique_of
from weftline.core.weave.picks import Picks, Weaving, Winding, join_picks
from weftline.core.weave.threading import thread
from weftline.errors import PieceTooLargeError

if TYPE_CHECKING:
    from weftline.core.piece.values import Project, Section, Strip
    from weftline.core.weave.technique import Technique


@dataclass(frozen=True, eq=False)
class StripCloth:
    """One strip as woven once.

    Parameters
    ----------
    written : Strip
        What it comes from.
    name : str
        As written, or ``Strip 2``.
    bands : tuple of str
        Names of its bands, as written or ``Band 3``.
    lay : Lay
        Where it lies on the threaded ends.
    weaving : Weaving
        Its ends and picks.
    """

    written: Strip
    name: str
    bands: tuple[str, ...]
    lay: Lay
    weaving: Weaving


@dataclass(frozen=True, eq=False)
class SectionCloth:
    """One section: its strips side by side, woven ``written.pieces`` times."""

    written: Section
    name: str
    strips: tuple[StripCloth, ...]
    height_basis: Basis

    @property
    def picks(self) -> Picks:
        """The picks of the first strip; all strips of a section share their sheds."""
        return self.strips[0].weaving.picks


@dataclass(frozen=True, eq=False)
class Cloth:
    """A piece expanded: exact, complete and without any picture.

    Parameters
    ----------
    project : Project
    technique : Technique
    sections : tuple of SectionCloth
        In weaving order.
    windings : tuple of Winding
        Everything that its shuttles carry; every strip's picks point into it.
    warp_ends : int
        Ends threaded on shafts.
    findings : tuple of Finding
        What was seen while expanding: resumes without effect, sums of ends that do not fit.
    """

    project: Project
    technique: Technique
    sections: tuple[SectionCloth, ...]
    windings: tuple[Winding, ...]
    warp_ends: int
    findings: tuple[Finding, ...]


def expand(project: Project) -> Cloth:
    """Expand a project to its cloth.

    Raises
    ------
    PieceError
        For lines, sheds, yarns or techniques that cannot be followed.
    PieceTooLargeError
        Beyond 4,000 ends or 200,000 picks.
    """
    check_yarns(project)
    technique = technique_of(project)
    reader = LineReader(project, technique)
    ends, findings = warp_ends(project)
    most = max(ends, *(ends_taken(section) for section in project.sections))
    if most > MAX_ENDS:
        raise PieceTooLargeError("sections", f"a warp has at most {MAX_ENDS:,} ends, this one {most:,}")
    expanded: list[tuple[list[Picks], ...]] = []
    picks_so_far = 0
    for place, section in enumerate(project.sections):
        strips = []
        for number, strip in enumerate(section.strips):
            path = f"sections[{place}].strips[{number}]"
            where = Where(section_name(section, place), strip_name(strip, number))
            parts = _strip_picks(project, reader, strip, path, where, findings, MAX_PICKS - picks_so_far)
            strips.append(parts)
        picks_so_far += max(sum(len(part) for part in parts) for parts in strips)
        expanded.append(tuple(strips))
    windings = tuple(reader.windings)
    sections = tuple(
        _section(project, technique, section, place, strips, windings, findings)
        for place, (section, strips) in enumerate(zip(project.sections, expanded, strict=True))
    )
    return Cloth(project, technique, sections, windings, ends, tuple(findings))


def _section(
    project: Project,
    technique: Technique,
    section: Section,
    place: int,
    strips: tuple[list[Picks], ...],
    windings: tuple[Winding, ...],
    findings: list[Finding],
) -> SectionCloth:
    lays = lay_strips(project, technique, place, findings)
    cloths = tuple(
        StripCloth(
            strip,
            strip_name(strip, number),
            tuple(band_name(band, index) for index, band in enumerate(strip.bands)),
            lay,
            Weaving(thread(technique.threading, strip.ends, lay.start), join_picks(parts), windings),
        )
        for number, (strip, lay, parts) in enumerate(zip(section.strips, lays, strips, strict=True))
    )
    return SectionCloth(section, section_name(section, place), cloths, _height_basis(project, section))


def _height_basis(project: Project, section: Section) -> Basis:
    whole = line_height(project.beat.lines_per_cm, project.beat.basis).basis
    own = [Basis.LABEL if band.lines_per_cm is not None else whole for band in section.strips[0].bands]
    return joined(*own)


def _strip_picks(
    project: Project,
    reader: LineReader,
    strip: Strip,
    path: str,
    where: Where,
    findings: list[Finding],
    allowed: int,
) -> list[Picks]:
    parts: list[Picks] = []
    shed_before: int | None = None
    whole = line_height(project.beat.lines_per_cm, project.beat.basis).value
    for index, band in enumerate(strip.bands):
        band_path = f"{path}.bands[{index}]"
        height = whole if band.lines_per_cm is None else 10.0 / band.lines_per_cm
        picks, resumed = expand_band(reader.read(band, band_path), band, index, height, band_path, shed_before)
        if band.resume and not resumed:
            findings.append(_idle_resume(where, band_name(band, index)))
        parts.append(picks)
        allowed -= len(picks)
        if allowed < 0:
            raise too_many_picks(band_path, MAX_PICKS - allowed)
        if len(picks):
            shed_before = int(picks.shed[-1])
    return parts


def _idle_resume(where: Where, band: str) -> Finding:
    return Finding(
        "resume-idle",
        Severity.NOTE,
        f"{band} is to resume at its second pick, but the pick before it lies in another shed.",
        "Nothing was dropped; take the resume away, or change the pick before the band.",
        Where(where.section, where.strip, band),
    )
