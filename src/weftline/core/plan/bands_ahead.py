"""The bands that lie ahead of the fell, and a piece with some of them changed: nothing that is woven may change."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.cloth import expand
from weftline.core.piece.expansion import expand_band
from weftline.core.piece.settings import line_height
from weftline.core.piece.written import LineReader
from weftline.core.weave.line import read_line
from weftline.errors import PieceError

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.piece.values import Band, Project
    from weftline.core.weave.picks import Winding

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BandAhead:
    """A band of which at least one line is still to be woven.

    Parameters
    ----------
    place : int
        In its strip, from 0.
    first, last : int
        Its lines in the piece, from 0.
    is_begun : bool
        Whether some of its lines are woven.
    height_mm : float
        Planned height of the whole band.
    line_mm : float
        Planned height of one of its lines.
    """

    place: int
    first: int
    last: int
    is_begun: bool
    height_mm: float
    line_mm: float


def bands_ahead(section: SectionCloth, woven: int) -> list[BandAhead]:
    """Return the bands of a section's longest strip that are not all woven, from the fell on."""
    picks = max((strip.weaving.picks for strip in section.strips), key=lambda one: one.height_mm)
    found = []
    for place in np.unique(picks.band[picks.line >= woven]).tolist():
        mine = picks.band == place
        lines, height = picks.line[mine], float(picks.step_mm[mine].sum())
        first, last = int(lines[0]), int(lines[-1])
        found.append(BandAhead(place, first, last, first < woven, height, height / (last - first + 1)))
    return found


def with_bands(project: Project, section: int, changed: Callable[[int, Band], tuple[Band, ...]]) -> Project:
    """Return the piece with every band of a section, in every strip, put through ``changed`` by its place."""
    one = project.sections[section]
    strips = tuple(
        strip.model_copy(
            update={"bands": tuple(new for place, band in enumerate(strip.bands) for new in changed(place, band))}
        )
        for strip in one.strips
    )
    sections = list(project.sections)
    sections[section] = one.model_copy(update={"strips": strips})
    return project.model_copy(update={"sections": tuple(sections)})


def band_mm(cloth: Cloth, band: Band) -> float:
    """Return the planned height of one band by itself."""
    project = cloth.project
    whole = line_height(project.beat.lines_per_cm, project.beat.basis).value
    height = whole if band.lines_per_cm is None else 10.0 / band.lines_per_cm
    read = LineReader(project, cloth.technique).read(band, "band")
    return expand_band(read, band, 0, height, "band", None)[0].height_mm


def expanded_alike(before: Cloth, project: Project, section: int, woven: int) -> Cloth | None:
    """Return a changed piece expanded; None where it cannot be woven on from here.

    It can where every pick of the lines that are woven is as it was, the strips still share their sheds, and nothing
    new was found amiss.
    """
    try:
        cloth = expand(project)
    except PieceError:
        return None
    old, new = before.sections[section], cloth.sections[section]
    if len(cloth.findings) > len(before.findings) or (shares_sheds(old) and not shares_sheds(new)):
        return None
    return cloth if picks_below(before, section, woven) == picks_below(cloth, section, woven) else None


def picks_below(cloth: Cloth, section: int, woven: int) -> list[list[tuple[int, int, Winding]]]:
    """Return line, shed and winding of every pick of the first lines, strip by strip."""
    found: list[list[tuple[int, int, Winding]]] = []
    for strip in cloth.sections[section].strips:
        picks = strip.weaving.picks
        count = int(np.searchsorted(picks.line, woven))
        wound = (cloth.windings[place] for place in picks.wound[:count].tolist())
        found.append(list(zip(picks.line[:count].tolist(), picks.shed[:count].tolist(), wound, strict=True)))
    return found


def shares_sheds(section: SectionCloth) -> bool:
    """Return whether all strips use the same sheds as far as they go."""
    longest = max((strip.weaving.picks.shed for strip in section.strips), key=len)
    return all(
        np.array_equal(strip.weaving.picks.shed, longest[: len(strip.weaving.picks)]) for strip in section.strips
    )


def parted(cloth: Cloth, section: int, woven: int) -> Cloth:
    """Return the piece with the band at the fell parted, the cloth itself unchanged.

    It is parted where its next time begins; a band without mirror, in its last time, at the fell. Other bands in their
    last time, and lines mirrored with a single joint, cannot be parted; the piece is then as it was.
    """
    ahead = bands_ahead(cloth.sections[section], woven)
    if not ahead or not ahead[0].is_begun:
        return cloth
    here = ahead[0]

    def part(place: int, band: Band) -> tuple[Band, ...]:
        times = _times_begun(cloth, band, woven - here.first)
        if place != here.place:
            return (band,)
        if times >= band.times:
            return _cut(band, woven - here.first)
        meets = band.mirror == "picks" and (band.joint or band.middle) == "single"
        rest = {"times": band.times - times, "resume": meets}
        return band.model_copy(update={"times": times}), band.model_copy(update=rest)

    new = expanded_alike(cloth, with_bands(cloth.project, section, part), section, here.last + 1)
    return cloth if new is None else new


def _cut(band: Band, woven: int) -> tuple[Band, ...]:
    """Return a band without mirror parted after so many of its lines, which lie in its last time."""
    read = [read_line(text) for text in band.lines]
    left = woven - (band.times - 1) * sum(line.times for line in read)
    if band.mirror != "none" or left <= 0:
        return (band,)
    below, above = [], []
    for line in read:
        count = min(line.times, max(left, 0))
        left -= line.times
        below += [replace(line, times=count).text()] if count else []
        above += [replace(line, times=line.times - count).text()] if count < line.times else []
    if not above:
        return (band,)
    begun = {"times": 1, "lines": tuple(below), "resume": band.resume and band.times == 1}
    rest = band.model_copy(update={"times": 1, "lines": tuple(above), "resume": False})
    whole = (band.model_copy(update={"times": band.times - 1}),) if band.times > 1 else ()
    return (*whole, band.model_copy(update=begun), rest)


def _times_begun(cloth: Cloth, band: Band, woven: int) -> int:
    """Return how many times of a band are woven or begun after so many of its lines."""
    if band.times == 1:
        return 1
    one, two = (band_mm(cloth, band.model_copy(update={"times": times, "resume": False})) for times in (1, 2))
    line = band_mm(cloth, band.model_copy(update={"lines": band.lines[:1], "times": 1, "mirror": "none"}))
    line /= read_line(band.lines[0]).times
    return 1 + max(0, ceil((woven - one / line) / ((two - one) / line) - 1e-9))


def repeated(band: Band, more: int) -> Band | None:
    """Return a band woven so many times more, or fewer; None where nothing would be left."""
    return band.model_copy(update={"times": band.times + more}) if band.times + more >= 1 else None


def lengthened(band: Band, more: int) -> Band | None:
    """Return a band with more or fewer lines: of its written lines the one woven most often in a row, plain ones first.

    None where no line could be left out without being lost.
    """
    read = [read_line(text) for text in band.lines]
    plain = [len(set(one.tokens)) == 1 for one in read]
    place = max(range(len(read)), key=lambda at: (read[at].times, plain[at]))
    times = read[place].times + more
    if times < 1:
        return None
    lines = list(band.lines)
    tokens = " ".join([*read[place].tokens, *(["back"] if read[place].back else [])])
    lines[place] = tokens if times == 1 else f"{tokens} *{times}"
    return band.model_copy(update={"lines": tuple(lines)})
