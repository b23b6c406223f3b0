"""Findings about the weave: strips that part company, cloth that falls apart, floats, equal sheds, edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.findings import Finding, Severity, Where
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.core.piece.names import strip_name
from weftline.core.weave.picks import covered
from weftline.core.weave.technique import mask_shafts
from weftline.core.weave.threading import balanced_counts, is_balanced

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from weftline.core.findings import Quantity
    from weftline.core.piece.cloth import Cloth, SectionCloth, StripCloth
    from weftline.core.piece.settings import Settings
    from weftline.core.weave.back import LongestFloat
    from weftline.core.weave.hang import Layer
    from weftline.core.weave.picks import Picks, Weaving


def place_of(section: SectionCloth, strip: StripCloth, pick: int) -> Where:
    """Return the place of a pick (index from 0) as a weaver counts it."""
    picks = strip.weaving.picks
    line = int(picks.line[pick])
    first = int(np.searchsorted(picks.line, line))
    return Where(section.name, strip.name, strip.bands[picks.band[pick]], line + 1, pick - first + 1)


def shafts_words(shafts: tuple[int, ...]) -> str:
    """Return ``shaft 2``, ``shafts 1+3`` or ``no shaft``."""
    if not shafts:
        return "no shaft"
    return f"shaft{'s' if len(shafts) > 1 else ''} {'+'.join(map(str, shafts))}"


def strips_differ(section: SectionCloth) -> Iterator[Finding]:
    """Yield a stop at the first pick in which a strip differs from the first strip in shed, line or height."""
    first = section.strips[0]
    for strip in section.strips[1:]:
        place = _first_difference(first.weaving.picks, strip.weaving.picks)
        if place is None:
            continue
        shorter = min(first, strip, key=lambda one: len(one.weaving.picks))
        if place < len(shorter.weaving.picks):
            message = f"{strip.name} leaves {first.name} here: strips of a section share every shed, line for line."
        else:
            longer = strip if shorter is first else first
            message = f"{longer.name} goes on where {shorter.name} has ended: strips of a section are woven together."
        last = len(strip.weaving.picks) - 1
        at = place_of(section, strip, min(place, last)) if last >= 0 else Where(section.name, strip.name)
        yield Finding(
            "strips-differ", Severity.STOP, message, "Write the same sheds, '-' and line heights for both.", at
        )


def _first_difference(one: Picks, other: Picks) -> int | None:
    common = min(len(one), len(other))
    unlike = (
        (one.shed[:common] != other.shed[:common])
        | (one.line[:common] != other.line[:common])
        | (one.step_mm[:common] != other.step_mm[:common])
    )
    places = np.flatnonzero(unlike)
    if len(places):
        return int(places[0])
    return None if len(one) == len(other) else common


def weave_table(weaving: Weaving) -> NDArray[np.bool_]:
    """Return (distinct sheds, shafts) bool: which of the strip's shafts each of its sheds covers."""
    return covered(np.unique(weaving.own_shed), np.array(weaving.shafts, dtype=np.uint8))


def hanging(section: SectionCloth, strip: StripCloth, found: tuple[Layer, ...]) -> Iterator[Finding]:
    """Yield a stop if the strip falls apart, naming its layers, and one for each shaft that is never held."""
    weaving = strip.weaving
    where = Where(section.name, strip.name)
    if not len(weaving.picks):
        yield Finding("bare-warp", Severity.NOTE, f"{strip.name} is a bare warp.", "Write its first line.", where)
        return
    table = weave_table(weaving)
    if len(found) > 1:
        named = "; ".join(_layer_words(weaving, layer) for layer in found[:6])
        yield Finding(
            "falls-apart",
            Severity.STOP,
            f"{strip.name} does not hang together: from the face down it has {len(found)} layers ({named}).",
            "Every end must be covered by one pick and not by another, and every pick cover some ends and not others.",
            where,
        )
    for column, shaft in enumerate(weaving.shafts):
        if table[:, column].all() or not table[:, column].any():
            how = "covered by every pick" if table[:, column].all() else "never covered by a pick"
            end = int(np.argmax(weaving.ends == shaft)) + 1
            yield Finding(
                "constant-end",
                Severity.STOP,
                f"In {strip.name} the ends on shaft {shaft} are {how}: nothing holds them.",
                f"Weave a shed that {'leaves out' if table[:, column].all() else 'covers'} shaft {shaft}.",
                Where(section.name, strip.name, end=end),
            )


def _layer_words(weaving: Weaving, layer: Layer) -> str:
    words = []
    if layer.picks:
        sheds = np.unique(weaving.own_shed)
        covered_shafts = [shafts_words(mask_shafts(int(sheds[pick]))) for pick in layer.picks[:4]]
        more = ", ..." if len(layer.picks) > 4 else ""
        words.append(f"picks over {', '.join(covered_shafts)}{more}")
    if layer.ends:
        words.append(f"ends on {shafts_words(tuple(weaving.shafts[end] for end in layer.ends))}")
    return " with ".join(words)


