"""What a label states, before any system is chosen: folds, lengths with masses, systems, fibres."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from weftline.core.yarn.marks import Mark, Style, marks_of
from weftline.core.yarn.size import YarnSizeError, shown
from weftline.core.yarn.words import Kind

_COUNTED = {"count", "counts", "number"}
_BARRIER = Mark("sign", "|")
_UNITS: tuple[Kind, ...] = ("length", "mass")


@dataclass(frozen=True)
class Fold:
    """Numbers that belong together: "8/2", "34 tex x 2", "R 60 tex / 2", or one alone.

    Attributes
    ----------
    numbers : as printed, in order
    sign : between them: "/", "x", "-" or "" for one number alone
    count_at : index of the number that is marked as the count ("40s", "34 tex x 2"), or None
    systems : ids of the systems that are named right beside it
    english : marked with the s of the English hank systems
    finished : marked R, the size of the finished yarn
    """

    numbers: tuple[Fraction, ...]
    sign: str = ""
    count_at: int | None = None
    systems: tuple[str, ...] = ()
    english: bool = False
    finished: bool = False


@dataclass(frozen=True)
class Quantity:
    """A length (m) or a mass (g) on a label; `number` is None for the bare unit of "m/kg"."""

    kind: Kind
    number: Fraction | None
    unit: Fraction
    word: str

    @property
    def size(self) -> Fraction:
        """The quantity in m or g."""
        return (1 if self.number is None else self.number) * self.unit


@dataclass(frozen=True)
class Label:
    """All that a label states.

    Attributes
    ----------
    text : as printed
    statements : each a sum of folds; "40s + 20s" is one of two
    lengths, masses : in the order of the label
    systems, fibres : those named, each once
    spun, counted : whether it says "spun" (silk), "count"
    plies : number of plies in words, or None
    strange : unknown words beside a number, which may be slips
    """

    text: str
    statements: tuple[tuple[Fold, ...], ...]
    lengths: tuple[Quantity, ...]
    masses: tuple[Quantity, ...]
    systems: tuple[str, ...]
    fibres: tuple[str, ...]
    spun: bool
    counted: bool
    plies: int | None
    strange: tuple[str, ...]


def label_of(text: str, style: Style) -> Label:
    """Take a label apart.

    Raises
    ------
    YarnSizeError : a number cannot be read, or the label speaks of strands or of a range.
    """
    marks = _in_context(marks_of(text, style))
    if any(mark.kind == "strands" for mark in marks):
        raise YarnSizeError(
            f'"{shown(text)}" speaks of several strands; give the size of one strand,'
            " and say how many are woven as one with the weft.",
            text=text,
        )
    strange = tuple(mark.text for i, mark in enumerate(marks) if mark.kind == "unknown" and _beside_number(marks, i))
    quantities, rest = _quantities(_without_asides(marks), text)
    plies, rest = _plies(rest)
    return Label(
        text,
        _statements(rest),
        tuple(q for q in quantities if q.kind == "length"),
        tuple(q for q in quantities if q.kind == "mass"),
        tuple(dict.fromkeys(mark.name for mark in marks if mark.kind == "system")),
        tuple(dict.fromkeys(mark.name for mark in marks if mark.kind == "fibre")),
        any(mark.text == "spun" for mark in marks),
        any(mark.text in _COUNTED for mark in marks),
        plies,
        strange,
    )


def _beside_number(marks: Sequence[Mark], i: int) -> bool:
    """Whether a number or a unit stands beside mark `i`, with no more than a sign between."""
    signed = i > 0 and marks[i - 1].kind == "sign"
    near = [marks[j] for j in (i - 2 if signed else i - 1, i + 1) if 0 <= j < len(marks)]
    return any(mark.kind in ("number", *_UNITS) for mark in near)


def _in_context(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    """The marks with words settled that other words decide.

    "8 lb jute" and "4 dram silk" number a yarn where no length is given; "Galashiels 16 cut",
    "old denier", "French count", "glass cut" and "West of England" name one system.
    """
    said = {mark.text for mark in marks} | {mark.name for mark in marks}
    weighed = all(mark.kind != "length" for mark in marks)
    names: dict[str, str] = {}
    if weighed:
        names |= dict.fromkeys(("dram", "drams"), "manchester")
        names |= dict.fromkeys(("grain", "grains"), "grain120")
    if weighed and said & {"jute", "hemp", "linen"} and _numbers_in_pounds(marks):
        names |= dict.fromkeys(("lb", "lbs", "pound", "pounds"), "jute")
    if said & {"gala", "asb_am", "glass"}:
        names |= dict.fromkeys(("cut", "cuts"), "gala" if "gala" in said else "asb_am")
    if "old" in said:
        names |= dict.fromkeys(("den", "denier", "deniers"), "oldden")
    if said & _COUNTED:
        names["french"] = "Nf"
    if {"west", "england"} <= said:
        names["england"] = "woe"
    return tuple(replace(mark, kind="system", name=names[mark.text]) if mark.text in names else mark for mark in marks)


def _numbers_in_pounds(marks: Sequence[Mark]) -> bool:
    """Whether pounds stand right behind the first number or fold: "8 lb", "8/3 lb", not "16/2, 1 lb"."""
    texts = " ".join(mark.text if mark.kind in ("sign", "mass") else mark.kind for mark in marks)
    numbers = texts[texts.find("number") :] if "number" in texts else ""
    return re.match(r"number( [/x] number)* (lb|pound)", numbers) is not None


def _without_asides(marks: Sequence[Mark]) -> list[Mark]:
    """The marks without blends (70 %), twists (Z 400) and filament numbers (f 48)."""
    kept: list[Mark] = []
    skip = False
    for i, mark in enumerate(marks):
        after = marks[i + 1] if i + 1 < len(marks) else _BARRIER
        twist = mark.kind == "twist" or (mark.kind == "count" and not _marks_count(marks, i))
        if skip:
            skip = False
        elif mark.text == "%" or twist or mark.text == "f":
            if mark.text == "%" and kept and kept[-1].kind == "number":
                kept.pop()
            skip = mark.text != "%" and after.kind == "number"
        elif mark.kind not in ("plain", "unknown", "link") and mark.text not in "'().":
            kept.append(mark)
        elif mark.text in ("(", ")") or mark.kind == "unknown":
            kept.append(_BARRIER)
    return kept


def _marks_count(marks: Sequence[Mark], i: int) -> bool:
    """Whether the s at `i` is that of "40s" or "40's", not a twist direction."""
    if i and marks[i].glued and marks[i - 1].text == "'":
        i -= 1
    return bool(i) and marks[i].glued and marks[i - 1].kind == "number"


def _quantities(marks: list[Mark], text: str) -> tuple[list[Quantity], list[Mark]]:
    """Lengths and masses with their numbers, and the marks that remain."""
    found: list[Quantity] = []
    rest: list[Mark] = []
    for mark in marks:
        if mark.kind not in _UNITS:
            rest.append(mark)
            continue
        number = _number_before(rest)
        if number is not None and _is_range(rest):
            raise YarnSizeError(f'"{shown(text)}" gives a range; give one number, such as its middle.', text=text)
        found.append(Quantity(mark.kind, number, mark.value, mark.text))
        if rest and rest[-1] in (_BARRIER, Mark("sign", "/"), Mark("sign", "/", glued=True)):
            rest.pop()
        rest.append(_BARRIER)
    return _numbers_apart(found, rest)


def _number_before(rest: list[Mark]) -> Fraction | None:
    """Take the number at the end of the marks, "1/4" as a quarter and "3/2" as one and a half."""
    if not rest or rest[-1].kind != "number":
        return None
    number = rest.pop().value
    if len(rest) > 1 and rest[-1].text == "/" and rest[-2].kind == "number":
        part = rest[-2].value / number if number in (2, 3, 4, 8) else Fraction(0)
        if part.denominator == number:
            del rest[-2:]
            return part
    return number


def _is_range(rest: Sequence[Mark]) -> bool:
    """Whether the marks end in a number and a dash."""
    return len(rest) > 1 and rest[-1].text == "-" and rest[-2].kind == "number"


def _numbers_apart(found: list[Quantity], rest: list[Mark]) -> tuple[list[Quantity], list[Mark]]:
    """The quantities, where a lone number beside a bare rate ("m/kg: 2800") joins it."""
    loose = [mark for mark in rest if mark.kind == "number"]
    bare = bool(found) and all(quantity.number is None for quantity in found)
    if bare and len(found) == 2 and len(loose) == 1:
        first = replace(found[0], number=loose[0].value)
        return [first, found[1]], [mark for mark in rest if mark.kind != "number"]
    return found, rest


def _plies(marks: list[Mark]) -> tuple[int | None, list[Mark]]:
    """The number of plies that words give ("6-ply", "singles"), and the marks without them."""
    plies: int | None = None
    rest: list[Mark] = []
    for mark in marks:
        if mark.kind == "single":
            plies = 1
        elif mark.kind != "ply":
            rest.append(mark)
        else:
            if rest and rest[-1].text == "-":
                rest.pop()
            if rest and rest[-1].kind == "number" and rest[-1].value.denominator == 1:
                plies = int(rest.pop().value)
                rest.append(_BARRIER)
    return plies, rest


def _statements(marks: list[Mark]) -> tuple[tuple[Fold, ...], ...]:
    """The folds of a label, those joined with + together."""
    statements: list[tuple[Fold, ...]] = []
    at = 0
    joined = False
    while at < len(marks):
        if marks[at].kind != "number":
            joined = joined or (marks[at].text == "+" and bool(statements))
            at += 1
            continue
        fold, at = _fold_at(marks, at)
        statements.append((*statements.pop(), fold) if joined else (fold,))
        joined = False
    return tuple(statements)


def _fold_at(marks: list[Mark], start: int) -> tuple[Fold, int]:
    """The fold that starts with the number at `start`, and where it ends."""
    before = start
    while before and marks[before - 1].kind == "system":
        before -= 1
    finished = before > 0 and marks[before - 1].kind == "finished"
    fold = Fold((marks[start].value,), systems=_names(marks[before:start]), finished=finished)
    at = start + 1
    while True:
        number = len(fold.numbers) - 1
        behind, direct, english = _past(marks, at)
        fold = replace(fold, systems=fold.systems or _names(marks[at:behind]))
        at = behind
        if english:
            fold = replace(fold, count_at=number, english=True)
        if at >= len(marks) or marks[at].text not in ("/", "x", "-"):
            return fold, at
        follower, inside, _ = _past(marks, at + 1)
        if follower >= len(marks) or marks[follower].kind != "number":
            return fold, at
        if fold.count_at is None and (direct or inside):
            fold = replace(fold, count_at=number if direct else number + 1)
        sign = marks[at].text if fold.sign in ("", marks[at].text) else "?"
        fold = replace(fold, numbers=(*fold.numbers, marks[follower].value), sign=sign)
        at = follower + 1


def _past(marks: list[Mark], at: int) -> tuple[int, bool, bool]:
    """Where the system words and count marks from `at` end; whether there were any of each."""
    start = at
    while at < len(marks) and marks[at].kind in ("system", "count"):
        at += 1
    kinds = {mark.kind for mark in marks[start:at]}
    return at, "system" in kinds, "count" in kinds


def _names(marks: Sequence[Mark]) -> tuple[str, ...]:
    """The ids of the systems among marks."""
    return tuple(mark.name for mark in marks if mark.kind == "system")
