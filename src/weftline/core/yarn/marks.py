"""A label's text cut into marks: numbers, words and signs. Pure text, no yarn knowledge but spelling.

Numbers as labels print them: "1600", "1 600", "1,600", "1.600,5", "2,5", "2½", "1'600".
A comma or a point before exactly three digits can group or divide, so the caller says which.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from weftline.core.yarn.size import YarnSizeError, shown
from weftline.core.yarn.words import WORDS, Kind, Word

LONGEST = 80
"""Characters in a size; a longer text is refused unread."""

_SCAN = re.compile(
    r"(?P<number>\d+ [1357]/[248](?![\d/])|\d*[¼½¾⅓⅔⅛⅜⅝⅞]|\d+(?:[.,']\d+)*(?:e[+-]?\d{1,3}(?![^\W_]))?|(?<![\w.])\.\d+)"
    r"|(?P<word>[^\W\d_]+)|(?P<space>\s+)|(?P<sign>.)",
    re.DOTALL,
)
_SAME = str.maketrans(
    {"×": "x", "✕": "x", "*": "x", "⁄": "/", "∕": "/", "−": "-", "–": "-", "—": "-", "‐": "-"}
    | {"‑": "-", "’": "'", "′": "'", "≈": "=", "~": "=", ":": "=", "#": " lb "}
)
_CROSSED = ("texx", "dtexx", "ktexx", "denx", "sx", "lbx")
_GROUPS = re.compile(r"[1-9]\d{0,2}([.,])\d{3}")


@dataclass(frozen=True)
class Style:
    """Whether a comma or a point before exactly three digits groups thousands, or divides."""

    comma_groups: bool = True
    point_groups: bool = False


@dataclass(frozen=True)
class Mark:
    """A number, word or sign of a label.

    Attributes
    ----------
    kind : what it is
    text : folded text
    name : system id or fibre group
    value : the number, or the unit of a word in m or g
    glued : nothing stands between it and the mark before
    """

    kind: Kind
    text: str
    name: str = ""
    value: Fraction = Fraction(0)
    glued: bool = False


def open_styles(text: str) -> tuple[Style, ...]:
    """The styles in which numbers of `text` can differ, the usual one first."""
    found = {match[1] for match in _GROUPS.finditer(_plain(text))}
    styles = [Style()]
    if "," in found:
        styles.append(Style(comma_groups=False))
    if "." in found:
        styles.append(Style(point_groups=True))
    return tuple(styles)


def marks_of(text: str, style: Style) -> tuple[Mark, ...]:
    """The marks of a text of at most `LONGEST` characters.

    Raises
    ------
    YarnSizeError : a number is written so that it cannot be read, or is negative.
    """
    marks: list[Mark] = []
    glued = False
    plain = _plain(text)
    for match in _SCAN.finditer(plain):
        kind, piece = match.lastgroup, match[0]
        if kind == "number":
            _refuse_negative(marks, glued, text)
            marks.append(Mark("number", piece, "", _number(piece, style, text), glued))
        elif kind == "word" and piece != "x":
            crossed = plain[match.end() : match.end() + 1].isdigit() and piece in _CROSSED
            marks.extend(_words(piece, glued) if crossed else [_word(piece, glued)])
        elif kind != "space":
            marks.append(Mark("sign", piece, glued=glued))
        glued = kind != "space"
    return tuple(_joined_thousands(marks))


def _word(piece: str, glued: bool) -> Mark:
    """The mark of a run of letters."""
    word = WORDS.get(piece, Word("unknown"))
    return Mark(word.kind, piece, word.name, word.unit, glued)


def _words(piece: str, glued: bool) -> list[Mark]:
    """The marks of a unit with a cross behind it, as in "34texx2"."""
    return [_word(piece[:-1], glued), Mark("sign", "x", glued=True)]


def _plain(text: str) -> str:
    """Folded text with one spelling for each space, dash, cross, slash and digit."""
    out = []
    for char in text.translate(_SAME).replace("NeW", "nek").casefold():
        if char.isdecimal():
            out.append(str(unicodedata.decimal(char)))
        elif char.isspace():
            out.append(" ")
        elif "\uff00" <= char <= "\uffef":
            out.append(unicodedata.normalize("NFKC", char))
        else:
            out.append(char)
    return "".join(out)


def _refuse_negative(marks: list[Mark], glued: bool, text: str) -> None:
    """A minus that belongs to the number, not between two, makes no yarn."""
    if not (glued and marks and marks[-1].text == "-" and not marks[-1].glued):
        return
    if len(marks) < 2 or marks[-2].kind in ("sign", "system", "fibre", "plain", "unknown"):
        raise YarnSizeError(f'"{shown(text)}" has a negative number; a yarn number is above 0.', text=text)


def _joined_thousands(marks: list[Mark]) -> Iterator[Mark]:
    """The marks with "1 600" made one number, but not those of "8/2 500 m/kg" or "Ne 8 200 m/kg"."""
    waiting: list[Mark] = []
    for at, mark in enumerate(marks):
        united = at + 1 < len(marks) and marks[at + 1].kind in ("length", "mass")
        counted = united and len(waiting) > 1 and waiting[-2].kind == "system"
        if waiting and not counted and _continues(waiting, mark):
            head = waiting[-1]
            joined = head.value * 1000 + mark.value
            waiting[-1] = Mark("number", head.text + mark.text[:3], "", joined, head.glued)
        else:
            waiting.append(mark)
    yield from waiting


def _continues(before: list[Mark], mark: Mark) -> bool:
    """Whether a number goes on as the next three digits of the one before."""
    head = before[-1]
    if head.kind != "number" or mark.kind != "number" or mark.glued:
        return False
    in_fold = len(before) > 2 and before[-2].text in "/x-+" and before[-3].kind == "number"
    starts = re.fullmatch(r"[1-9]\d{0,2}|[1-9]\d{0,2}(\d{3})+", head.text)
    return not in_fold and bool(starts) and bool(re.fullmatch(r"\d{3}([.,]\d{1,2})?", mark.text))


def _number(piece: str, style: Style, text: str) -> Fraction:
    """The value of a number as printed, exact."""
    if " " in piece:
        whole, _, share = piece.partition(" ")
        return int(whole) + Fraction(share)
    if unicodedata.category(piece[-1]) == "No":
        part = Fraction(unicodedata.numeric(piece[-1])).limit_denominator(8)
        return Fraction(piece[:-1] or 0) + part
    body, _, power = piece.partition("e")
    if power and abs(int(power)) > 12:
        raise YarnSizeError(
            f'"{shown(text)}" has a number far outside any yarn; yarns run from 0.01 to 1000000 tex.',
            text=text,
        )
    return _decimal(body.replace("'", ""), style, text) * Fraction(10) ** int(power or 0)


def _decimal(body: str, style: Style, text: str) -> Fraction:
    """The value of digits with commas and points."""
    kinds = {char for char in body if char in ",."}
    divider = max(kinds, key=body.rfind, default="")
    if len(kinds) == 1 and (body.count(divider) > 1 or _grouping(body, style)):
        divider = ""
    whole, _, part = body.rpartition(divider) if divider else (body, "", "")
    groups = re.split("[.,]", whole)
    fits = all(len(group) == 3 for group in groups[1:]) and len(groups[0]) <= 3
    if len(groups) > 1 and not fits:
        raise YarnSizeError(f'"{shown(body)}" is no number that can be read; write it like 1600 or 2.5.', text=text)
    return Fraction(f"{''.join(groups) or 0}.{part or 0}")


def _grouping(body: str, style: Style) -> bool:
    """Whether the one comma or point in `body` stands for thousands."""
    match = _GROUPS.fullmatch(body)
    return match is not None and (style.comma_groups if match[1] == "," else style.point_groups)
