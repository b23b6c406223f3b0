"""Folded yarns: which number is the count, which the ply, and the tex of the whole.

Direct numbers add; for indirect ones the reciprocals add (C.P. Brooks, Cotton Manufacturing, p. 91;
J.T. Taylor, 6th ed., p. 239; notations of ISO 1139). Ply take-up is left out: sizes are nominal.
The order of count and ply is custom, told by what sellers print (common practice, and read labels).
"""

from dataclasses import dataclass
from fractions import Fraction
from math import prod

from weftline.core.yarn.label import Fold
from weftline.core.yarn.size import Reading, number_words
from weftline.core.yarn.systems import SYSTEMS

COUNT_FIRST = ("Ne", "lea", "Nf")
"""Systems whose labels print count/ply: cotton 8/2, linen 16/2."""
PLY_FIRST = ("Nw", "gala", "ysk", "woe", "dew")
"""Systems whose labels print ply/count: worsted 2/8. All others: the smaller is the ply."""

_MOST_PLIES = 400
_CORD_PLIES = 30
_FEW_PLIES = 6
_UNSAID_PLIES = 4
_CORD_TEX = 10_000
"""Seine twine reaches 30 plies; two to six plies are the trade's usual, and up to four
where the label leaves the system unsaid; 10 g a metre is a rope."""


@dataclass(frozen=True)
class Context:
    """What stands around a fold.

    Attributes
    ----------
    system : id of the system to read in
    stated : the label or the fibre names the system, it is not one of many tried
    silk : spun silk, whose printed count is that of the finished yarn
    plies : number of plies given in words, or None
    """

    system: str
    stated: bool = True
    silk: bool = False
    plies: int | None = None


def fold_readings(fold: Fold, context: Context) -> list[Reading]:
    """Every credible reading of a fold in one system, likeliest first; none if it fits none."""
    if any(number <= 0 for number in fold.numbers) or fold.sign == "?" or len(fold.numbers) > 4:
        return []
    if context.plies is not None and not _is_ply(Fraction(context.plies)):
        return []
    direct = SYSTEMS[context.system].kind == "direct"
    readings = _direct(fold, context) if direct else _indirect(fold, context)
    if context.plies is not None and len(fold.numbers) > 1:
        readings = [reading for reading in readings if reading.ply == context.plies] or readings
    return readings


def sum_reading(parts: tuple[Reading, ...]) -> Reading:
    """Unlike yarns of one system folded together: 40s + 20s."""
    if len(parts) == 1:
        return parts[0]
    system = SYSTEMS[parts[0].system]
    tex = float(sum(Fraction(part.tex) for part in parts))
    ply = sum(part.ply or 1 for part in parts)
    whole = number_words(float(f"{system.number_from(tex):.6g}"))
    words = " with ".join(part.words for part in parts)
    return Reading(tex, system.id, None, ply, f"{words}, folded to {system.name} {whole}")


def _reading(context: Context, count: Fraction, ply: int | None, finished: bool) -> Reading:
    """One reading; `finished` when `count` is already that of the whole yarn."""
    system = SYSTEMS[context.system]
    times = 1 if finished or ply is None else ply
    each = count * times if system.kind == "direct" else count / times
    name = "spun silk count" if context.silk and system.id == "Ne" else system.name
    mark = " finished" if finished and ply != 1 else ""
    plies = "" if ply is None else ", singles" if ply == 1 else f", {ply} plies"
    words = f"{name} {number_words(float(count))}{mark}{plies}"
    return Reading(system.tex_from(each), system.id, float(count), ply, words)


def _is_ply(number: Fraction) -> bool:
    """Whether a number can be that of plies."""
    return number.denominator == 1 and 1 <= number <= _MOST_PLIES


def _direct(fold: Fold, context: Context) -> list[Reading]:
    """Readings of a direct number: "x" counts each ply, R and "/" the finished yarn (ISO 1139)."""
    count, ply = _direct_parts(fold, context)
    if count is None or (ply is not None and not _is_ply(Fraction(ply))):
        return []
    if context.system == "den" and fold.sign in ("/", "-") and ply is not None and ply >= 7:
        low, high = sorted(fold.numbers[:2])
        if high < low * Fraction(3, 2):
            return [_reading(context, (low + high) / 2, None, finished=False)]
    each = _reading(context, count, ply, finished=False)
    whole = _reading(context, count, ply, finished=True)
    trade = context.system not in ("tex", "dtex", "ktex", "den")
    if ply in (None, 1):
        return [whole if fold.finished else each]
    if fold.sign == "":
        return [whole] if fold.finished else [each, whole]
    if fold.sign == "x":
        return [whole, each] if fold.finished else [each]
    return [whole] if fold.finished else [each] if trade else [whole, each]


