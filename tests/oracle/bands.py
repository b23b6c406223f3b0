"""How written bands of weaving lines expand, done slowly and plainly.

A line is a list of throws in the order they are thrown; a throw is a pair (shed index, written yarn).
A band is a list of lines. Every step of the expansion makes a new list of lines from the one before.
"""

from dataclasses import dataclass
from fractions import Fraction

Throw = tuple[int, str]
Line = list[Throw]


@dataclass(frozen=True)
class OraclePick:
    """One passage of weft."""

    band: int  # index in the list of bands, from 0
    line: int  # running line number within the strip, from 1
    shed: frozenset[int]
    strands: tuple[tuple[str, int], ...]  # (yarn, strands), sorted by yarn
    height_mm: float  # centre of the pick above the foot of the strip


@dataclass
class _Expanded:
    """One band after every step of its expansion."""

    sheds: list[frozenset[int]]
    lines: list[Line]
    whole_line_mm: Fraction


def expand_strip(
    bands: list[dict[str, object]],
    default_sheds: list[list[int]],
    strands: dict[str, int],
    lines_per_cm: float,
) -> tuple[list[OraclePick], list[str]]:
    """Return every pick of the strip from the foot up, and one note per resume without effect."""
    expanded, notes = _expand_bands(bands, default_sheds, strands, lines_per_cm)
    picks: list[OraclePick] = []
    foot = Fraction(0)
    number = 0
    for index, band in enumerate(expanded):
        n = len(band.sheds)
        for line in band.lines:
            number += 1
            for j, (shed, yarn) in enumerate(line, start=1):
                centre = foot + (j - Fraction(1, 2)) / n * band.whole_line_mm
                picks.append(OraclePick(index, number, band.sheds[shed], _read_yarn(yarn, strands), float(centre)))
            foot += Fraction(len(line), n) * band.whole_line_mm
    return picks, notes


def total_height_mm(
    bands: list[dict[str, object]],
    default_sheds: list[list[int]],
    strands: dict[str, int],
    lines_per_cm: float,
) -> float:
    """Return the height of all lines of the strip together."""
    expanded, _ = _expand_bands(bands, default_sheds, strands, lines_per_cm)
    total = Fraction(0)
    for band in expanded:
        for line in band.lines:
            total += Fraction(len(line), len(band.sheds)) * band.whole_line_mm
    return float(total)


def line_count(
    bands: list[dict[str, object]],
    default_sheds: list[list[int]],
    strands: dict[str, int],
    lines_per_cm: float,
) -> int:
    """Return how many numbered lines the strip has, whole and incomplete ones."""
    expanded, _ = _expand_bands(bands, default_sheds, strands, lines_per_cm)
    return sum(len(band.lines) for band in expanded)


def _expand_bands(
    bands: list[dict[str, object]],
    default_sheds: list[list[int]],
    strands: dict[str, int],
    lines_per_cm: float,
) -> tuple[list[_Expanded], list[str]]:
    """Expand the bands one after the other, remembering the last shed thrown for `resume`."""
    expanded: list[_Expanded] = []
    notes: list[str] = []
    shed_before: frozenset[int] | None = None
    for index, band in enumerate(bands):
        sheds = _sheds(band.get("sheds", default_sheds))
        lines = _written_lines(band, len(sheds), strands)
        lines = _mirrored_and_repeated(band, lines)
        if _flag(band, "resume"):
            thrown = [throw for line in lines for throw in line]
            if thrown and sheds[thrown[0][0]] == shed_before:
                lines = _without_first_pick(lines)
            else:
                notes.append(f"bands[{index}]: resume has no effect")
        for line in lines:
            for shed, _ in line:
                shed_before = sheds[shed]
        expanded.append(_Expanded(sheds, lines, 10 / _density(band.get("lines_per_cm", lines_per_cm))))
    return expanded, notes


