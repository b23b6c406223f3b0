"""A section as long as wished, in whole motifs, or as long as the wool reaches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.compose.stretch import CannotGrowError, Stretch, stretch_of
from weftline.core.compose.wool import reach_of, wool_at_hand
from weftline.core.compose.words import mass_words
from weftline.core.compose.work import finished_share
from weftline.core.piece.names import section_name, yarn_name
from weftline.core.piece.written import listed

if TYPE_CHECKING:
    from weftline.core.compose.work import Work

NEAR_MM = 0.5


def change_length(work: Work) -> None:
    """Take on the length that is wished; where lines or sett changed, every section keeps the length that it had."""
    wish = work.wish
    if work.threads_changed:
        for place in range(len(work.project.sections)):
            if place not in work.sections:
                _lengthen(work, (place,), work.sizes[place].length_mm, wished=False)
    if wish.from_wool or wish.on_hand_g:
        _from_wool(work)
    elif wish.length_mm is not None:
        _lengthen(work, work.sections, wish.length_mm, wished=True)
    elif work.threads_changed:
        _lengthen(work, work.sections, work.sizes[wish.section].length_mm, wished=False)


def _lengthen(work: Work, sections: tuple[int, ...], length_mm: float, wished: bool) -> None:
    share = finished_share(work.project)
    try:
        stretch = stretch_of(work.project, sections)
        step = stretch.nearest(length_mm / share)
        project = stretch.at(step)
    except CannotGrowError as why:
        if wished or work.project.sections[sections[0]].strips[0].bands:
            work.refuse(f"The length cannot be changed to {work.mm(length_mm)}. {why}")
        return
    work.project = project
    _say_length(work, stretch, step, share)
    _judge_length(work, stretch, step, length_mm, wished)


def _say_length(work: Work, stretch: Stretch, step: int, share: float) -> None:
    name = section_name(work.project.sections[stretch.sections[0]], stretch.sections[0])
    name = "Each width" if work.two_widths is not None else name
    length = work.mm(stretch.heights[step] * share)
    words = stretch.words(step)
    if words:
        work.say(f"{name}: {length} long when finished; {listed(words, 'and')}.")
    else:
        work.say(f"{name}: {length} long when finished; all repeats stay.")


def _judge_length(work: Work, stretch: Stretch, step: int, length_mm: float, wished: bool) -> None:
    """Say why a length is further from the wish than half a motif, and what lies on the other side."""
    heights, share = stretch.heights, finished_share(work.project)
    got = heights[step] * share
    other = step + 1 if got < length_mm else step - 1
    if abs(got - length_mm) <= NEAR_MM:
        return
    said = f"{'The wish was' if wished else 'It had'} a length of {work.mm(length_mm)}; {work.mm(got)} is the nearest"
    if other < 0:
        work.refuse(f"{said}, for every motif comes just once; to be shorter it would lose one of its bands.")
        return
    if other >= len(heights):
        work.refuse(f"{said}, for a piece has at most 200,000 picks.")
        return
    unit = stretch.units[stretch.order[min(step, other)]]
    beyond = work.mm(heights[other] * share)
    if (
        len(unit.bands) > 1
        and not unit.is_run
        and abs(got - length_mm) > abs(heights[other] - heights[step]) * share / 4
    ):
        work.refuse(
            f"{said}, for bands that answer each other grow in pairs, so that both ends of the piece stay alike; "
            f"the next is {beyond}."
        )
    else:
        work.say(f"{said} in whole motifs; the next is {beyond}.")


def _from_wool(work: Work) -> None:
    """Take on the length that the wool reaches for, at most the one that is wished."""
    hand = wool_at_hand(work.project, work.wish.on_hand_g)
    if not hand:
        work.refuse("How long it can be from the wool at hand cannot be told: no yarn says how much of it there is.")
        return
    share = finished_share(work.project)
    wanted = work.wish.length_mm
    try:
        stretch = stretch_of(work.project, work.sections)
        most = None if wanted is None else stretch.nearest(wanted / share)
        reach = reach_of(stretch, hand, most)
        project = work.project if reach.step is None else stretch.at(reach.step)
    except CannotGrowError as why:
        work.refuse(f"How long it can be from the wool at hand cannot be told. {why}")
        return
    yarns = work.project.yarns
    first = reach.ends_first
    if reach.step is None and first is not None:
        work.refuse(
            f"There is not enough {yarn_name(yarns[first], first)} even for {work.mm(stretch.heights[0] * share)}, with every "
            f"motif once: {mass_words(reach.needs_g, work.before)} are needed and {mass_words(hand[first], work.before)} are here."
        )
    elif reach.step is not None:
        work.project = project
        _say_length(work, stretch, reach.step, share)
        if first is None:
            if wanted is not None:
                work.say("The wool at hand is enough for it.")
                _judge_length(work, stretch, reach.step, wanted, wished=True)
            else:
                work.say("The wool at hand is enough for the longest piece that there can be.")
        else:
            work.ends_first = first
            work.say(
                f"That is as long as the wool reaches: {yarn_name(yarns[first], first)} ends first, for the next repeat would "
                f"need {mass_words(reach.needs_g, work.before)} of it and {mass_words(hand[first], work.before)} are here."
            )
            if wanted is not None:
                work.refuse(f"The wish was a length of {work.mm(wanted)}; the wool does not reach so far.")
    for key in reach.not_counted:
        name = yarn_name(yarns[key], key)
        if key in hand:
            work.refuse(f"{name} is not counted, for its size does not tell its weight.")
        else:
            work.say(f"{name} is not counted, for nobody said how much of it there is.")
