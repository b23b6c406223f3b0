"""Customs of the trade: the systems that a label can mean when it leaves its system unsaid.

Common practice as sellers print it. Cotton and linen are sold by their own English counts, in
Scandinavia too (sunnano.se; bergdalaspinnhus.com); wool is sold by the metric and by the worsted
number; silk by the metric number or by the spun-silk count (Taylor, 6th ed., p. 239). From memory:
cottolin, hemp and man-made fibres.
"""

from collections.abc import Mapping
from types import MappingProxyType

from weftline.core.yarn.folding import Context
from weftline.core.yarn.label import Fold, Label

_BY_FIBRE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "cotton": ("Ne",),
        "linen": ("lea",),
        "cottolin": ("lea", "Ne"),
        "wool": ("Nm", "Nw"),
        "silk": ("Nm", "Ne"),
        "hemp": ("lea", "Nm"),
        "jute": ("jute",),
        "made": ("Ne", "Nm"),
        "worsted": ("Nw",),
    }
)
_COUNT_FIRST = ("Ne", "Nm", "lea", "Nw")
_PLY_FIRST = ("Nw", "Nm", "Ne", "lea")
_ALONE = ("Ne", "Nm", "Nw", "lea", "jute")
_ALONE_UNITS = ("tex", "den")
_UNIT_FROM = 100
"""A number alone is likelier a count below this, and tex or a length above."""
_SILK_FROM = 20
"""Spun silk is not spun coarser: below this count nobody need be asked about it (from memory)."""


def fibre_groups(label: Label, fibres: tuple[str, ...]) -> tuple[str, ...]:
    """The fibre groups that speak for a label: its own, and those its owner adds."""
    return tuple(dict.fromkeys((*label.fibres, *fibres)))


def _stated_systems(folds: tuple[Fold, ...], label: Label, kinds: tuple[str, ...]) -> tuple[str, ...]:
    """The systems that the label states for a statement: beside it, or for the label as a whole."""
    owned = {system for other in label.statements for fold in other for system in fold.systems}
    own = tuple(dict.fromkeys(system for fold in folds for system in fold.systems))
    if len(label.statements) < 2:
        return label.systems
    free = tuple(system for system in label.systems if system not in owned)
    return own or free or (() if _named(kinds) else label.systems)


def is_bare(folds: tuple[Fold, ...], label: Label, kinds: tuple[str, ...]) -> bool:
    """Whether a statement is one number that nothing says the unit of."""
    alone = len(folds) == 1 and len(folds[0].numbers) == 1 and not folds[0].english
    counted = label.counted and len(_named(kinds)) == 1
    return (
        alone
        and label.plies is None
        and not _stated_systems(folds, label, kinds)
        and "worsted" not in kinds
        and not counted
    )


def contexts_for(folds: tuple[Fold, ...], label: Label, kinds: tuple[str, ...]) -> list[Context]:
    """The systems to read a statement in, likeliest first: stated ones, the fibre's, or all usual ones."""
    systems, stated = _systems(folds, label, kinds)
    contexts = [
        Context(system, stated, silk, None if len(folds) > 1 else label.plies)
        for system in systems
        for silk in _silk_ways(system, stated, folds, kinds)
    ]
    return sorted(contexts, key=lambda context: label.spun and not context.silk)


def _named(kinds: tuple[str, ...]) -> tuple[str, ...]:
    """The systems that fibre groups leave unsaid, each once."""
    return tuple(dict.fromkeys(system for kind in kinds for system in _BY_FIBRE[kind]))


def _systems(folds: tuple[Fold, ...], label: Label, kinds: tuple[str, ...]) -> tuple[tuple[str, ...], bool]:
    """The systems to try, and whether label or fibre settle them."""
    named = _named(kinds)
    stated = _stated_systems(folds, label, kinds)
    if stated or "worsted" in kinds:
        return stated or ("Nw",), True
    if any(fold.english for fold in folds):
        hanks = [system for system in named or _COUNT_FIRST if system != "Nm" or "wool" in kinds]
        return tuple(hanks) or ("Ne",), bool(named)
    if is_bare(folds, label, kinds):
        counts = tuple(dict.fromkeys((*named, "Nm"))) if named else _ALONE
        small = folds[0].numbers[0] < _UNIT_FROM
        return (*counts, *_ALONE_UNITS) if small else (*_ALONE_UNITS, *counts), False
    numbers = folds[0].numbers
    usual = _PLY_FIRST if numbers[0] < numbers[-1] else _COUNT_FIRST
    return named or usual, len(named) == 1


def _silk_ways(system: str, stated: bool, folds: tuple[Fold, ...], kinds: tuple[str, ...]) -> tuple[bool, ...]:
    """Whether to read the English count as cotton's, as spun silk's (of the finished yarn), or both."""
    if system != "Ne":
        return (False,)
    if "silk" in kinds:
        return (True, False) if any("Ne" in _BY_FIBRE[kind] for kind in kinds if kind != "silk") else (True,)
    fine = any(len(fold.numbers) == 2 and max(fold.numbers) >= _SILK_FROM for fold in folds)
    return (False, True) if fine and not kinds and not stated else (False,)