def _mirrored_and_repeated(band: dict[str, object], lines: list[Line]) -> list[Line]:
    """Apply `mirror`, then `times`."""
    mirror = _choice(band, "mirror", "none", ["none", "lines", "picks"])
    middle = _choice(band, "middle", "single", ["single", "double"])
    joint = _choice(band, "joint", middle, ["single", "double"])
    times = band.get("times", 1)
    if isinstance(times, bool) or not isinstance(times, int) or times < 1:
        raise ValueError(f"times must be a whole number from 1, not {times!r}")
    if mirror == "none":
        return lines * times
    if mirror == "lines":
        returning = [list(line) for line in reversed(lines)]
    else:
        returning = [list(reversed(line)) for line in reversed(lines)]
    once = lines + (_shortened(returning, mirror) if middle == "single" else returning)
    result = list(once)
    for _ in range(times - 1):
        result += _shortened(once, mirror) if joint == "single" else once
    return result


def _shortened(lines: list[Line], mirror: str) -> list[Line]:
    """Return the copy that follows a single middle or joint."""
    if mirror == "lines":
        return lines[1:]
    return _without_first_pick(lines)


def _without_first_pick(lines: list[Line]) -> list[Line]:
    """Take away the first thrown pick, and its line too if that was its only pick."""
    result: list[Line] = []
    dropped = False
    for line in lines:
        if dropped or not line:
            result.append(line)
            continue
        dropped = True
        if len(line) > 1:
            result.append(line[1:])
    return result


def _written_lines(band: dict[str, object], n: int, strands: dict[str, int]) -> list[Line]:
    """Read the written lines of a band and repeat those with `*n`."""
    written = band.get("lines")
    if not isinstance(written, list):
        raise ValueError("a band needs a list of lines")
    result: list[Line] = []
    for text in written:
        if not isinstance(text, str):
            raise ValueError(f"a line is written as text, not {text!r}")
        result += _read_line(text, n, strands)
    return result


def _read_line(text: str, n: int, strands: dict[str, int]) -> list[Line]:
    """Read one written line: a yarn or `-` per shed, then `*n` and `back`, each at most once."""
    words = text.replace("\u00d7", "*").replace("*", " *").replace("* ", "*").split()
    count: int | None = None
    back = False
    while words:
        if words[-1] == "back" and not back:
            back = True
        elif words[-1].startswith("*") and count is None:
            digits = words[-1][1:]
            if not (digits.isascii() and digits.isdigit()) or int(digits) < 1:
                raise ValueError(f"cannot read the repeat of line {text!r}")
            count = int(digits)
        else:
            break
        words.pop()
    if len(words) != n:
        raise ValueError(f"line {text!r} has {len(words)} yarns for {n} sheds")
    line: Line = []
    for shed, word in enumerate(words):
        if word != "-":
            _read_yarn(word, strands)
            line.append((shed, word))
    if back:
        line.reverse()
    return [list(line) for _ in range(count or 1)]


def _read_yarn(word: str, strands: dict[str, int]) -> tuple[tuple[str, int], ...]:
    """Read `a` (all strands of that yarn) or `a+b` (one strand for each letter)."""
    letters = word.split("+")
    for letter in letters:
        if letter not in strands:
            raise ValueError(f"unknown yarn {letter!r}")
    if len(letters) == 1:
        return ((word, strands[word]),)
    return tuple((letter, letters.count(letter)) for letter in sorted(set(letters)))


def _sheds(value: object) -> list[frozenset[int]]:
    """Read a list of sheds, each a list of shaft numbers."""
    if not isinstance(value, list) or not value:
        raise ValueError(f"sheds must be a list with at least one shed, not {value!r}")
    sheds: list[frozenset[int]] = []
    for shafts in value:
        if not isinstance(shafts, list) or any(isinstance(s, bool) or not isinstance(s, int) for s in shafts):
            raise ValueError(f"a shed must be a list of shaft numbers, not {shafts!r}")
        sheds.append(frozenset(shafts))
    return sheds


def _density(value: object) -> Fraction:
    """Read a number of lines per centimetre."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not value > 0:
        raise ValueError(f"lines_per_cm must be a number above 0, not {value!r}")
    return Fraction(value)


def _choice(band: dict[str, object], key: str, default: str, allowed: list[str]) -> str:
    """Read one of a few words."""
    value = band.get(key, default)
    if not isinstance(value, str) or value not in allowed:
        raise ValueError(f"{key} must be one of {', '.join(allowed)}, not {value!r}")
    return value


def _flag(band: dict[str, object], key: str) -> bool:
    """Read a yes or no that is no when absent."""
    value = band.get(key, False)
    if not isinstance(value, bool):
        raise ValueError(f"{key} must be true or false, not {value!r}")
    return value
