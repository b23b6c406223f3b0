"""Where the weaving left the plan: extra picks, others instead of those planned, planned ones passed over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.weaving.log import FIRST, Planned

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weftline.core.weaving.fold import Laid, Stand

EXTRA, INSTEAD, PASSED = "extra", "instead", "passed over"


@dataclass(frozen=True, slots=True)
class Departure:
    """One stretch that is not as planned.

    Parameters
    ----------
    kind : str
        ``extra``, ``instead`` or ``passed over``.
    first : int
        The woven throw that it begins with, from 1; of planned ones passed over, the one after them.
    throws : int
        How many.
    plan : Planned
        The planned throw that was next there.
    """

    kind: str
    first: int
    throws: int
    plan: Planned


def departures(throws: Iterable[Laid], stand: Stand) -> list[Departure]:
    """Return where the weaving left the plan, in the order woven.

    Parameters
    ----------
    throws : iterable of Laid
    stand : Stand
        Where the weaver stands after them.

    Notes
    -----
    What was passed over is seen where the plan was the same version before and after.
    """
    found: list[Departure] = []
    for one in _every(throws, stand):
        last = found[-1] if found else None
        if last is not None and last.kind == one.kind != PASSED and last.first + last.throws == one.first:
            found[-1] = Departure(last.kind, last.first, last.throws + one.throws, last.plan)
        else:
            found.append(one)
    return found


def _every(throws: Iterable[Laid], stand: Stand) -> Iterator[Departure]:
    expected, number = FIRST, 0
    for laid in throws:
        number = laid.number
        plan = laid.throw.plan
        yield from _passed(expected, plan or laid.before.plan, number)
        if plan is None:
            yield Departure(EXTRA, number, 1, laid.before.plan)
            expected = laid.before.plan
        else:
            if laid.throw.differs:
                yield Departure(INSTEAD, number, 1, plan)
            expected = Planned(plan.seq, plan.ordinal + 1)
    yield from _passed(expected, stand.plan, number + 1)


def _passed(expected: Planned, now: Planned, number: int) -> Iterator[Departure]:
    if now.ordinal > expected.ordinal and (now.seq == expected.seq or expected == FIRST):
        yield Departure(PASSED, number, now.ordinal - expected.ordinal, expected)
