"""Strands woven as one: "2 strands of Nm 6/2", "Nm 6/2 + NeC 16/2", or one alone."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from weftline.core.yarn.reading import read_size
from weftline.core.yarn.size import Size, YarnSizeError, shown
from weftline.core.yarn.words import fibres_in

MOST_STRANDS = 40
_MOST_KINDS = 8
_BETWEEN = re.compile(r"\s+(?:\+|&|and|with|together with)\s+|\s*\+\s*(?=[^\d\s])", re.IGNORECASE)
_STRAND = r"(?:strands?|ends?|threads?)"
_FIRST = re.compile(
    rf"^\s*(?P<number>\d+)\s*(?:{_STRAND}\b(?:\s+of\b)?|[x×]\s*(?=[^\d\s]))\s*(?P<rest>.+)$", re.IGNORECASE
)
_LAST = re.compile(
    rf"^(?P<rest>.+?)[\s,]*(?:[x×]\s*)?\b(?P<number>\d+)\s*{_STRAND}\s*(?:held |used )?(?:together)?\s*$", re.IGNORECASE
)
_WORDS = {"single": 1, "double": 2, "doubled": 2, "twofold": 2, "triple": 3, "tripled": 3, "quadruple": 4}
_WORD = re.compile(rf"\b(?:used\s+|held\s+)?(?P<word>{'|'.join(_WORDS)})\b", re.IGNORECASE)
_SIDE_BY_SIDE = re.compile(r"\b(?:held|used|wound|woven)?\s*(?:together|as one)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Strand:
    """So many strands of one yarn.

    Attributes
    ----------
    number : how many lie together
    size : the yarn as its label reads
    fibres : the fibre groups that its label, or its owner, names
    """

    number: int
    size: Size
    fibres: tuple[str, ...]

    @property
    def tex(self) -> float:
        """Tex of all its strands, by the likeliest reading."""
        return self.number * self.size.likeliest.tex


def read_strands(text: str, fibre: str | None = None) -> tuple[Strand, ...]:
    """Read a label that may speak of several strands, alike or mixed.

    Parameters
    ----------
    text : as printed or said, at most 80 characters a yarn
    fibre : the fibre of the yarn in words; parts that name their own keep it

    Raises
    ------
    YarnSizeError : no system reads a part, or there are too many strands.

    >>> [(one.number, round(one.size.likeliest.tex)) for one in read_strands("2 strands of Nm 6/2 + NeC 16/2")]
    [(2, 333), (1, 74)]
    >>> [(one.number, one.size.likeliest.words) for one in read_strands("8/4 cotton")]
    [(1, 'cotton count 8, 4 plies')]
    """
    parts = [part for part in _BETWEEN.split(_SIDE_BY_SIDE.sub("", text)) if part.strip()]
    if 2 <= len(parts) <= _MOST_KINDS and (found := _mixed(text, parts, fibre)):
        return found
    return (_strand(text, fibre),)


def _mixed(text: str, parts: list[str], fibre: str | None) -> tuple[Strand, ...] | None:
    """Read the parts as yarns of their own, or nothing where they are one label: "40s + 20s cotton"."""
    try:
        found = tuple(_strand(part, fibre) for part in parts)
    except YarnSizeError:
        if _reads(text, fibre):
            return None
        raise
    settled = all(strand.size.question is None for strand in found)
    systems = {strand.size.likeliest.system for strand in found}
    several = any(strand.number > 1 for strand in found)
    if _reads(text, fibre) and not several and (not settled or len(systems) == 1):
        return None
    return found


def _reads(text: str, fibre: str | None) -> bool:
    """Whether a text is one label."""
    try:
        read_size(text, fibre)
    except YarnSizeError:
        return False
    return True


def _strand(text: str, fibre: str | None) -> Strand:
    """Read so many strands of one yarn."""
    number, label = 1, text
    for found, rest in _numbered(text):
        if found != 1 or rest != text:
            number, label = found, rest
            break
    if not 1 <= number <= MOST_STRANDS:
        raise YarnSizeError(
            f'"{shown(text)}" speaks of {number} strands; between 1 and {MOST_STRANDS} can be woven as one.', text=text
        )
    own = fibres_in(label)
    said = None if own else fibre
    return Strand(number, read_size(label, said), own or fibres_in(fibre or ""))


def _numbered(text: str) -> Iterator[tuple[int, str]]:
    """Yield the ways in which a text says a number of strands, with what is left of it."""
    for pattern in (_FIRST, _LAST):
        match = pattern.match(text)
        if match:
            yield int(match["number"][:6]), match["rest"]
    match = _WORD.search(text)
    if match and not match["word"].lower().startswith("single"):
        yield _WORDS[match["word"].lower()], (text[: match.start()] + text[match.end() :]).strip(" ,")
