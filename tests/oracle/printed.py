"""Rebuild the cloth from the words of a printed pattern, as docs/pattern-text.md tells.

What cannot be followed to the last line raises a ``ValueError``.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

Winding = tuple[tuple[str, int], ...]
Pick = tuple[frozenset[int], Winding]

SOFT_BREAK = "\u200b"
FOOTER = re.compile(r"\bpage \d+ of \d+$")
CHUNK = re.compile(r"\S+(?: \S+)*")
THREADED = re.compile(
    r"(?P<name>.*\S)\s+ends? (?P<first>\d+)(?:–(?P<last>\d+))?\s{2,}(?:\d+ ends?\s{2,})?"
    r"(?P<shafts>\(?\d(?:[\d ,×()]|then \d)*)(?:\s{2,}then .*)?"
)
SECTION_LENGTH = re.compile(
    r"that takes \S+ \S+ of yarn\. (.*?) (?:\d+ pieces, each )?\d[\d.,/]*(?: \d+/\d+)? \S+ woven\b"
)
RIGHT_LENGTH = re.compile(r"\s{2,}[\d.,]+ (?:cm|mm|in|m|yd|ft)$")
PROSE = r"\s+Take care\.|Weave .* of scrap|Weave all of this|Use each shed on|Every line is printed"
BAND = re.compile(r"lines? (\d+)(?:–(\d+))?, .* lines per .*")
FOLD = re.compile(r"Weave lines? (\d+)(?:–(\d+))? .* in all, up to line (\d+)\.")
UNFOLD = re.compile(r"End of the repeat: .* up to line (\d+)\.")
STRANDS = r"\d+ [^\W\d_][^\W_]*"
WINDING = re.compile(rf"– no pick|{STRANDS}(?: \+ {STRANDS})*")


@dataclass(frozen=True)
class PrintedStrip:
    """A strip: the shaft of each end from the left, and its picks in the order thrown, with their line numbers."""

    name: str
    ends: tuple[int, ...]
    picks: tuple[Pick, ...]
    lines: tuple[int, ...]


@dataclass(frozen=True)
class PrintedSection:
    """A section with its strips from left to right; one piece of it, where several are woven alike."""

    name: str
    strips: tuple[PrintedStrip, ...]


@dataclass
class _Cell:
    """What one strip gets in one pick, and where that stood in its row."""

    column: int
    text: str


_Throw = tuple[int, list[_Cell]]  # a shed, and a cell for each strip
_Line = list[_Throw]
_Strip = tuple[str, tuple[int, ...]]  # its name and the shafts of its ends
_Head = re.Pattern[str]  # how a pick begins: "2 raise 1+3:" or "2:"
_Covered = dict[int, frozenset[int]]


def read_pattern(text: str) -> tuple[PrintedSection, ...]:
    """Rebuild every section from the text of ``pdftotext -layout``."""
    pages = [_page(page) for page in text.split("\f")]
    rows = [row for page in pages for row in page]
    covered, head = _read_sheds(rows)
    parts = _weaving_parts(pages)
    threadings = _read_threadings(rows, [name for name, _ in parts])
    if len(parts) == 1:
        parts = [(_only_section(rows), parts[0][1])]
    return tuple(
        PrintedSection(name, _strips(strips, _read_lines(steps, head, [strip[0] for strip in strips]), covered))
        for (name, steps), strips in zip(parts, threadings, strict=True)
    )


def face(strip: PrintedStrip) -> list[list[str]]:
    """For each end, from the foot up, the beads on the face, as ``o x2`` or ``b x1 + n x1``."""
    beads = [(covered, " + ".join(f"{key} x{strands}" for key, strands in yarns)) for covered, yarns in strip.picks]
    return [[bead for covered, bead in beads if shaft in covered] for shaft in strip.ends]


def _page(page: str) -> list[str]:
    """The rows of a page without its foot, and a blank row after them."""
    rows = [row.rstrip() for row in page.rstrip().split("\n")]
    return [*(rows[:-1] if FOOTER.search(rows[-1]) else rows), ""]


def _chunks(row: str, start: int = 0) -> list[_Cell]:
    """The words of a row that stand together, with their columns."""
    return [_Cell(found.start(), found.group()) for found in CHUNK.finditer(row, start)]


def _joined(parts: Sequence[str]) -> str:
    """Rows of one name or sentence put together again; a word broken in two leaves a soft break behind."""
    text = ""
    for part in filter(None, (part.strip() for part in parts)):
        text += part if not text or text.endswith(SOFT_BREAK) else f" {part}"
    return text.replace(SOFT_BREAK, "")


def _find(rows: Sequence[str], pattern: str, then: str = "", start: int = 0) -> int:
    """Where a row begins as told, and the row after it with the given words."""
    for index in range(start, len(rows) - 1):
        if re.match(pattern, rows[index]) and rows[index + 1].startswith(then):
            return index
    raise ValueError(f"no row {pattern!r}")


def _only_section(rows: Sequence[str]) -> str:
    """The name of a single section, which stands only where the warp is reckoned up."""
    last = _find(rows, "The warp, all together  ")
    first = last - rows[last::-1].index("The warp")
    if not (found := SECTION_LENGTH.search(_joined([RIGHT_LENGTH.sub("", row) for row in rows[first:last]]))):
        raise ValueError("the section has no name in the table of the warp")
    return found[1]


def _read_threadings(rows: Sequence[str], sections: Sequence[str]) -> list[list[_Strip]]:
    """For each section its strips, by name and by the shafts of their ends."""
    start = _find(rows, "Threading$", "From the left")
    if len(sections) == 1:
        threaded = _threaded(rows[start : _find(rows, "Heddles:", start=start)])
        return [[(name, ends) for name, _, ends in threaded if name != "left idle"]]
    start = _find(rows, "Where each section lies", start=start)
    found: list[list[_Strip]] = []
    last, ahead, later = 0, "", iter(sections)
    for name, first, ends in _threaded(rows[start : _find(rows, "Sheds$", "Woven face", start)]):
        if not found or first <= last or not name.startswith(ahead):
            ahead = f"{next(later, None)}, "
            found.append([])
        if not name.startswith(ahead):
            raise ValueError(f"no section for the strip {name!r}")
        found[-1].append((name.removeprefix(ahead), ends))
        last = first + len(ends) - 1
    return found


def _threaded(rows: Sequence[str]) -> Iterator[tuple[str, int, tuple[int, ...]]]:
    """The name, the first end and the shafts of every row of threading, with what runs on below it."""
    row: re.Match[str] | None = None
    names, shafts = list[str](), list[str]()
    for text in [*rows, ""]:
        found = THREADED.fullmatch(text)
        if row and (found or not text):
            ends = _shafts(" ".join(shafts))
            if len(ends) != int(row["last"] or row["first"]) - int(row["first"]) + 1:
                raise ValueError(f"{len(ends)} shafts for {row[0]!r}")
            yield _joined(names), int(row["first"]), ends
            row = None
        if found:
            row, names, shafts = found, [found["name"]], [found["shafts"]]
        elif row:
            for chunk in _chunks(text):
                if chunk.column < row.start("first") - len("ends "):
                    names.append(chunk.text)
                elif abs(chunk.column - row.start("shafts")) < 5:
                    shafts.append(chunk.text)


def _shafts(text: str) -> tuple[int, ...]:
    """``1 2 3 2 × 15, then 1`` written out."""
    ends: list[int] = []
    for group in text.replace("then", " ").split(","):
        shafts, _, times = group.partition("×")
        ends += [int(shaft) for shaft in shafts.strip(" ()").split()] * int(times or 1)
    return tuple(ends)


def _read_sheds(rows: Sequence[str]) -> tuple[_Covered, _Head]:
    """The table of sheds; a row that runs on is put together by its columns."""
    start = _find(rows, r"Shed\s+Weft lies over\s+Move\s")
    over, move = rows[start].index("Weft"), rows[start].index("Move")
    dots = rows[start].index("1")
    table: list[tuple[str, list[str], list[str]]] = []
    for row in rows[start + 1 :]:
        if row.startswith("A full dot"):
            break
        if number := re.match(r"(\d+)\s{2,}", row):
            table.append((number[1], [], []))
        for chunk in _chunks(row):
            if table and over - 3 < chunk.column < dots - 3:
                _, shafts, moved = table[-1]
                (shafts if chunk.column < move - 3 else moved).append(chunk.text)
    covered = {int(shed): frozenset(map(int, re.findall(r"\d+", "".join(shafts)))) for shed, shafts, _ in table}
    heads = "|".join(rf"{shed}(?: {re.escape(''.join(moved))})?" for shed, _, moved in table)
    return covered, re.compile(rf"(?<!\S)(?:{heads}):(?!\S)")


def _weaving_parts(pages: Sequence[Sequence[str]]) -> list[tuple[str, list[str]]]:
    """The name that heads each part of the pages Weaving, and its rows to the next part or the end."""
    parts: list[tuple[str, list[str]]] = []
    for page in pages:
        if re.match(r"Weaving$|Weaving: ", page[0]) and any(row.startswith("Every line is printed") for row in page):
            first = _find(page, PROSE, start=1)
            parts.append((_joined(page[:first]).removeprefix("Weaving").removeprefix(": "), list(page[first:])))
        elif parts:
            parts[-1][1].extend(page)
    return parts


def _read_lines(rows: Sequence[str], head: _Head, names: Sequence[str]) -> list[_Line]:
    """Every line of a section from the first woven, repeats and ranges written out."""
    woven, block = list[_Line](), list[str]()
    fold: tuple[int, int, int] | None = None
    told, due = 0, 1
    for row in rows:
        begins = re.match(rf"{due}(?:–(\d+))?\s", row) if head.search(row) else None
        closes = UNFOLD.fullmatch(row) if fold and due == fold[1] + 1 else None
        if block and (begins or closes or not row):
            woven += [_read_line(block, head, names)] * (due - 1 - len(woven))
            block = []
        if begins:
            block, due = [row], int(begins[1] or due) + 1
        elif closes and fold:
            woven, due, fold = _unfolded(woven, fold), fold[2] + 1, None
        elif block:
            block.append(row)
        elif (found := FOLD.fullmatch(row)) and int(found[1]) == due:
            fold = due, int(found[2] or due), int(found[3])
        elif (found := BAND.fullmatch(row)) and int(found[1]) == due:
            told = int(found[2] or due)
    if fold or not woven or due != told + 1:
        raise ValueError(f"line {due} does not follow; the band goes up to line {told}")
    return woven


def _unfolded(woven: list[_Line], fold: tuple[int, int, int]) -> list[_Line]:
    """The lines woven so far, the last of them as often as the repeat says."""
    first, last, upto = fold
    times, rest = divmod(upto - first + 1, last - first + 1)
    if rest or len(woven) != last:
        raise ValueError(f"lines {first}–{last} do not come out at line {upto}")
    return woven[: first - 1] + woven[first - 1 :] * times


def _read_line(block: Sequence[str], head: _Head, names: Sequence[str]) -> _Line:
    """The picks of one line from its rows."""
    line: _Line = []
    row_start = 0
    for row in block:
        heads = list(head.finditer(row))
        if not heads:  # what runs on from the row above; the line's own words run on at the margin
            fragments = [chunk for chunk in _chunks(row) if chunk.column]
            if len(names) > 4:
                line[-1][1].extend(fragments)
            else:
                _run_on([cell for _, cells in line[row_start:] for cell in cells], fragments)
            continue
        row_start = len(line)
        for begin, stop in zip(heads, [*(after.start() for after in heads[1:]), None], strict=True):
            line.append((int(re.split(r"\D", begin[0])[0]), _chunks(row[:stop], begin.end())))
    if len(names) > 4:
        line = [(shed, _behind_names(" ".join(cell.text for cell in cells), names)) for shed, cells in line]
    for shed, cells in line:
        if len(cells) != len(names) or not all(WINDING.fullmatch(cell.text) for cell in cells):
            raise ValueError(f"{cells} in shed {shed} of {block} do not fit {len(names)} strips")
    return line


def _run_on(cells: Sequence[_Cell], fragments: Sequence[_Cell]) -> None:
    """Put what did not fit into a row behind the cells that it belongs to."""
    torn = [cell for cell in cells if not WINDING.fullmatch(cell.text)]
    if len(torn) != len(fragments):  # marks stand before a cell's first words, so these begin right of the fragment
        torn = [next((cell for cell in cells if cell.column >= part.column), cells[-1]) for part in fragments]
    for cell, part in zip(torn, fragments, strict=True):
        cell.text += f" {part.text}"


def _behind_names(text: str, names: Sequence[str]) -> list[_Cell]:
    """The cells of many strips, each behind the name of its strip."""
    loose = [r"\s*".join(map(re.escape, name.replace(" ", ""))) for name in names]
    found = re.fullmatch(r"[\s,;]*".join(rf"{name}:?\s*({WINDING.pattern})" for name in loose), text)
    if not found:
        raise ValueError(f"{text!r} does not name {len(names)} strips in turn")
    return [_Cell(found.start(index + 1), cell) for index, cell in enumerate(found.groups())]


def _strips(strips: Sequence[_Strip], lines: Sequence[_Line], covered: _Covered) -> tuple[PrintedStrip, ...]:
    """The lines of a section dealt out to its strips."""
    printed: list[PrintedStrip] = []
    for place, (name, ends) in enumerate(strips):
        told = [
            (number, (covered[shed], winding))
            for number, line in enumerate(lines, 1)
            for shed, cells in line
            if (winding := _winding(cells[place].text))
        ]
        printed.append(PrintedStrip(name, ends, tuple(pick for _, pick in told), tuple(number for number, _ in told)))
    return tuple(printed)


def _winding(text: str) -> Winding:
    """``1 n + 2 b`` as yarns and strands, sorted; nothing for no pick."""
    strands: Counter[str] = Counter()
    for number, key in re.findall(r"(\d+) (\w+)", text):
        strands[key] += int(number)
    return tuple(sorted(strands.items()))
