"""How a weave closes: how many passes a line has, how they share the room over an end, how each bends.

Nouns: a *pass* is one pick at one column; passes on one side of an end lie in *layers*. A float that
reaches beyond a shorter one rides over it, in a layer of its own; floats that cross lie side by side
in one layer, and there each is forced to be flatter.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import exp, log
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.weave.technique import Technique

SWING_PROPORTION = 2.0
"""Pass thickness over warp diameter at which bends are compared: wool twice as thick as its warp."""

FLOAT_FLATTENS = 0.0765
"""Share of its bend that a float loses with each end that it is longer than one: tight floats flatten. Set so that
sheds 1 and 3 of krokbragd take 0.8 of shed 2's; that 0.8 is a judgement, no measurement was found."""

LEAST_LEFT = 0.4
"""However long the float, so much of its bend stays."""

MAX_COLUMNS = 512
"""A longer repeat is judged by so many columns, evenly taken."""


@dataclass(frozen=True, slots=True)
class Closure:
    """What a weave does to the room that its wool has.

    Parameters
    ----------
    passes : int
        Picks of a line, n.
    face_passes : float
        How many of them show at one column, f: 1 for krokbragd, 2 for two against two.
    g : float
        How much taller a line stands than one whose passes could each keep their own shape.
    bends : tuple of float
        For each shed its crimp as a share of that of a pick which changes sides at every end.
    """

    passes: int
    face_passes: float
    g: float
    bends: tuple[float, ...]

    @property
    def mean_bend(self) -> float:
        """Mean share over the sheds."""
        return sum(self.bends) / len(self.bends)


def closure_of(technique: Technique) -> Closure:
    """Return the closure of a technique, from its threading and its sheds.

    Notes
    -----
    Every pass pays for leaving its shape (the square of the change of its logarithm); the line height
    that costs least gives ``ln g = mean over columns of sum over layers of m ln m / n``, m passes
    lying side by side in a layer. On the face all passes lie side by side, for all of them show; so
    they do on the back of a cloth whose sheds turned over are its own sheds (a reversible one).
    Derived, never measured.

    Examples
    --------
    >>> from weftline.core.weave.technique import KROKBRAGD, TWO_AGAINST_TWO, WEFT_FACED_PLAIN
    >>> [round(closure_of(one).g, 2) for one in (WEFT_FACED_PLAIN, KROKBRAGD, TWO_AGAINST_TWO)]
    [1.0, 1.26, 2.0]
    >>> [round(bend, 2) for bend in closure_of(KROKBRAGD).bends]
    [0.8, 1.0, 0.8]
    """
    return closure(technique.threading, tuple(frozenset(shed) for shed in technique.sheds))


@lru_cache(maxsize=64)
def closure(threading: tuple[int, ...], sheds: tuple[frozenset[int], ...]) -> Closure:
    """Return the closure of a repeat of a threading with the sheds of a line.

    Parameters
    ----------
    threading : tuple of int
        Shafts of one repeat, repeated without end.
    sheds : tuple of frozenset of int
        For each pick of a line the shafts that it covers on the face; at least one pick.
    """
    shafts = set(threading)
    worked = [shed & shafts for shed in sheds]
    reversible = {frozenset(shafts - shed) for shed in worked} == set(worked)
    columns = _judged(len(threading))
    spans = [_back_spans(threading, shed) for shed in worked]
    stacks = [_stack(column, threading[column], worked, spans, reversible) for column in columns]
    passes = len(sheds)
    cost = sum(m * log(m) for stack in stacks for m in stack.widths) / (len(columns) * passes)
    shown = sum(stack.face for stack in stacks) / len(columns)
    bends = tuple(_bend(place, stacks, spans[place], shown, reversible) for place in range(passes))
    return Closure(passes, shown, exp(cost), bends)


@dataclass(frozen=True, slots=True)
class _Stack:
    """The passes over one end: passes on the face, those side by side in each layer, the level of each pass.

    ``levels`` are heights above the middle of the warp, in units of pass thickness and with the
    warp's half thickness counted apart by its sign: (side, depth).
    """

    face: int
    widths: tuple[int, ...]
    levels: tuple[tuple[int, float], ...]


Span = tuple[int, int]


def _judged(length: int) -> list[int]:
    """Return the columns to judge a repeat by, neighbours kept together."""
    return list(range(min(length, MAX_COLUMNS)))


def _back_spans(threading: tuple[int, ...], shed: frozenset[int]) -> list[Span | None]:
    """Return for each column the float that it lies under, as first and past-last place; None on the face.

    A pick that covers nothing runs behind everything.
    """
    length = len(threading)
    covered = [place for place in range(length) if threading[place] in shed]
    if not covered:
        return [(-length, 2 * length)] * length
    found: list[Span | None] = [None] * length
    turns = [covered[-1] - length, *covered, covered[0] + length]
    for left, right in pairwise(turns):
        for place in range(left + 1, right):
            if 0 <= place < length:
                found[place] = (left + 1, right)
    return found


def _stack(
    column: int, shaft: int, sheds: list[frozenset[int]], spans: list[list[Span | None]], reversible: bool
) -> _Stack:
    """Return how the passes of a line lie over one end."""
    behind = {place: span for place in range(len(sheds)) if (span := spans[place][column]) is not None}
    face = len(sheds) - len(behind)
    levels = dict.fromkeys(behind, 0) if reversible else _nested(behind)
    widths = [
        sum(1 for level in levels.values() if level == depth) for depth in range(max(levels.values(), default=-1) + 1)
    ]
    depths: list[tuple[int, float]] = []
    for place, shed in enumerate(sheds):
        if shaft in shed:
            depths.append((1, face / 2))
        else:
            level = levels[place]
            depths.append((-1, sum(widths[:level]) + widths[level] / 2))
    return _Stack(face, tuple([face, *widths] if face else widths), tuple(depths))


def _nested(behind: dict[int, Span]) -> dict[int, int]:
    """Return the layer of each float behind an end: 0 next to the warp, one more for each float that it rides over."""
    order = sorted(behind, key=lambda place: behind[place][1] - behind[place][0])
    levels: dict[int, int] = {}
    for place in order:
        levels[place] = max(
            (levels[other] + 1 for other in levels if _holds(behind[place], behind[other])),
            default=0,
        )
    return levels


def _holds(longer: Span, shorter: Span) -> bool:
    """Return whether a float reaches past another at one end at least and falls short of it at none."""
    return longer != shorter and longer[0] <= shorter[0] and longer[1] >= shorter[1]


def _bend(place: int, stacks: list[_Stack], spans: list[Span | None], shown: float, reversible: bool) -> float:
    """Return the crimp of one shed as a share of that of a pick which changes sides at every end."""
    whole = 1 + SWING_PROPORTION * max(shown, 1.0)
    heights = [_height(stack.levels[place]) for stack in stacks]
    swings = [b - a for a, b in zip(heights, [*heights[1:], heights[0]], strict=True)]
    share = sum(swing * swing for swing in swings) / (len(swings) * whole * whole)
    return share if reversible else share * _left_over(spans)


def _height(level: tuple[int, float]) -> float:
    """Return the height of a pass over the middle of the warp, in warp diameters."""
    side, depth = level
    return side * (0.5 + SWING_PROPORTION * depth)


def _left_over(spans: Iterable[Span | None]) -> float:
    """Return the share of its bend that a pick keeps with its longest float."""
    longest = max((span[1] - span[0] for span in spans if span is not None), default=1)
    return max(LEAST_LEFT, 1 - FLOAT_FLATTENS * (longest - 1))
