"""Reads a printed pattern back from its words alone, with the tools that come with poppler."""

import re
import subprocess
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path
from typing import Any

from weftline.core.piece.values import Project
from weftline.core.plan.plan import plan
from weftline.sheets.typeset import Pattern, pattern

PICK = re.compile(r"(\d+)(?: ((?:raise|lower) (?:[\d+]+|nothing)): +|: +(?=– no pick))")
ROW = re.compile(r"^(\d+)(?:–(\d+))?(?: |$)")
REPEAT = re.compile(r"^Weave lines? (\d+)(?:–(\d+))? .* in all, up to line (\d+)\.")


def printed(project: Project, folder: Path, paper: str = "a4", units: str | None = None) -> tuple[Path, Pattern]:
    """Print a piece into a folder."""
    made = pattern(plan(project), paper, units)
    path = folder / "pattern.pdf"
    path.write_bytes(made.pdf)
    return path, made


def tool(name: str, *words: str | Path) -> str:
    """What one of poppler's programs says about a file."""
    ran = subprocess.run([name, *map(str, words)], capture_output=True, check=True)
    return ran.stdout.decode("utf-8")


def words_of(path: Path, *options: str) -> str:
    """The words of all pages."""
    return tool("pdftotext", *options, path, "-").replace("\f", "\n")


def joined(text: str) -> str:
    """A text without line breaks."""
    return " ".join(text.replace("\u200b", "").split())


def tight(text: str) -> str:
    """A text without any space, since long words may break anywhere."""
    return "".join(text.replace("\u200b", "").split())


def info(path: Path) -> dict[str, str]:
    """What the file says about itself."""
    return dict(re.findall(r"^([^:]+): +(.*)$", tool("pdfinfo", path), flags=re.MULTILINE))


def boxes(path: Path) -> list[tuple[float, float, list[tuple[str, float, float, float, float]]]]:
    """For each page its width and height and every word with its box, in points."""
    pages = []
    for width, height, page in re.findall(
        r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', words_of(path, "-bbox"), flags=re.DOTALL
    ):
        found = re.findall(
            r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', page
        )
        words = [(unescape(word), *(float(edge) for edge in edges)) for *edges, word in found]
        pages.append((float(width), float(height), words))
    return pages  # type: ignore[return-value]  # the starred tuple is four numbers


@dataclass
class Weaving:
    """What the pages headed *Weaving* say: for each line its picks, each a shed, a lift and a yarn a strip."""

    lines: dict[int, list[tuple[int, str, list[str]]]] = field(default_factory=dict)
    span: list[int] = field(default_factory=list)
    unit: tuple[int, int, int] | None = None

    def row(self, words: str) -> None:
        """Take in one row of the page."""
        if (found := REPEAT.match(words)) is not None:
            first = int(found[1])
            self.unit = (first, int(found[2] or first), int(found[3]))
        elif words.startswith("End of the repeat"):
            self.unroll()
        else:
            number, places = ROW.match(words), list(PICK.finditer(words))
            if not places:
                return
            if number is not None and number.end() <= places[0].start():
                first = int(number[1])
                self.span = list(range(first, int(number[2] or first) + 1))
                for line in self.span:
                    assert line not in self.lines, f"line {line} is printed twice"
                    self.lines[line] = []
            self.picks(words, places)

    def picks(self, words: str, places: list[re.Match[str]]) -> None:
        """Take in the picks of one row."""
        ends = [*(place.start() for place in places[1:]), len(words)]
        for place, end in zip(places, ends, strict=True):
            yarns = re.split(r" {2,}", words[place.end() : end].strip())
            for line in self.span:
                self.lines[line].append((int(place[1]), place[2] or "", yarns))

    def unroll(self) -> None:
        """Weave the lines of a repeat again up to its last line."""
        assert self.unit is not None
        first, last, end = self.unit
        for line in range(last + 1, end + 1):
            self.lines[line] = self.lines[first + (line - first) % (last - first + 1)]
        self.unit = None


def rebuilt(path: Path, heading: str = "Weaving") -> dict[int, list[tuple[int, str, list[str]]]]:
    """The lines of one section, from the words of its pages; rows that wrap are no rows of these pieces."""
    text = words_of(path, "-layout")
    start = re.search(rf"^{re.escape(heading)}$", text, flags=re.MULTILINE)
    assert start is not None, heading
    rest = text[start.end() :]
    stop = re.search(r"^(Weaving(: .*)?|Finishing)$", rest, flags=re.MULTILINE)
    woven = Weaving()
    for row in rest[: stop.start() if stop else None].splitlines():
        woven.row(row.strip())
    return woven.lines


def planned(project: Project, section: str) -> dict[int, list[tuple[str, list[str]]]]:
    """The same from the plan: for each line its thrown picks as lift and yarn a strip."""
    lines: dict[int, list[tuple[str, list[str]]]] = {}
    last: Any = None
    for step in plan(project).steps():
        if step.section != section or step.piece != 1:
            continue
        words = " + ".join(f"{strands} {key}" for key, strands in step.strands)
        picks = lines.setdefault(step.line, [])
        if (step.line, step.pick) != last:
            picks.append((step.lift.words(), []))
        picks[-1][1].append(words)
        last = (step.line, step.pick)
    return lines
