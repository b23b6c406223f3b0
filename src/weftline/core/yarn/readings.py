"""From what a label states to its readings: its lengths outweigh its counts."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from weftline.core.yarn.customs import contexts_for, fibre_groups, is_bare
from weftline.core.yarn.folding import Context, fold_readings, sum_reading
from weftline.core.yarn.label import Fold, Label
from weftline.core.yarn.lengths import agree, bare_lengths, length_readings
from weftline.core.yarn.size import Reading, YarnSizeError, shown
from weftline.core.yarn.systems import THICKEST_TEX, THINNEST_TEX

_MET_TEX = (5, 20_000)
"""Yarns that weavers meet (tex), sewing silk to cord: the readings offered where nothing but numbers
is said. It never refuses a system that a label states."""
_MOST_PARTS = 6
_WORLDS = 2
"""A length outweighs a count, for twine is up to 20 % heavier than nominal; twice is a slip."""


def label_readings(label: Label, fibres: tuple[str, ...]) -> list[Reading]:
    """Every reading of a label for a yarn of some fibre groups, likeliest first; maybe none.

    Raises
    ------
    YarnSizeError : the label gives a range, or sizes that do not agree.
    """
    kinds = fibre_groups(label, fibres)
    if label.lengths and label.masses:
        return _in_range(_length_over_count(label, kinds))
    bare = all(is_bare(folds, label, kinds) for folds in label.statements)
    if bare and (label.lengths or label.masses):
        return []
    stated = [_statement_readings(folds, label, kinds) for folds in label.statements]
    ways = list(zip(label.statements, stated, strict=True))
    finished = [readings for folds, readings in ways if folds[0].finished and readings]
    if finished and len(stated) > 1:
        plies = {reading.ply for readings in stated for reading in readings} - {None}
        return [_with_ply(reading, plies) for reading in finished[0]]
    if len(stated) > 1 and not any(_is_settled(folds, label, kinds) for folds in label.statements):
        raise _disagreement(label)
    return _agreeing(stated, label)


def _statement_readings(folds: tuple[Fold, ...], label: Label, kinds: tuple[str, ...]) -> list[Reading]:
    """The readings of one statement in each system that it can be in."""
    if any(fold.sign == "-" and min(fold.numbers) > 12 for fold in folds):
        raise YarnSizeError(
            f'"{shown(label.text)}" gives a range; give one number, such as its middle.', text=label.text
        )
    contexts = contexts_for(folds, label, kinds)
    readings = [reading for context in contexts for reading in _sums(folds, context)]
    if is_bare(folds, label, kinds) and folds[0].numbers[0] > 0:
        readings += bare_lengths(folds[0].numbers[0])
    kept = _distinct(_in_range(readings))
    return kept if _is_settled(folds, label, kinds) else _met(kept) or kept


def _is_settled(folds: tuple[Fold, ...], label: Label, kinds: tuple[str, ...]) -> bool:
    """Whether label or fibre name the system of a statement."""
    return all(context.stated for context in contexts_for(folds, label, kinds))


def _sums(folds: tuple[Fold, ...], context: Context) -> Iterator[Reading]:
    """Every way to read a sum of folds in one system; none of very long sums."""
    if len(folds) <= _MOST_PARTS:
        for parts in product(*(fold_readings(fold, context) for fold in folds)):
            yield sum_reading(parts)


def _length_over_count(label: Label, kinds: tuple[str, ...]) -> list[Reading]:
    """The label's lengths, with the plies of its count; the count too where they are worlds apart."""
    folded = [folds for folds in label.statements if len(folds[0].numbers) > 1]
    counts = [reading for folds in folded for reading in _statement_readings(folds, label, kinds)]
    plies = {reading.ply for reading in counts}
    lengths = length_readings(label, label.plies or (plies.pop() if len(plies) == 1 else None))
    settled = all(_is_settled(folds, label, kinds) for folds in folded)
    apart = all(
        max(length.tex, count.tex) > _WORLDS * min(length.tex, count.tex) for length in lengths for count in counts
    )
    return [*lengths, *counts] if settled and counts and apart else lengths


def _with_ply(reading: Reading, plies: Iterable[int | None]) -> Reading:
    """A finished reading with the plies that another statement of the label gives."""
    known = list(plies)
    if reading.ply is not None or len(known) != 1:
        return reading
    return replace(reading, ply=known[0], words=f"{reading.words}, {known[0]} plies")


def _agreeing(stated: list[list[Reading]], label: Label) -> list[Reading]:
    """The readings on which all statements of a label agree."""
    first, rest = (stated[0], stated[1:]) if stated else ([], [])
    kept = [reading for reading in first if all(any(agree([reading.tex, r.tex]) for r in others) for others in rest)]
    if rest and not kept:
        raise _disagreement(label)
    return kept


def _disagreement(label: Label) -> YarnSizeError:
    """The error for a label of several sizes."""
    return YarnSizeError(f'"{shown(label.text)}" gives sizes that do not agree; give one size.', text=label.text)


def _in_range(readings: Iterable[Reading]) -> list[Reading]:
    """The readings that are yarns at all."""
    return [reading for reading in readings if THINNEST_TEX <= reading.tex <= THICKEST_TEX]


def _met(readings: Iterable[Reading]) -> list[Reading]:
    """The readings that are yarns one meets."""
    low, high = _MET_TEX
    return [reading for reading in readings if low <= reading.tex <= high]


def _distinct(readings: Iterable[Reading]) -> list[Reading]:
    """The readings, each size in each system once."""
    found: dict[tuple[object, ...], Reading] = {}
    for reading in readings:
        found.setdefault((reading.system, reading.count, reading.ply, reading.tex), reading)
    return list(found.values())