def _direct_parts(fold: Fold, context: Context) -> tuple[Fraction | None, int | None]:
    """Count and plies of a direct fold; no count when none of the numbers can be the plies."""
    numbers = fold.numbers
    if len(numbers) == 1:
        return numbers[0], context.plies
    at = fold.count_at
    if at is None:
        last_smaller = numbers[-1] <= numbers[0] or (fold.sign == "x" and numbers[0] > _FEW_PLIES)
        at = 0 if (last_smaller and _is_ply(numbers[-1])) or not _is_ply(numbers[0]) else -1
    rest = [number for i, number in enumerate(numbers) if i != at % len(numbers)]
    if not all(_is_ply(number) for number in rest):
        return None, None
    return numbers[at], int(prod(rest))


def _indirect(fold: Fold, context: Context) -> list[Reading]:
    """Readings of an indirect number, the count first settled, then whether it is finished."""
    if len(fold.numbers) == 1:
        return [_reading(context, fold.numbers[0], context.plies, _prints_finished(fold, context))]
    orders = [(count, ply) for count, ply in _orders(fold, context) if _is_ply(Fraction(ply))]
    readings = [_reading(context, count, ply, _prints_finished(fold, context)) for count, ply in orders]
    twins = len(fold.numbers) == 2 and fold.numbers[0] == fold.numbers[1] > 1
    if twins and context.system == "Nm" and context.stated and not fold.finished:
        readings += [_reading(context, count, ply, finished=True) for count, ply in orders]
    return readings


def _prints_finished(fold: Fold, context: Context) -> bool:
    """Whether the count is that of the finished yarn: R, or spun silk in the English count."""
    return fold.finished or (context.silk and context.system == "Ne")


def _orders(fold: Fold, context: Context) -> list[tuple[Fraction, int]]:
    """Credible pairs of count and plies, likeliest first."""
    numbers = fold.numbers
    plies = [number for number in numbers if _is_ply(number)]
    if fold.count_at is not None or len(plies) < len(numbers) or len(numbers) > 2:
        at = _count_place(fold)
        rest = [number for i, number in enumerate(numbers) if i != at]
        return [(numbers[at], int(prod(rest)))] if all(map(_is_ply, rest)) else []
    first, second = numbers
    small, large = sorted(numbers)
    smaller = (large, int(small))
    if small in (1, large) or context.system not in COUNT_FIRST + PLY_FIRST:
        return [smaller]
    count_first = context.system in COUNT_FIRST
    custom = (first, int(second)) if count_first else (second, int(first))
    if custom == smaller or (context.silk and context.system == "Ne"):
        return [smaller]
    kept = [custom] if _credible(custom, context) else []
    if small <= _FEW_PLIES or not kept:
        kept.append(smaller)
    return kept if custom[1] <= 4 else sorted(kept, key=_likely_last)


def _likely_last(order: tuple[Fraction, int]) -> bool:
    """Sorts many plies of coarse singles behind few plies of fine ones."""
    count, ply = order
    return count * 2 < ply


def _credible(order: tuple[Fraction, int], context: Context) -> bool:
    """Whether such a yarn is sold: few enough plies, and no rope."""
    count, ply = order
    cord = context.stated or context.system in COUNT_FIRST
    tex = SYSTEMS[context.system].constant / count * ply
    return ply <= (_CORD_PLIES if cord else _UNSAID_PLIES) and tex <= _CORD_TEX


def _count_place(fold: Fold) -> int:
    """Where the count stands: marked, or the only broken number, or the larger end."""
    numbers = fold.numbers
    if fold.count_at is not None:
        return fold.count_at
    broken = [i for i, number in enumerate(numbers) if not _is_ply(number)]
    if broken:
        return broken[0]
    return 0 if numbers[0] >= numbers[-1] else len(numbers) - 1
