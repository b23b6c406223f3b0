"""How to read the pattern: the words explained once, the marks, and three lines of the piece as an example."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.sheets.chart import COLUMN, LINE, chart_svg, columns_of
from weftline.sheets.fonts import width_mm
from weftline.sheets.lines import NOT_THROWN, TURNED, as_charted, lines_of, strands_words
from weftline.sheets.sheds import MOST_NAMED, own_shed_bands, sheds_of
from weftline.sheets.wording import NUMBERS, listed, printable, visible

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.plan.plan import Plan
    from weftline.sheets.chart import Palette
    from weftline.sheets.lines import Line

EXAMPLE_LINES = 3
EXAMPLE_LINE_MM = 6.5
SEARCHED = 3000
TEXT_PT, WORDS_SPARE_MM = 10.0, 14.0


def reading_data(plan: Plan, palette: Palette) -> dict[str, Any]:
    """Return the words of the page and its example."""
    return {
        "words": _words(plan),
        "example": _example(plan, palette),
        "marks": [
            {"key": key, "mark": palette.looks[key].words, "name": printable(plan.project.yarns[key].name or key)}
            for key in plan.weft
        ],
    }


def _example(plan: Plan, palette: Palette) -> dict[str, Any]:
    section = plan.cloth.sections[0]
    strip = section.strips[0]
    lines = lines_of(plan.cloth, [strip])
    first = _telling(lines)
    last = min(first + EXAMPLE_LINES, len(lines))
    columns, _ = columns_of(plan.cloth, strip.lay.start)
    shown = [(place, float(place - first)) for place in range(first, last)]
    line_mm = min(EXAMPLE_LINE_MM, 58 * LINE / COLUMN / len(columns))
    sheds = sheds_of(plan.cloth)
    picks = [
        f"shed {sheds[pick.shed].number}, {sheds[pick.shed].lift}: {strands_words(strip.weaving.windings[pick.wound[0]])}"
        for pick in lines[first].picks
    ]
    written = [as_charted(line, plan.project, strip.weaving.windings) for line in lines[first:last]]
    return {
        "words_mm": max(width_mm(words, TEXT_PT, spacing=1.7) for words in written) + WORDS_SPARE_MM
        if written
        else 0.0,
        "svg": chart_svg(lines, shown, columns, palette, last - first),
        "width": len(columns) * line_mm * COLUMN / LINE,
        "line_mm": line_mm,
        "shafts": [str(shaft) for shaft in columns],
        "lines": [
            {"number": place + 1, "written": words} for place, words in zip(range(first, last), written, strict=True)
        ],
        "first": first + 1,
        "picks": picks,
        "alt": f"Lines {first + 1} to {last} of the piece, enlarged, the first at the foot.",
    }


def _telling(lines: Sequence[Line]) -> int:
    """Return the first line of three in a row that have most yarns and are all unlike and complete."""
    best, found = (-1, -1), 0
    for place in range(max(1, min(len(lines), SEARCHED) - EXAMPLE_LINES + 1)):
        group = lines[place : place + EXAMPLE_LINES]
        whole = sum(not line.is_incomplete and not line.is_back for line in group)
        yarns = {pick.wound for line in group for pick in line.picks}
        score = (whole, len(set(group)) + len(yarns) + len({pick.wound for pick in group[0].picks}))
        if score > best:
            best, found = score, place
    return found


def _words(plan: Plan) -> list[dict[str, str]]:
    """Return the words explained; only those that this piece uses, with examples from it."""
    sheds = len(plan.cloth.technique.sheds)
    lines = [line for section in plan.cloth.sections for line in set(lines_of(plan.cloth, section.strips))]
    found = [
        ("Line", f"One round of the sheds, {sheds} {'pick' if sheds == 1 else 'picks'} here{_other_lines(plan, lines)}. "
         "Many weavers say row. Beaten in, its picks close up into one row across the cloth. Lines are numbered from the "
         "first one woven, and the chart grows upwards as the cloth does: line 1 is at the foot."),
        ("Pick", "One passage of the weft through one shed, from edge to edge."),
        ("Shed", "The opening for a pick. Its number stands in the table of sheds, with what to raise or lower."),
        ("Band", "A run of lines under one name. The names are the designer’s own."),
        ("Bead", "One spot of weft on the face, where a pick lies over an end. In the chart it is an oval in the "
         "yarn’s colour, with the yarn’s mark."),
        *_winding_words(plan, lines),
    ]  # fmt: skip
    if any(line.is_incomplete for line in lines):
        found.append((NOT_THROWN, _no_pick(plan)))
    if any(line.is_back for line in lines):
        found.append(
            ("Last shed first", "The sheds of this line come in turned order. The steps print its picks in the order in "
             f"which they are thrown; the chart writes its yarns in the order of the sheds, as always, and adds {TURNED}.")
        )  # fmt: skip
    found += [("Face", _face(plan)), ("Back of the cloth", "The other side. It has long floats and is not charted.")]
    return [{"word": word, "says": says} for word, says in found]


def _other_lines(plan: Plan, lines: Sequence[Line]) -> str:
    """Return how many picks the lines have that differ from most."""
    usual = len(plan.cloth.technique.sheds)
    others = sorted({len(line.sheds) for line in lines} - {usual})
    own = {name for section in plan.cloth.sections for strip in section.strips for name in own_shed_bands(strip)}
    if not others:
        return ""
    where = listed(sorted(map(printable, own))) if len(own) <= MOST_NAMED else "bands with sheds of their own"
    return f", {' or '.join(NUMBERS[one] if one < len(NUMBERS) else str(one) for one in others)} in {where}"


def _no_pick(plan: Plan) -> str:
    """Return what an incomplete line leaves out, why, and how high it is."""
    why = ", since it was thrown last" if _left_out_was_thrown_last(plan) else ""
    return (
        f"No pick in this shed{why}: leave it out and go on. Such a line is marked incomplete. It is lower than a whole one: "
        "lines per length count it only by the share of picks that it has."
    )


def _left_out_was_thrown_last(plan: Plan) -> bool:
    """Return whether every pick left out would have lain in the shed of the pick before it."""
    for section in plan.cloth.sections:
        last = -1
        for line in lines_of(plan.cloth, section.strips):
            for shed, pick in line.in_order():
                if pick is None and shed != last:
                    return False
                last = last if pick is None else shed
    return True


def _winding_words(plan: Plan, lines: Sequence[Line]) -> list[tuple[str, str]]:
    """Return how what is wound together is written, by windings of this piece."""
    used = sorted({wound for line in lines for pick in line.picks for wound in pick.wound if wound >= 0})
    windings = [plan.cloth.windings[wound] for wound in used]
    found = []
    plain = next((one for one in windings if len(one) == 1), None)
    if plain is not None:
        key, strands = plain[0]
        many = "one strand" if strands == 1 else f"{NUMBERS[strands] if strands < len(NUMBERS) else strands} strands"
        together = "" if strands == 1 else ", wound together on one shuttle"
        found.append(
            (strands_words(plain), f"In the steps: {many} of yarn {visible(key)}{together}. In the chart a key alone "
             f"stands for a yarn as Materials says to wind it.")
        )  # fmt: skip
    mixed = next((one for one in windings if len(one) > 1), None)
    if mixed is not None:
        found.append((strands_words(mixed), "Wound together on one shuttle; the chart writes it with a plus sign."))
    return found


def _face(plan: Plan) -> str:
    if plan.project.weave.face == "up":
        return (
            "The chart shows the face, which lies up in the loom. Its columns are one repeat of the threading as you "
            "sit at the loom, left to right."
        )
    return (
        "The chart shows the face, but this piece is woven face down: at the loom you see the back. The columns are one "
        "repeat of the threading in the order of the shafts printed under them."
    )
