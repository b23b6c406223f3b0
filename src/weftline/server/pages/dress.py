"""Dress: the warp, the threading with its ticks, sley and sheds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.weave.threading import thread
from weftline.server.pages.care import cautions
from weftline.server.pages.frame import units_of
from weftline.server.pages.words import span
from weftline.sheets.dressing import dressing_data

if TYPE_CHECKING:
    from weftline.core.findings import Caution
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet


@dataclass(frozen=True, slots=True)
class Group:
    """Ends that are threaded together: from the left, numbered from 1, with their shafts."""

    number: int
    first: int
    shafts: tuple[int, ...]

    @property
    def last(self) -> int:
        """The last of them."""
        return self.first + len(self.shafts) - 1

    @property
    def words(self) -> str:
        """``Ends 41–44``."""
        return f"{'Ends' if len(self.shafts) > 1 else 'End'} {span(self.first, self.last)}"


@dataclass(frozen=True, slots=True)
class DressView:
    """Warp, threading with its ticks, sley and sheds."""

    data: dict[str, Any]
    groups: int
    done: int
    present: Group | None
    before: Group | None
    after: Group | None
    total: int
    cautions: tuple[Caution, ...]
    heddles: str


def group_size(plan: Plan) -> int:
    """Return how many ends a group has: one repeat of the threading, at most eight."""
    return min(8, len(plan.cloth.technique.threading))


def dress_view(sheet: Sheet, plan: Plan) -> DressView:
    """Return the page."""
    total = plan.warp.threaded_ends
    threaded = min(sheet.progress.threaded, total)
    size = group_size(plan)
    data = dressing_data(plan, units_of(plan))
    return DressView(
        data=data,
        groups=-(-total // size),
        done=threaded,
        present=_group(plan, threaded) if threaded < total else None,
        before=_group(plan, max(0, threaded - size)) if threaded else None,
        after=_group(plan, threaded + size) if threaded + size < total else None,
        total=total,
        cautions=cautions(plan, "dress"),
        heddles=", ".join(f"{row['shaft']}: {row['count']}" for row in data["threading"]["heddles"]),
    )


def _group(plan: Plan, done: int) -> Group:
    size = group_size(plan)
    start = plan.cloth.sections[0].strips[0].lay.start
    shafts = thread(plan.cloth.technique.threading, plan.warp.threaded_ends, start)[done : done + size].tolist()
    return Group(done // size + 1, done + 1, tuple(shafts))
