"""Design: brackets, numbers and the stair beside the cloth, the line and the band that are looked at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.findings import Quantity
from weftline.core.piece.draft import path_to
from weftline.core.weave.line import NOT_THROWN, LineTextError, read_line
from weftline.server.pages.frame import units_of
from weftline.server.pages.words import count, span
from weftline.server.variants import middle_of, with_mirror

if TYPE_CHECKING:
    from weftline.core.piece.cloth import StripCloth
    from weftline.core.piece.draft import Node
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.sheets.figures import Figure

LINE_PX = 24
"""Height of a line beside the cloth at Close."""
WINDOW = 120
"""Running lines that one page shows."""
MIRRORS = (("none", "As it is"), ("lines", "Mirror the lines"), ("picks", "Treadle backwards"))


@dataclass(frozen=True, slots=True)
class Place:
    """Which strip is looked at, which lines of it, and which node is in hand."""

    section: int = 0
    strip: int = 0
    first: int = 1
    at: str | None = None


@dataclass(frozen=True, slots=True)
class Oval:
    """A pick of a written line on the stair: its column, its height in px, its yarn's key where a yarn begins."""

    column: int
    y: float
    key: str | None


@dataclass(frozen=True, slots=True)
class LineRow:
    """A running line beside the cloth; ``y`` is its middle, px from the top."""

    number: int
    y: float
    node: str
    source: int | None
    is_numbered: bool
    ovals: tuple[Oval, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Bracket:
    """A band beside the cloth, px from the top."""

    node: str
    name: str
    words: str
    top: float
    foot: float


@dataclass(frozen=True, slots=True)
class LineCard:
    """A written line in hand."""

    node: str
    band: str
    band_name: str
    number: int
    of: int
    text: str
    running: str
    picks: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class BandCard:
    """A band as the outline shows it, highest first as on the cloth."""

    node: str
    name: str
    words: str
    running: str
    times: int
    mirror: str
    middle: str
    joint: str
    resume: bool
    lines_per_cm: str
    middles: tuple[tuple[str | Figure, ...], ...]
    lines: tuple[tuple[str, str], ...]
    is_open: bool


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside the cloth."""

    rows: tuple[LineRow, ...]
    brackets: tuple[Bracket, ...]
    columns: int
    height: int
    first: int
    last: int
    lines: int


def strip_node(sheet: Sheet, place: Place) -> Node:
    """Return the node of the strip that is looked at."""
    return sheet.draft.children[place.section].children[place.strip]


def place_of(sheet: Sheet, plan: Plan, section: int, strip: int, first: int, at: str | None) -> Place:
    """Return a place that is really there, whatever was asked for; a node in hand brings its strip."""
    path = path_to(sheet.draft, at) if at else ()
    if len(path) > 2:
        section = sheet.draft.children.index(path[1])
        strip = path[1].children.index(path[2])
    section = min(max(section, 0), len(plan.cloth.sections) - 1)
    strips = plan.cloth.sections[section].strips
    strip = min(max(strip, 0), len(strips) - 1)
    lines = strips[strip].weaving.picks.line_count
    first = min(max(first, 1), max(1, lines - WINDOW + 1))
    return Place(section, strip, first, at if path else None)


def beside(sheet: Sheet, plan: Plan, place: Place) -> Beside:
    """Return brackets, line numbers and the stair of the lines in the window."""
    strip = plan.cloth.sections[place.section].strips[place.strip]
    lines = strip.weaving.picks.line_count
    last = min(lines, place.first + WINDOW - 1)
    tops = _tops(strip, plan.settings.line_height_mm.value)
    height = round(tops[last] - tops[place.first - 1]) if lines else 0
    node = strip_node(sheet, place)
    rows = tuple(_line_rows(node, strip, tops, place.first, last))
    sheds = int(strip.weaving.picks.slot.max(initial=0)) + 1
    brackets = tuple(_brackets(node, strip, tops, place.first, last))
    return Beside(rows, brackets, sheds, height, place.first, last, lines)


def _tops(strip: StripCloth, line_mm: float) -> list[float]:
    """Return the height of every line's top above the strip's foot, px; the first is the foot."""
    picks = strip.weaving.picks
    ends = np.flatnonzero(np.diff(picks.line, append=picks.line_count))
    return [0.0, *(picks.top_mm[ends] * (LINE_PX / line_mm)).tolist()]


def _starts(strip: StripCloth) -> tuple[list[int], list[int]]:
    """Return band and written line of every running line."""
    picks = strip.weaving.picks
    starts = np.flatnonzero(np.diff(picks.line, prepend=-1))
    return picks.band[starts].tolist(), picks.written[starts].tolist()


def _spans(strip: StripCloth) -> dict[int, tuple[int, int]]:
    """Return the first and the last running line of every band that is woven, from 1."""
    bands, _ = _starts(strip)
    found: dict[int, tuple[int, int]] = {}
    for line, band in enumerate(bands, 1):
        found[band] = (found.get(band, (line, line))[0], line)
    return found


def _line_rows(node: Node, strip: StripCloth, tops: list[float], first: int, last: int) -> list[LineRow]:
    bands, written = _starts(strip)
    seen: dict[tuple[int, int], int] = {}
    rows: list[LineRow] = []
    before: tuple[str, ...] = ()
    feet = {0} | {at for at in range(1, len(bands)) if bands[at] != bands[at - 1]}
    for at, key in enumerate(zip(bands, written, strict=True)):
        source = seen.setdefault(key, at)
        line = node.children[key[0]].children[key[1]]
        tokens = _tokens(line)
        if first <= at + 1 <= last:
            y, height = tops[last] - (tops[at] + tops[at + 1]) / 2, tops[at + 1] - tops[at]
            rows.append(
                LineRow(
                    number=at + 1,
                    y=y,
                    node=line.id,
                    source=None if source == at else source + 1,
                    is_numbered=at in feet or (at + 1) % 5 == 0,
                    ovals=_ovals(tokens, before, y, height) if source == at else (),
                    words=line.fields["text"],
                )
            )
        before = tokens
    return rows


def _tokens(line: Node) -> tuple[str, ...]:
    try:
        return read_line(line.fields["text"]).tokens
    except LineTextError:
        return ()


def _ovals(tokens: tuple[str, ...], before: tuple[str, ...], y: float, height: float) -> tuple[Oval, ...]:
    """Return the picks of a written line at their true offsets; the first shed lowest."""
    count_ = len(tokens)
    found = []
    for column, token in enumerate(tokens):
        if token == NOT_THROWN:
            continue
        offset = height * (0.5 - (column + 0.5) / count_)
        begins = column >= len(before) or before[column] != token
        found.append(Oval(column, y + offset, token.split("+")[0] if begins else None))
    return tuple(found)


def _brackets(node: Node, strip: StripCloth, tops: list[float], first: int, last: int) -> list[Bracket]:
    spans = _spans(strip)
    found = []
    for index, band in enumerate(node.children):
        if index not in spans:
            continue
        low, high = max(first, spans[index][0]), min(last, spans[index][1])
        if low <= high:
            top, foot = tops[last] - tops[high], tops[last] - tops[low - 1]
            found.append(Bracket(band.id, strip.bands[index], band_words(band), top, foot))
    return found


def band_words(band: Node) -> str:
    """Return ``6 lines, mirrored, 4 times`` in short."""
    mirror = {"lines": ", mirrored", "picks": ", backwards"}.get(band.fields.get("mirror", "none"), "")
    times = band.fields.get("times", 1)
    return f"{count(len(band.children), 'line')}{mirror}{f', × {times}' if times > 1 else ''}"


def band_cards(sheet: Sheet, plan: Plan, place: Place) -> tuple[BandCard, ...]:
    """Return the bands of the strip, highest first."""
    strip = plan.cloth.sections[place.section].strips[place.strip]
    spans = _spans(strip)
    path = path_to(sheet.draft, place.at) if place.at else ()
    held = path[3].id if len(path) > 3 else None
    cards = []
    for index, band in enumerate(strip_node(sheet, place).children):
        fields = band.fields
        cards.append(
            BandCard(
                node=band.id,
                name=strip.bands[index],
                words=band_words(band),
                running=f"lines {span(*spans[index])}" if index in spans else "no line",
                times=fields.get("times", 1),
                mirror=fields.get("mirror", "none"),
                middle=fields.get("middle", "single"),
                joint=fields.get("joint") or "",
                resume=bool(fields.get("resume", False)),
                lines_per_cm=f"{fields['lines_per_cm']:g}" if fields.get("lines_per_cm") is not None else "",
                middles=_middles(sheet, plan, band.id) if band.id == held else (),
                lines=tuple((line.id, line.fields["text"]) for line in band.children),
                is_open=band.id == held,
            )
        )
    return tuple(reversed(cards))


def _middles(sheet: Sheet, plan: Plan, band: str) -> tuple[tuple[str | Figure, ...], ...]:
    """Return what each way of coming back makes of a band: its lines and length, and what falls twice."""
    found = []
    for mirror, _ in MIRRORS:
        middle = middle_of(with_mirror(sheet.draft, band, mirror), sheet.draft, band, mirror)
        long = units_of(plan).short(Quantity(middle.mm, plan.settings.line_height_mm.basis))
        falls = "" if not middle.twice else f". {' and '.join(middle.twice).capitalize()} falls twice"
        found.append((f"{count(middle.lines, 'line')}, ", long, f" on the loom{falls}"))
    return tuple(found)


def line_card(sheet: Sheet, plan: Plan, place: Place) -> LineCard | None:
    """Return the line in hand, or None."""
    path = path_to(sheet.draft, place.at) if place.at else ()
    if len(path) != 5:
        return None
    band, line = path[3], path[4]
    strip = plan.cloth.sections[place.section].strips[place.strip]
    bands, written = _starts(strip)
    index, own = path[2].children.index(band), band.children.index(line)
    running = [at + 1 for at, key in enumerate(zip(bands, written, strict=True)) if key == (index, own)]
    lines = ", ".join(map(str, running[:6])) + (" …" if len(running) > 6 else "")
    picks = tuple((column + 1, token) for column, token in enumerate(_tokens(line)))
    return LineCard(
        node=line.id,
        band=band.id,
        band_name=strip.bands[index],
        number=own + 1,
        of=len(band.children),
        text=line.fields["text"],
        running=f"Line {lines}" if len(running) == 1 else f"Lines {lines}" if running else "Not woven",
        picks=tuple(reversed(picks)),
    )
