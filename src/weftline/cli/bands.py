"""``weftline bands``: the shortest pattern that weaves the same cloth."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_project

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.piece.values import Band
    from weftline.core.weaving.bands import FoundBands, Slip
    from weftline.core.weaving.motifs import Again


def bands(project: ProjectArgument, json: JsonOption = False) -> None:
    """Find the bands, repeats and mirrors in the lines of a piece, and the picks that break them."""
    from weftline.core.piece.cloth import expand
    from weftline.core.weaving.bands import find_bands
    from weftline.core.weaving.lines import lines_of_strip, whole_kind
    from weftline.formats.bands_json import found_data

    cloth = expand(read_project(project))
    whole = whole_kind(cloth)
    sections: list[dict[str, Any]] = []
    several = sum(len(section.strips) for section in cloth.sections) > 1
    for section in cloth.sections:
        strips: list[dict[str, Any]] = []
        for strip in section.strips:
            found = find_bands(lines_of_strip(cloth, strip), whole)
            if json:
                strips.append({"name": strip.name, **found_data(found)})
                continue
            if several:
                say(f"{section.name}, {strip.name}")
            for line in _pattern_lines(found):
                say(line)
        sections.append({"name": section.name, "strips": strips})
    if json:
        answer_json({"sections": sections})


def _pattern_lines(found: FoundBands) -> Iterator[str]:
    from weftline.core.weaving.motifs import borders, recurrences

    if not found.bands:
        yield "Nothing is woven yet."
        return
    count = len(found.bands)
    yield f"You wove {count} {'band' if count == 1 else 'bands'}. Here is your pattern."
    again = recurrences(found.bands)
    whole = {each.band: each for each in again if each.whole}
    for place, band in enumerate(found.bands):
        yield ""
        yield from _band_lines(band, found.first_lines[place] + 1, whole.get(place))
    rest = [each for each in again if not each.whole]
    ends = borders(found.bands, again)
    if rest or ends:
        yield ""
    if ends:
        which = "The band at the foot comes" if ends == 1 else f"The {ends} bands at the foot come"
        yield f"{which} again at the head: a border at both ends."
    for each in rest:
        yield _again_words(each)
    if found.slips:
        yield ""
        yield "These picks break what otherwise holds; perhaps they are slips:"
        yield from (_slip_words(slip) for slip in found.slips)


def _band_lines(band: Band, first_line: int, again: Again | None) -> Iterator[str]:
    from weftline.core.weaving.motifs import look_of

    as_before = "" if again is None else f"; as Band {again.earlier_band + 1}{_how(again)}"
    look = look_of(band)
    yield f"{band.name}, from line {first_line}: {look}{as_before}"
    if band.sheds is not None:
        yield f"    sheds {', '.join('+'.join(map(str, shed)) for shed in band.sheds)}"
    for line in band.lines:
        yield f"    {line}"
    settings = list(_settings(band))
    if settings:
        yield f"  {', '.join(settings)}"


def _settings(band: Band) -> Iterator[str]:
    if band.mirror != "none":
        yield "then mirror the lines" if band.mirror == "lines" else "then treadle backwards"
        yield f"{band.middle} middle"
    if band.times > 1:
        yield f"{band.times} times"
        if band.mirror != "none":
            yield f"{band.joint or band.middle} joints"
    if band.resume:
        yield "resume at the second pick"
    if band.lines_per_cm is not None:
        yield f"{band.lines_per_cm:g} lines per cm"


def _how(again: Again) -> str:
    words = " with its lines in reverse order" if again.turned else ""
    if again.renamed:
        words += f" with {', '.join(f'{new} for {old}' for old, new in again.renamed)}"
    return words


def _again_words(again: Again) -> str:
    def lines(first: int) -> str:
        return f"lines {first + 1}-{first + again.lines}"

    return (
        f"Band {again.band + 1}, {lines(again.line)}: as {lines(again.earlier_line)} "
        f"of Band {again.earlier_band + 1}{_how(again)}"
    )


def _slip_words(slip: Slip) -> str:
    here = f"line {slip.line + 1}, shed {slip.shed + 1}"
    if slip.other is not None:
        there = f"line {slip.other[0] + 1}, shed {slip.other[1] + 1}"
        return (
            f"  {here} has {slip.thrown}, {there} has {slip.meant}: the pattern makes them equal, either may be meant"
        )
    return f"  {here} has {slip.thrown}; the {slip.agreeing} picks like it have {slip.meant}"
