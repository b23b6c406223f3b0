"""Another sett, beat or yarn: the numbers that follow, and lines that keep motifs in proportion."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.compose.lines import scale_lines
from weftline.core.compose.stretch import CannotGrowError, check_alike
from weftline.core.compose.wish import BEATS, with_section
from weftline.core.compose.words import density_words
from weftline.core.geometry.physics import free_height_mm
from weftline.core.geometry.sizes import strip_widths
from weftline.core.geometry.threads import stuffs_of
from weftline.core.piece.cloth import expand
from weftline.core.piece.names import section_name, yarn_name
from weftline.core.piece.settings import settings_of
from weftline.core.piece.written import listed

if TYPE_CHECKING:
    from weftline.core.compose.work import Work
    from weftline.core.piece.values import Beat, Project, Yarn

SAME = 1e-9


def change_threads(work: Work) -> None:
    """Take on new yarns, sett and beat, and let lines keep motifs in proportion.

    Notes
    -----
    Where a weft changes and no beat is wished, lines per cm are expected to go with the height that
    the wool of a line needs by itself (``geometry.physics.free_height_mm``), the mean over all picks.
    """
    wish = work.wish
    lines = wish.lines_per_cm
    if wish.yarns:
        lines = _take_yarns(work, lines)
    if wish.sett_per_cm is not None:
        _take_sett(work, wish.sett_per_cm)
    if lines is not None:
        _take_beat(work, lines, expected=wish.lines_per_cm is None)
    _keep_proportion(work)


def _take_yarns(work: Work, lines: float | None) -> float | None:
    """Take on the yarns; return the lines per cm to be expected of them where none are wished."""
    before = work.project
    work.project = before.model_copy(update={"yarns": {**before.yarns, **work.wish.yarns}})
    for key, yarn in work.wish.yarns.items():
        was, now = _label(before.yarns[key], key), _label(yarn, key)
        work.say(f"Yarn {key}: {now} in place of {was}.")
    if lines is not None:
        return lines
    old, new = _mean_height(before), _mean_height(work.project)
    if old is None or new is None:
        work.refuse(
            "The size of a weft is not known, so how many lines of the new yarns go into a centimetre cannot be told; "
            "weave a sample, or give the lines per cm."
        )
        return None
    if abs(new / old - 1) < SAME:
        return None
    return min(max(10.0 / settings_of(before).line_height_mm.value * old / new, BEATS[0]), BEATS[1])


def _label(yarn: Yarn, key: str) -> str:
    size = yarn.size or (f"{yarn.m_per_kg:g} m/kg" if yarn.m_per_kg is not None else None)
    strands = f" in {yarn.strands} strands" if yarn.strands > 1 else ""
    return ", ".join(part for part in (yarn_name(yarn, key), size) if part) + strands


def _mean_height(project: Project) -> float | None:
    """Return the mean height that the wool of a pick needs by itself, mm; None where a yarn's size is not known."""
    cloth, stuffs = expand(project), stuffs_of(project.yarns)
    heights = []
    for section in cloth.sections:
        for strip in section.strips:
            for wound in strip.weaving.picks.wound.tolist():
                winding = cloth.windings[wound]
                if any(key not in stuffs for key, _ in winding):
                    return None
                tex = sum(stuffs[key][0] * strands for key, strands in winding)
                heavy = sum(stuffs[key][0] * strands * stuffs[key][1].density_g_cm3 for key, strands in winding)
                heights.append(free_height_mm(tex, heavy / tex))
    return sum(heights) / len(heights) if heights else None


def _take_sett(work: Work, sett: float) -> None:
    was = settings_of(work.project).sett_per_mm.value * 10
    if abs(sett / was - 1) < SAME:
        return
    work.project = work.project.model_copy(update={"warp": work.project.warp.model_copy(update={"sett_per_cm": sett})})
    work.sett_changed = True
    work.say(f"The sett is {density_words(sett, work.before)} instead of {density_words(was, work.before)}.")


def _take_beat(work: Work, lines: float, expected: bool) -> None:
    settings = settings_of(work.project)
    was = 10.0 / settings.line_height_mm.value
    factor = lines / was
    if abs(factor - 1) < SAME:
        return
    basis = settings.line_height_mm.basis.value
    update: dict[str, object] = {"lines_per_cm": round(lines, 4)}
    if expected:
        update["basis"] = "default" if basis == "default" else "computed"
    elif work.project.beat.basis is not None:
        update["basis"] = "label"
    beat: Beat = work.project.beat.model_copy(update=update)
    work.project = _bands_with_own_lines(work.project.model_copy(update={"beat": beat}), factor)
    said = f"{density_words(lines, work.before)} instead of {density_words(was, work.before)}"
    work.say(
        f"Lines are expected to come to {said}, by the weight of the yarns; weave a sample to be sure."
        if expected
        else f"Lines come to {said}."
    )


def _bands_with_own_lines(project: Project, factor: float) -> Project:
    """Return the project with the beat of bands that say their own changed alike."""
    for place, section in enumerate(project.sections):
        strips = tuple(
            strip.model_copy(
                update={
                    "bands": tuple(
                        band
                        if band.lines_per_cm is None
                        else band.model_copy(
                            update={"lines_per_cm": min(max(round(band.lines_per_cm * factor, 4), BEATS[0]), BEATS[1])}
                        )
                        for band in strip.bands
                    )
                }
            )
            for strip in section.strips
        )
        project = with_section(project, place, section.model_copy(update={"strips": strips}))
    return project


def _keep_proportion(work: Work) -> None:
    old, new = settings_of(work.before), settings_of(work.project)
    taller = new.line_height_mm.value / old.line_height_mm.value
    wider = strip_widths(1, new).finished_mm.value / strip_widths(1, old).finished_mm.value
    if abs(taller - 1) < SAME and abs(wider - 1) < SAME:
        return
    work.threads_changed = True
    off: list[str] = []
    lines = False
    for place, section in enumerate(work.project.sections):
        if not section.strips[0].bands:
            continue
        try:
            check_alike(section.strips)
        except CannotGrowError as why:
            work.refuse(f"Motifs are no longer in proportion: {why}")
            continue
        changed, words = scale_lines(work.project, place, taller, wider)
        lines = lines or changed.sections[place] != section
        several = f" of {section_name(section, place)}" if len(work.project.sections) > 1 else ""
        work.project = changed
        off += [f"{band}{several} {by}" for band, by in words]
    if lines:
        work.say("Lines stand for more or fewer lines, so that motifs keep their proportion.")
    if off:
        work.refuse(f"Whole lines do not keep every motif in proportion: {listed(off, 'and')}.")