def equal_sheds(section: SectionCloth, strip: StripCloth) -> Iterator[Finding]:
    """Yield a finding wherever two picks in a row lie in the same shed, gathered by bands and kind."""
    weaving, picks = strip.weaving, strip.weaving.picks
    twice = np.flatnonzero(weaving.own_shed[1:] == weaving.own_shed[:-1])
    if not len(twice):
        return
    same = picks.wound[twice] == picks.wound[twice + 1]
    keys = np.stack([picks.band[twice], picks.band[twice + 1], same], axis=1)
    _, firsts, counts = np.unique(keys, axis=0, return_index=True, return_counts=True)
    for place, count in sorted(zip(firsts.tolist(), counts.tolist(), strict=True)):
        pick = int(twice[place]) + 1
        at = place_of(section, strip, pick)
        shed = shafts_words(mask_shafts(int(weaving.own_shed[pick])))
        again = "" if count == 1 else f", and {count - 1} more times in the same way"
        here = f"Line {at.line}, pick {at.pick} lies in the same shed ({shed}) as the pick before it{again}"
        if same[place]:
            yield Finding(
                "same-shed",
                Severity.WARN,
                f"{here}, with the same weft: it pulls out unless something holds it.",
                "Resume at the second pick, catch an edge end between them, or make the middle or joint single.",
                at,
            )
        else:
            yield Finding(
                "same-shed",
                Severity.NOTE,
                f"{here}, with another weft: both lie in one opening.",
                "Beat between them, or drop one of the two picks.",
                at,
            )


def float_mm(ends: int, settings: Settings) -> Quantity:
    """Return the length of a float in mm: from the covered end before it to the covered end after it."""
    return end_pitch_mm(settings) * (ends + 1 if ends else 0)


def long_floats(
    section: SectionCloth, strip: StripCloth, floats: tuple[LongestFloat, ...], settings: Settings
) -> Iterator[Finding]:
    """Yield one finding if floats of the strip are longer than the limits in ends or in mm."""
    limit_ends, limit_mm = int(settings.float_ends.value), settings.float_mm.value
    over = [one for one in floats if one.ends > limit_ends or float_mm(one.ends, settings).value > limit_mm]
    if not over:
        return
    worst = over[0]
    at = place_of(section, strip, worst.pick)
    length = float_mm(worst.ends, settings).value
    picks = sum(one.picks for one in over)
    yield Finding(
        "long-float",
        Severity.WARN,
        f"In {strip.name} {picks:,} picks float over the limit of {limit_ends} ends or {limit_mm:g} mm; "
        f"the longest runs behind {worst.ends} ends, {length:.0f} mm.",
        "Shorten the block, tie the float down with another shed, or line the back.",
        Where(at.section, at.strip, at.band, at.line, at.pick, worst.first_end + 1),
    )


def balance(cloth: Cloth, section: SectionCloth, strip: StripCloth) -> Iterator[Finding]:
    """Yield a finding if the ends of a strip do not read the same from both sides."""
    if is_balanced(strip.weaving.ends):
        return
    ends, start = strip.written.ends, strip.lay.start
    counts = balanced_counts(cloth.technique.threading, ends, start)
    where = Where(section.name, strip.name, end=ends)
    if not counts:
        yield Finding(
            "unbalanced",
            Severity.NOTE,
            f"This threading has no point, so the edges of {strip.name} cannot be alike.",
            "Leave it so, or choose a point threading.",
            where,
        )
        return
    yield Finding(
        "unbalanced",
        Severity.WARN,
        f"{ends} ends from place {start} of the repeat leave the edges of {strip.name} unlike each other.",
        f"Use {' or '.join(map(str, counts))} ends.",
        where,
    )


def seams(section: SectionCloth) -> Iterator[Finding]:
    """Yield a finding where two strips to be sewn together end on the same shaft: a column doubles there."""
    for left, right in zip(section.strips, section.strips[1:], strict=False):
        if left.written.seam_after and left.weaving.ends[-1] == right.weaving.ends[0]:
            yield Finding(
                "seam-doubles",
                Severity.WARN,
                f"{left.name} and {right.name} meet on shaft {left.weaving.ends[-1]}, "
                "so that column doubles at the seam.",
                "Give one of them one end less at the seam.",
                Where(section.name, left.name, end=left.written.ends),
            )
    last = section.written.strips[-1]
    if last.seam_after:
        yield Finding(
            "seam-nowhere",
            Severity.NOTE,
            f"{strip_name(last, len(section.strips) - 1)} is to be sewn to a next strip, but it is the last.",
            "Take the seam away, or add the strip.",
            Where(section.name, strip_name(last, len(section.strips) - 1)),
        )
