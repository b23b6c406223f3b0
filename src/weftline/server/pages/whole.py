"""The whole piece as a picture on a page, as large as its room lets it, with the scale of a ruler beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weftline.drawing.wool import View
from weftline.drawing.wool.view import canvas
from weftline.server.pages.words import count

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet

BARE_SHAPE = 0.8
"""What is shown of a bare warp: so much of its length for its width."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of the ruler: px from the foot, its length, and its number where it has one."""

    y: float
    long: int
    number: str


@dataclass(frozen=True, slots=True)
class Whole:
    """A picture with its size on the page, px, and the ruler beside it."""

    src: str
    width: int
    height: int
    is_bare: bool
    alt: str
    ticks: tuple[Tick, ...]


def whole(sheet: Sheet, plan: Plan, room: tuple[int, int], section: int = 0) -> Whole:
    """Return the picture of one section in a room of (width, height) px."""
    facts = plan.sections[section]
    width_mm, length_mm = facts.size.across.on_loom_mm.value, facts.size.lengths.woven_mm.value
    is_bare = length_mm <= 0
    height_mm = width_mm * BARE_SHAPE if is_bare else length_mm
    width = max(16, round(width_mm * min(room[0] / width_mm, room[1] / height_mm, 6.0)))
    height = round(width * BARE_SHAPE)
    ticks: tuple[Tick, ...] = ()
    if not is_bare:
        height, ticks = _measured(plan, section, width, length_mm)
    src = f"/pieces/{sheet.id}/whole.webp?seq={sheet.seq}&section={section}&width={width}"
    ends_words = count(facts.ends, "end")
    woven = f"{facts.name} as cloth, {ends_words}, {count(facts.lines, 'line')}"
    alt = f"A bare warp of {ends_words}" if is_bare else woven
    return Whole(src, width, height, is_bare, alt, ticks)


def _measured(plan: Plan, section: int, width: int, length_mm: float) -> tuple[int, tuple[Tick, ...]]:
    """Return the height of a picture that is so wide, and the ruler that fits it."""
    cloth = replace(plan.cloth, sections=(plan.cloth.sections[section],))
    size = canvas(cloth, plan.settings, View(width_px=min(4000, 2 * width)))
    shown = width / size.columns
    scale = size.line_px / size.times / size.line_mm * shown
    foot = size.foot / size.times * shown
    imperial = plan.project.units == "imperial"
    return round(size.rows * shown), _ticks(length_mm, scale, foot, imperial=imperial)


def _ticks(length_mm: float, scale: float, foot_px: float, *, imperial: bool) -> tuple[Tick, ...]:
    unit = 25.4 if imperial else 10.0
    every = next(step for step in (1, 2, 5, 10, 20, 50, 100, 1000) if step * unit * scale >= 34 or step == 1000)
    small = max(1, every // 5)
    found = []
    for place in range(0, int(length_mm / unit) + 1, small):
        is_long = place % every == 0
        found.append(Tick(foot_px + place * unit * scale, 14 if is_long else 7, str(place) if is_long else ""))
    return tuple(found)


def at_one_scale(sizes_mm: Sequence[tuple[float, float]], room: tuple[float, float]) -> list[tuple[int, int]]:
    """Return width and height in px of several cloths beside each other, as large as a room lets the largest be.

    Examples
    --------
    >>> at_one_scale([(200.0, 400.0), (300.0, 600.0)], (300.0, 300.0))
    [(100, 200), (150, 300)]
    """
    scale = min(room[0] / max(wide for wide, _ in sizes_mm), room[1] / max(tall for _, tall in sizes_mm))
    return [(max(16, round(wide * scale)), max(8, round(tall * scale))) for wide, tall in sizes_mm]
