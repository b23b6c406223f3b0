"""Write up: the pages of the pattern, what they hold, and what is given out."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from weftline.server.pages.words import count

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.server.leaves import Print


@dataclass(frozen=True, slots=True)
class Leaf:
    """A page of the pattern: where its picture is found, and its words."""

    src: str
    alt: str


@dataclass(frozen=True, slots=True)
class WriteUpView:
    """What the pattern holds, its pages, and what can be given out.

    Parameters
    ----------
    outline : tuple of (str, str)
    lines, findings : int
    leaves : tuple of Leaf
        Only the first as long as the pages are not set; its picture has them set.
    is_set : bool
        Whether they are.
    size : (int, int)
        Width and height of a page, px.
    """

    outline: tuple[tuple[str, str], ...]
    lines: int
    findings: int
    leaves: tuple[Leaf, ...]
    is_set: bool
    size: tuple[int, int]


def write_up_view(sheet: Sheet, plan: Plan, wish: Print, pages: int | None) -> WriteUpView:
    """Return the page; ``pages`` is how many the pattern has, None where it was not set yet."""
    of = "" if pages is None else f" of {pages}"
    leaves = tuple(
        Leaf(wish.address(sheet.id, sheet.seq, number), f"Page {number}{of} of the pattern, as in the PDF")
        for number in range(1, (pages or 1) + 1)
    )
    return WriteUpView(
        outline=_outline(plan),
        lines=sum(section.lines for section in plan.sections),
        findings=len(plan.findings),
        leaves=leaves,
        is_set=pages is not None,
        size=wish.size_px(),
    )


def _outline(plan: Plan) -> tuple[tuple[str, str], ...]:
    strips = [strip for section in plan.cloth.sections for strip in section.strips]
    bands: Iterable[tuple[str, str]] = (
        (name, count(len(band.lines), "written line"))
        for strip in strips
        for name, band in zip(strip.bands, strip.written.bands, strict=True)
    )
    return (
        ("Title", plan.project.name),
        ("Materials", count(len(plan.yarns), "yarn")),
        ("Setting up", count(plan.warp.threaded_ends, "end")),
        *islice(bands, 24),
        ("Finishing", count(len(plan.cautions), "caution")),
    )
