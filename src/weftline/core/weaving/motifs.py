"""What comes again in a pattern, also in other colours; borders; what is ground and what is stripes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from weftline.core.weave.line import NOT_THROWN, read_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.values import Band

MOTIF_LINES = 4
"""Fewer lines are not called a motif."""

EARLIER = 24
"""How many earlier places with the same beginning are compared."""

Line = tuple[tuple[str, ...], bool]
"""Words of one line and whether its last shed is thrown first."""

Look = Literal["ground", "stripes", "pattern"]


@dataclass(frozen=True, slots=True)
class Again:
    """Written lines that come again.

    Parameters
    ----------
    band, line : int
        Where they come again: band, and line of the band with ``*n`` multiplied out, from 0.
    earlier_band, earlier_line : int
        Where they came before.
    lines : int
        How many.
    turned : bool
        Whether they come in reverse order.
    renamed : tuple of tuple of str
        (before, now) for each yarn that was exchanged; empty for the same colours.
    whole : bool
        Whether both are all of their bands, mirrored alike.
    """

    band: int
    line: int
    earlier_band: int
    earlier_line: int
    lines: int
    turned: bool
    renamed: tuple[tuple[str, str], ...]
    whole: bool


def written_out(band: Band) -> list[Line]:
    """Return the written lines of a band, ``*n`` multiplied out."""
    read = [read_line(text) for text in band.lines]
    return [(line.tokens, line.back) for line in read for _ in range(line.times)]


def look_of(band: Band) -> Look:
    """Return what a band is: one yarn throughout, one yarn a line, or a pattern.

    Examples
    --------
    >>> from weftline.core.piece.values import Band
    >>> look_of(Band(lines=("o o o *4",))), look_of(Band(lines=("o o o", "s s s"))), look_of(Band(lines=("s o o",)))
    ('ground', 'stripes', 'pattern')
    """
    yarns = [set(tokens) - {NOT_THROWN} for tokens, _ in written_out(band)]
    if any(len(line) > 1 for line in yarns):
        return "pattern"
    return "ground" if len(set().union(*yarns)) == 1 else "stripes"


def recurrences(bands: Sequence[Band]) -> list[Again]:
    """Return the lines that come again, from the foot up; grounds and stripes are left out."""
    found: list[Again] = []
    texts = [written_out(band) for band in bands]
    begun: dict[object, list[tuple[int, int]]] = {}
    for place, text in enumerate(texts):
        again = _whole(bands, texts, place)
        if again is not None:
            found.append(again)
        line = 0
        while line + MOTIF_LINES <= len(text):
            beginning = _shape(text[line : line + MOTIF_LINES])
            earlier = begun.setdefault(beginning, [])
            best = None if again is not None else _longest(texts, place, line, earlier[-EARLIER:])
            step = 1 if best is None else best.lines
            if best is not None:
                found.append(best)
            earlier.append((place, line))
            for between in range(line + 1, min(line + step, len(text) - MOTIF_LINES + 1)):
                begun.setdefault(_shape(text[between : between + MOTIF_LINES]), []).append((place, between))
            line += step
    return found


def borders(bands: Sequence[Band], again: Sequence[Again]) -> int:
    """Return how many bands at the foot come again at the head in reverse order, each in its own colours."""
    same = {(found.earlier_band, found.band) for found in again if found.whole and not found.renamed}
    count = 0
    while 2 * count + 1 < len(bands):
        foot, head = count, len(bands) - 1 - count
        alike = bands[foot].lines == bands[head].lines and bands[foot].mirror == bands[head].mirror
        if (foot, head) not in same and not alike:
            break
        count += 1
    return count


def _shape(lines: Sequence[Line]) -> tuple[tuple[tuple[int, ...], bool], ...]:
    """Return lines with yarns numbered in the order in which they first come."""
    numbers: dict[str, int] = {NOT_THROWN: -1}
    return tuple((tuple(numbers.setdefault(word, len(numbers)) for word in words), back) for words, back in lines)


def _renaming(before: Sequence[Line], now: Sequence[Line]) -> dict[str, str] | None:
    """Return which yarn stands for which, as far as the lines agree up to that; None where they do not."""
    forth: dict[str, str] = {}
    back: dict[str, str] = {}
    for (old, old_way), (new, new_way) in zip(before, now, strict=True):
        if old_way != new_way:
            return None
        for word, other in zip(old, new, strict=True):
            if (word == NOT_THROWN) != (other == NOT_THROWN):
                return None
            if forth.setdefault(word, other) != other or back.setdefault(other, word) != word:
                return None
    return forth


def _exchanged(renaming: dict[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((old, new) for old, new in sorted(renaming.items()) if old != new)


def _tells(lines: Sequence[Line]) -> bool:
    """Return whether lines are more than ground or stripes."""
    return len(set(lines)) > 1 and any(len(set(words) - {NOT_THROWN}) > 1 for words, _ in lines)


def _whole(bands: Sequence[Band], texts: Sequence[list[Line]], place: int) -> Again | None:
    """Return a band as an earlier one, the same colours before others, the same order before the reverse."""
    text = texts[place]
    if not _tells(text):
        return None
    found: list[tuple[bool, bool, int, dict[str, str]]] = []
    for earlier in range(place):
        same_sheds = bands[earlier].sheds == bands[place].sheds and len(texts[earlier]) == len(text)
        alike = (bands[earlier].mirror, bands[earlier].middle) == (bands[place].mirror, bands[place].middle)
        if same_sheds and alike:
            for turned in (False, True):
                renaming = _renaming(texts[earlier][::-1] if turned else texts[earlier], text)
                if renaming is not None:
                    found.append((bool(_exchanged(renaming)), turned, earlier, renaming))
    if not found:
        return None
    _, turned, earlier, renaming = min(found, key=lambda way: way[:3])
    return Again(place, 0, earlier, 0, len(text), turned, _exchanged(renaming), True)


def _longest(texts: Sequence[list[Line]], place: int, line: int, earlier: Sequence[tuple[int, int]]) -> Again | None:
    """Return the longest run of lines from here that came before without overlapping, the same colours first."""
    best: tuple[int, bool, Again] | None = None
    for band, start in earlier:
        most = min(len(texts[band]) - start, len(texts[place]) - line)
        if band == place:
            most = min(most, line - start)
        lines, renaming = 0, None
        for count in range(MOTIF_LINES, most + 1):
            longer = _renaming(texts[band][start : start + count], texts[place][line : line + count])
            if longer is None:
                break
            lines, renaming = count, longer
        if renaming is None or not _tells(texts[place][line : line + lines]):
            continue
        exchanged = _exchanged(renaming)
        again = Again(place, line, band, start, lines, False, exchanged, False)
        if best is None or (lines, not exchanged) > best[:2]:
            best = lines, not exchanged, again
    return None if best is None else best[2]
