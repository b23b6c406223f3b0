"""The cover: what the piece is, how much wool, how long on the loom, and what to know before beginning."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from weftline.core.edges.edge_ends import edge_of
from weftline.core.findings import Severity
from weftline.sheets.figures import hours
from weftline.sheets.finding_figures import finding_words
from weftline.sheets.lines import lines_of
from weftline.sheets.wording import count, in_words, listed, printable, times

if TYPE_CHECKING:
    from weftline.core.findings import Finding, Quantity
    from weftline.core.plan.plan import Plan, SectionFacts
    from weftline.sheets.figures import Figure, Rich, Units

MOST_PLACES = 10
MOST_THREADED = 8
"""A longer repeat is not written out on the cover."""

SIGNS = {Severity.STOP: "Stop", Severity.WARN: "Look", Severity.NOTE: "Note"}


def cover_data(plan: Plan, units: Units) -> dict[str, Any]:
    """Return the words of the cover."""
    return {
        "sentences": [*(_what(plan, section, units) for section in plan.sections), [weave_words(plan)]],
        "facts": [
            {"what": "Weft", "says": _weft(plan, units)},
            {"what": "Warp", "says": _warp(plan, units)},
            {"what": "On the loom", "says": _time(plan)},
        ],
        "stops": plan.stops,
        "findings": findings_data(plan, units),
    }


def findings_data(plan: Plan, units: Units) -> list[dict[str, str]]:
    """Return the findings as they are printed: those of one kind with one remedy together, the first in full."""
    kinds: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in plan.findings:
        kinds.setdefault((finding.severity, finding.code, finding.remedy), []).append(finding)
    return [_finding(plan, alike, units) for alike in kinds.values()]


def _finding(plan: Plan, alike: list[Finding], units: Units) -> dict[str, str]:
    first = alike[0]
    message, remedy = finding_words(plan, first, units)
    places = [_place(plan, finding) for finding in alike[1:]]
    shown = list(dict.fromkeys(place for place in places if place))
    more = ""
    if shown:
        left = len(shown) - MOST_PLACES
        rest = f"; and in {count(left, 'more place')}" if left > 0 else ""
        more = f"The same: {'; '.join(shown[:MOST_PLACES])}{rest}."
    elif places:
        more = f"The same {times(len(places))} more."
    return {
        "sign": SIGNS[first.severity],
        "severity": first.severity.value,
        "where": _place(plan, first),
        "message": printable(message),
        "remedy": printable(remedy),
        "more": more,
    }


def _place(plan: Plan, finding: Finding) -> str:
    """Return where a finding stands, without the section or strip where there is but one."""
    where = finding.where
    several = max(len(section.strips) for section in plan.sections) > 1
    names = [where.section if len(plan.sections) > 1 else None, where.strip if several else None, where.band]
    names.append(plan.project.yarns[where.yarn].name or where.yarn if where.yarn in plan.project.yarns else None)
    line = [f"line {where.line}"] if where.line else []
    return ", ".join([*dict.fromkeys(printable(name) for name in names if name), *line])


def _what(plan: Plan, section: SectionFacts, units: Units) -> Rich:
    technique = plan.cloth.technique.name
    woven = "A weave of its own" if technique == "own" else technique[0].upper() + technique[1:]
    name = f"{printable(section.name)}: " if len(plan.sections) > 1 else ""
    many = "" if section.pieces == 1 else f"{section.pieces} pieces, "
    strips = "" if len(section.strips) == 1 else f"{count(len(section.strips), 'strip')} side by side, "
    size = _size(plan, section, units)
    wool = count(len(plan.weft), "weft yarn")
    woven = f"{woven[0].lower()}{woven[1:]}" if name else woven
    first = f"{name}{woven} in {wool}" if section is plan.sections[0] else f"{name}{woven}"
    return [
        f"{first}, {many}{strips}",
        *size,
        f" finished, woven on {_ends(section.ends, _floating(plan, len(section.strips)))} in "
        f"{count(section.lines, 'line')}.",
    ]


def weave_words(plan: Plan) -> str:
    """Return in one sentence what the weave is."""
    technique = plan.cloth.technique
    name = "This weave" if technique.name == "own" else technique.name[0].upper() + technique.name[1:]
    threaded = (
        f", threaded {' '.join(map(str, technique.threading))} again and again"
        if len(technique.threading) <= MOST_THREADED
        else ""
    )
    sheds = len(technique.sheds)
    picks = "each pick closes" if sheds == 1 else f"the picks of {in_words(sheds)} sheds close"
    return (
        f"{name} is a weft-faced weave on {in_words(technique.shafts)} shaft{'s' if technique.shafts > 1 else ''}{threaded}: "
        f"{picks} up into one row that hides the warp."
    )


def _floating(plan: Plan, strips: int) -> int:
    """Return how many floating ends so many strips use."""
    kind, each = edge_of(plan.project)
    return 2 * each * strips if kind == "floating" else 0


def _ends(threaded: int, floating: int) -> str:
    """Return ``61 ends and 2 floating ends``."""
    return count(threaded, "end") + (f" and {count(floating, 'floating end')}" if floating else "")


def _size(plan: Plan, section: SectionFacts, units: Units) -> Rich:
    """Return the finished size: of the whole where its strips are sewn together, else of each strip."""
    long, strips = section.size.lengths.finished_mm, section.size.strips
    written = plan.cloth.sections[plan.sections.index(section)].strips
    sewn = all(strip.written.seam_after for strip in written[:-1])
    if len(strips) == 1 or sewn:
        return [*(["sewn together "] if len(strips) > 1 else []), units.size(section.size.across.finished_mm, long)]
    sizes = [units.size(strip.finished_mm, long) for strip in strips]
    if len(set(sizes)) == 1:
        return ["each ", sizes[0]]
    found: Rich = []
    for facts, size in zip(section.strips, sizes, strict=True):
        found += [f"{'; ' if found else ''}{printable(facts.name)} ", size]
    return found


def _weft(plan: Plan, units: Units) -> Rich:
    masses = [plan.yarns[key].mass_g for key in plan.weft]
    known: list[Quantity] = []
    for key, mass in zip(plan.weft, masses, strict=True):
        amount = plan.yarns[key]
        whole = amount.warp_mm.value + amount.weft_mm.value
        if mass is not None and whole:
            known.append(mass * (amount.weft_mm.value / whole))
    length = units.yarn_sum([amount.length_mm for amount in plan.weft.values()])
    if len(known) < len(masses):
        return [length, ", each strand counted; the weight is not known, since the number of a yarn is missing"]
    parts = [f"{printable(plan.project.yarns[key].name or key)}" for key in plan.weft]
    said = units.mass_sum(known) if known else units.yarn_sum([])
    return [said, ", ", length, " (each strand counted): ", listed(parts or ["none yet"])]


def _warp(plan: Plan, units: Units) -> Rich:
    kind, _ = edge_of(plan.project)
    beside = plan.warp.edge_ends
    said = _ends(plan.warp.threaded_ends, beside) if kind == "floating" else _ends(plan.warp.threaded_ends + beside, 0)
    yarn = plan.project.warp.yarn
    name = "" if yarn is None else f" of {printable(plan.project.yarns[yarn].name or yarn)}"
    return [f"{said}{name}, ", units.warp(plan.warp.length_mm), " long"]


def _time(plan: Plan) -> Rich:
    pace = plan.settings.picks_per_hour
    said: Figure = hours(plan.time_h)
    return [
        "about ",
        said,
        f" of weaving: {_picks(plan)} at {pace.value:g} an hour. Warping, threading and finishing are not counted",
    ]


def _picks(plan: Plan) -> str:
    """Return how often weft is laid; a pick across several strips is a throw on each."""
    each = _picks_of_lines(plan)
    if max(len(section.strips) for section in plan.sections) == 1:
        return f"{plan.throws:,} picks ({each})" if each else f"{plan.throws:,} picks"
    return f"{plan.throws:,} throws (one pick on one strip{'; ' if each else ''}{each})"


def _picks_of_lines(plan: Plan) -> str:
    """Return how many picks a line has, where not all have the same; nothing where they do."""
    usual = len(plan.cloth.technique.sheds)
    lines = [line for section in plan.cloth.sections for line in lines_of(plan.cloth, section.strips)]
    others = Counter(len(line.sheds) for line in lines if len(line.sheds) != usual)
    short = Counter(len(line.sheds) - len(line.picks) for line in lines if line.is_incomplete)
    said = [
        f"{count(lines, 'line')} {'has' if lines == 1 else 'have'} {sheds}" for sheds, lines in sorted(others.items())
    ]
    said += [
        f"{count(lines, 'line')} {'leaves' if lines == 1 else 'leave'} {in_words(picks)} out"
        for picks, lines in sorted(short.items())
    ]
    return f"{usual} a line, but {listed(said)}" if said else ""
