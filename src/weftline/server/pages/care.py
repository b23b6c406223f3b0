"""The cautions of a piece, at the step where they matter."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.core.findings import Caution
    from weftline.core.plan.plan import Plan


def cautions(plan: Plan, *steps: str) -> tuple[Caution, ...]:
    """Return the cautions of some steps."""
    return tuple(one for one in plan.cautions if one.step in steps)
