"""A section as wide as wished: on one loom, or in two widths that are sewn together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.compose.ends import balanced_rests, fitting_counts
from weftline.core.compose.width import Across, Halves, across_of, halves_for, idle_room, in_halves, with_ends
from weftline.core.compose.wish import CheckMark, TwoWidths
from weftline.core.compose.words import counted
from weftline.core.piece.cloth import expand
from weftline.core.piece.names import section_name
from weftline.core.piece.values import MAX_ENDS
from weftline.core.piece.written import listed
from weftline.core.weave.threading import is_balanced, thread

if TYPE_CHECKING:
    from weftline.core.compose.work import Work
    from weftline.core.piece.values import Project

MARK_MM = 100.0
NEAR_MM = 0.05


def change_width(work: Work) -> None:
    """Take on the width that is wished; where the sett changed, every section keeps the width that it had."""
    wish = work.wish
    if wish.loom_width_mm is not None:
        cm = wish.loom_width_mm / 10
        loom = work.project.loom.model_copy(update={"weaving_width_cm": cm})
        work.project = work.project.model_copy(update={"loom": loom})
    if work.sett_changed:
        for place in range(len(work.project.sections)):
            if place != wish.section:
                _widen(work, place, work.sizes[place].width_mm)
    place = wish.section
    across = across_of(work.project, place)
    loom_mm = _loom_mm(work.project)
    if wish.as_wide_as_loom:
        if loom_mm is None:
            work.refuse("The width stays: the piece does not say how wide its loom weaves; give the loom's width.")
        else:
            _fill_loom(work, place, across, loom_mm)
    elif wish.width_mm is not None:
        _widen(work, place, wish.width_mm)
    elif work.sett_changed or (wish.loom_width_mm is not None and across.in_reed_mm(across.ends) > wish.loom_width_mm):
        _widen(work, place, work.sizes[place].width_mm)


def _loom_mm(project: Project) -> float | None:
    cm = project.loom.weaving_width_cm
    return None if cm is None else cm * 10.0


def _fill_loom(work: Work, place: int, across: Across, loom_mm: float) -> None:
    most = across.most_ends(loom_mm, idle_room(work.project, place))
    ends = across.shared(float(most), most)
    if ends is None:
        work.refuse(
            f"The width stays: one repeat of {counted(len(across.repeat), 'end')} for every strip is wider than the "
            f"{work.mm(loom_mm)} that this loom weaves."
        )
        return
    _take_ends(work, place, across, ends)
    work.say(
        f"That is as wide as this loom weaves: {work.mm(across.in_reed_mm(sum(ends)))} of its {work.mm(loom_mm)} in the reed."
    )


def _widen(work: Work, place: int, width_mm: float) -> None:
    """Take on the ends that come nearest to a finished width."""
    across = across_of(work.project, place)
    loom_mm = _loom_mm(work.project)
    wanted = across.ends_for(width_mm)
    room = idle_room(work.project, place)
    most = across.most_ends(loom_mm, room)
    ends = across.shared(wanted, room)
    if ends is not None and sum(ends) > most:
        alone = len(work.project.sections) == 1 and len(across.strips) == 1
        halves = halves_for(across, wanted, most) if alone else None
        if halves is not None:
            _take_halves(work, across, halves, loom_mm or 0.0, width_mm)
            return
        ends = across.shared(wanted, most)
        if ends is not None and not alone:
            work.refuse(
                f"{section_name(work.project.sections[place], place)} is too wide for this loom and has several strips or "
                f"shares its warp, so it is not parted into two widths; it takes what the loom weaves."
            )
    if ends is None:
        work.refuse(
            f"The width stays {work.mm(across.finished_mm(across.ends))}: not even one repeat of "
            f"{counted(len(across.repeat), 'end')} for every strip goes into the loom."
        )
        return
    _take_ends(work, place, across, ends)
    _judge_width(work, across, ends, width_mm, most)


def _take_ends(work: Work, place: int, across: Across, ends: tuple[int, ...]) -> None:
    name = section_name(work.project.sections[place], place)
    was = across.ends
    width = work.mm(across.finished_mm(sum(ends)))
    if ends == tuple(strip.now for strip in across.strips):
        work.say(f"{name}: {counted(was, 'end')} as before, {width} wide when finished.")
        return
    alike = all(
        is_balanced(thread(across.repeat, count, one.start)) for count, one in zip(ends, across.strips, strict=True)
    )
    work.project = with_ends(work.project, place, ends, len(across.repeat))
    shares = f" ({' + '.join(map(str, ends))})" if len(ends) > 1 else ""
    edges = (
        "whole repeats of the threading, so that both edges end alike"
        if alike
        else "whole repeats of the threading; it has no point, so that its edges cannot be alike"
    )
    work.say(f"{name}: {counted(sum(ends), 'end')}{shares} instead of {was}, {width} wide when finished; {edges}.")


def _judge_width(work: Work, across: Across, ends: tuple[int, ...], width_mm: float, most: int) -> None:
    """Say why a width is further from the wish than half a repeat."""
    got = across.finished_mm(sum(ends))
    half = len(across.repeat) * across.pitch_finished_mm / 2
    if abs(got - width_mm) <= half + NEAR_MM:
        return
    counts = [fitting_counts(across.repeat, one.start, one.now) for one in across.strips]
    if got > width_mm and all(count == found[0] for count, found in zip(ends, counts, strict=True)):
        why = "fewer ends would not hold a whole repeat of the threading with balanced edges"
    elif got < width_mm and across.shared(float(MAX_ENDS), most) == ends:
        why = "more ends go neither into this loom nor on a warp"
    elif len(ends) > 1:
        why = "strips that are alike stay alike, so that they grow together"
    else:
        why = "no number of ends between leaves both edges alike"
    said = "The wish was" if work.wish.width_mm is not None else "It had"
    work.refuse(f"{said} a width of {work.mm(width_mm)}; {work.mm(got)} is the nearest, for {why}.")


def _take_halves(work: Work, across: Across, halves: Halves, loom_mm: float, width_mm: float) -> None:
    start = across.strips[0].start
    left = thread(across.repeat, halves.left, start)
    whole = thread(across.repeat, halves.ends, start)
    rests = [rest for rest in balanced_rests(across.repeat, start) if rest]
    given = thread(across.repeat, halves.left + rests[0], start)[halves.left :].tolist() if rests else []
    work.project = in_halves(work.project, halves)
    work.sections = (0, 1)
    shafts = (int(left[-1]), int(whole[halves.left]))
    work.two_widths = TwoWidths(0, 1, halves.left, halves.right, shafts, tuple(given), ())
    work.say(
        f"{counted(halves.ends, 'end')} are too wide for this loom, which weaves {work.mm(loom_mm)}, so it is woven in two "
        f"widths, one after the other, and sewn: the left one of {counted(halves.left, 'end')}, the right one of "
        f"{halves.right}, together {work.mm(across.finished_mm(halves.ends))} wide when finished."
    )
    gives = (
        f"The left width gives up {_balancing(given)} at the seam: it"
        if given
        else "Neither width has an end to give up at the seam: the left one"
    )
    work.say(
        f"{gives} ends on shaft {shafts[0]} and the right one begins on shaft {shafts[1]}, as neighbours in one cloth, so that "
        "no column doubles."
    )
    half = len(across.repeat) * across.pitch_finished_mm / 2
    got = across.finished_mm(halves.ends)
    if abs(got - width_mm) > half + NEAR_MM:
        why = "two widths of this loom give no more" if got < width_mm else "two widths need a repeat each"
        work.refuse(f"The wish was a width of {work.mm(width_mm)}; {work.mm(got)} is the nearest, for {why}.")


def _balancing(shafts: list[int]) -> str:
    if len(shafts) == 1:
        return f"its balancing end, on shaft {shafts[0]},"
    return f"its {len(shafts)} balancing ends, on shafts {listed([str(shaft) for shaft in shafts], 'and')},"


def check_marks(work: Work) -> None:
    """Set a check mark every 10 cm of two widths, counted on the loom, and say so."""
    two = work.two_widths
    if two is None:
        return
    picks = expand(work.project).sections[two.left].picks
    heights = np.arange(MARK_MM, picks.height_mm - 1e-6, MARK_MM)
    at = np.searchsorted(picks.top_mm, heights - 1e-9)
    marks = tuple(
        CheckMark(float(height), int(picks.line[pick]) + 1) for height, pick in zip(heights, at.tolist(), strict=True)
    )
    work.two_widths = TwoWidths(
        two.left, two.right, two.left_ends, two.right_ends, two.seam_shafts, two.gives_up, marks
    )
    if marks:
        lines = listed([str(mark.line) for mark in marks], "and")
        work.say(
            f"Set a check mark every {work.mm(MARK_MM)} of the left width as it lies on the loom, in lines {lines}, and beat the "
            "right width to the same marks, so that the halves meet."
        )
