"""Another size: the piece as it is and as it would be, side by side at one scale, and in a sentence each what changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Quantity
from weftline.core.piece.names import yarn_name
from weftline.server.pages.frame import units_of
from weftline.server.pages.whole import at_one_scale
from weftline.server.pages.words import count
from weftline.sheets.figures import Figure, Units, hours

if TYPE_CHECKING:
    from weftline.core.compose.wish import Resized
    from weftline.core.findings import Finding
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.server.resizing import Asked

TALL_PX, WIDE_PX = 440.0, 300.0


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two plans: its cloth on the page and what it comes to."""

    src: str
    width: int
    height: int
    alt: str


@dataclass(frozen=True, slots=True)
class ResizeView:
    """The page.

    Parameters
    ----------
    asked : Asked
    unit, per : str
        ``cm`` and ``cm``, or ``in`` and ``inch``.
    sections : tuple of str
        Their names, where there are several.
    said, refused : tuple of str
    rows : tuple of (str, Figure or str, Figure or str)
    old, new : Side or None
    findings : tuple of Finding
        That the piece did not have before.
    trouble : str
        Why nothing could be made of what was asked.
    """

    asked: Asked
    unit: str
    per: str
    sections: tuple[str, ...]
    said: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    rows: tuple[tuple[str, Figure | str, Figure | str], ...] = ()
    old: Side | None = None
    new: Side | None = None
    findings: tuple[Finding, ...] = ()
    trouble: str = ""


def empty_view(plan: Plan, asked: Asked, trouble: str = "") -> ResizeView:
    """Return the page before anything is asked, or where nothing could be made of it."""
    inch = units_of(plan).imperial
    names = tuple(one.name for one in plan.sections) if len(plan.sections) > 1 else ()
    return ResizeView(asked, "in" if inch else "cm", "inch" if inch else "cm", names, trouble=trouble)


def resize_view(sheet: Sheet, asked: Asked, plans: tuple[Plan, Plan], found: Resized, section: int) -> ResizeView:
    """Return the page."""
    old, new = plans
    places = (section,) if found.two_widths is None else (found.two_widths.left, found.two_widths.right)
    sides = _sides(sheet, asked, plans, section, places)
    known = {(one.code, one.message) for one in old.findings}
    start = empty_view(old, asked)
    return ResizeView(
        asked=asked,
        unit=start.unit,
        per=start.per,
        sections=start.sections,
        said=found.sentences,
        refused=found.refusals,
        rows=_rows(old, new, section, places),
        old=sides[0],
        new=sides[1],
        findings=tuple(
            one
            for one in new.findings
            if (one.code, one.message) not in known and not (found.two_widths and one.code == "unbalanced")
        ),
    )


def _sides(
    sheet: Sheet, asked: Asked, plans: tuple[Plan, Plan], section: int, places: tuple[int, ...]
) -> tuple[Side, Side]:
    old, new = plans
    facts = [old.sections[section], new.sections[places[0]]]
    sizes = [(one.size.across.on_loom_mm.value, max(one.size.lengths.woven_mm.value, 1.0)) for one in facts]
    drawn = at_one_scale(sizes, (WIDE_PX, TALL_PX))
    srcs = (
        f"/pieces/{sheet.id}/whole.webp?seq={sheet.seq}&section={section}&width={drawn[0][0]}",
        f"/pieces/{sheet.id}/resized.webp?seq={sheet.seq}&place={places[0]}&px={drawn[1][0]}&{asked.query}",
    )
    words = [
        f"{name}, {count(one.ends, 'end')}, {count(one.lines, 'line')}"
        for name, one in zip(("As it is", "As it would be"), facts, strict=True)
    ]
    return (Side(srcs[0], *drawn[0], words[0]), Side(srcs[1], *drawn[1], words[1]))


def _rows(
    old: Plan, new: Plan, section: int, places: tuple[int, ...]
) -> tuple[tuple[str, Figure | str, Figure | str], ...]:
    units = units_of(old)
    was, now = _figures(old, (section,), units), _figures(new, places, units)
    rows = [(what, one, now[what]) for what, one in was.items()]
    rows += [
        (yarn_name(one, key), _mass(units, old, key), _mass(units, new, key))
        for key, one in new.project.yarns.items()
        if key in old.yarns or key in new.yarns
    ]
    return tuple(rows)


def _figures(plan: Plan, places: tuple[int, ...], units: Units) -> dict[str, Figure | str]:
    """Return what a plan comes to; two widths are one piece."""
    parts = [plan.sections[place] for place in places]
    return {
        "Width, finished": units.short(_sum([one.size.across.finished_mm for one in parts])),
        "Length, finished": units.short(parts[0].size.lengths.finished_mm),
        "Working ends": " + ".join(f"{one.ends:,}" for one in parts),
        "Lines": f"{parts[0].lines:,}",
        "Pieces on the warp": f"{parts[0].pieces:,}",
        "Warp, long": units.warp(plan.warp.length_mm),
        "Weaving": hours(plan.time_h),
    }


def _sum(parts: list[Quantity]) -> Quantity:
    first, *rest = parts
    for one in rest:
        first = first + one
    return first


def _mass(units: Units, plan: Plan, key: str) -> Figure | str:
    amount = plan.yarns.get(key)
    return "none" if amount is None else units.mass(amount.mass_g)
