"""What is read from two metres: the loom's own sign of a shed with its shortest figure, and yarns wearing their marks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.looms.lift import shed_of_loom
from weftline.core.piece.names import yarn_name
from weftline.server.pages.words import shown
from weftline.sheets.marks import ink_on, looks
from weftline.sheets.sheds import FRAMES, sheds_of

if TYPE_CHECKING:
    from weftline.core.piece.cloth import Cloth
    from weftline.core.plan.plan import Plan
    from weftline.core.weave.picks import Winding
    from weftline.sheets.marks import YarnLook
    from weftline.sheets.sheds import Shed

TIGHT = {"dot": "3.2 3.2 5.6 5.6"}
"""The square around a mark's ink; other marks nearly fill theirs."""
OTHERS = "0.6 0.6 10.8 10.8"
STEP, TALL, SHIFT = 64, 112, 10
"""Distance between the parts of a sign, its height, and how far a part moves; units of its own drawing."""


@dataclass(frozen=True, slots=True)
class Sign:
    """A shed as it is shown: its drawing, the shortest figure, and what moves in words."""

    drawing: str
    figure: str
    words: str
    spoken: str


def signs(cloth: Cloth) -> dict[int, Sign]:
    """Return the sign of every shed by its bit mask."""
    kind, every = cloth.project.loom.kind, sheds_of(cloth)
    shafts = range(1, cloth.technique.shafts + 1)
    is_rising = shed_of_loom(cloth.project) == "rising"
    found = {}
    for mask, shed in every.items():
        moved = [shaft in shed.moves for shaft in shafts]
        figure = "+".join(map(str, shed.moves)) or "0"
        if kind == "table":
            found[mask] = Sign(_levers(moved), figure, _moves(shed, is_rising), f"levers {figure}")
        elif kind in FRAMES:
            found[mask] = Sign(_heddles(moved, is_rising), figure, _moves(shed, is_rising), shed.lift)
        else:
            pressed = [one.number == shed.number for one in every.values()]
            figure = str(shed.number)
            found[mask] = Sign(_treadles(pressed), figure, _moves(shed, is_rising), f"treadle {figure}")
    return found


def _moves(shed: Shed, is_rising: bool) -> str:
    """Return ``1 and 3 rise``."""
    *before, last = map(str, shed.moves) if shed.moves else ("none",)
    many = f"{', '.join(before)} and {last}" if before else last
    return f"{many} {'rise' if is_rising else 'sink'}{'' if before else 's'}"


def _drawing(parts: list[str]) -> str:
    width = STEP * len(parts) - 14
    inner = "".join(f'<g transform="translate({STEP * place} 0)">{part}</g>' for place, part in enumerate(parts))
    return f'<svg class="sign" viewBox="-3 0 {width} {TALL}" aria-hidden="true">{inner}</svg>'


def _treadles(pressed: list[bool]) -> str:
    """Draw one treadle for each shed; the pressed one is solid and lower, on a longer cord."""
    return _drawing(
        [
            f'<path class="cord" d="M22 0V{10 + (SHIFT if down else 0)}"/>'
            f'<rect class="{"full" if down else "void"}" x="1.5" y="{8 + (SHIFT if down else 0)}" width="43" '
            f'height="90" rx="9"/>'
            for down in pressed
        ]
    )


def _levers(moved: list[bool]) -> str:
    """Draw one lever for each shaft in its slot; a pulled one is solid and low."""
    return _drawing(
        [
            f'<path class="cord" d="M22 4V108"/><rect class="{"full" if down else "void"}" x="1.5" '
            f'y="{62 if down else 6}" width="41" height="44" rx="9"/>'
            for down in moved
        ]
    )


def _heddles(moved: list[bool], is_rising: bool) -> str:
    """Draw one heddle for each shaft; one that moves is solid and stands up, or down."""
    found = []
    for one in moved:
        y = (4 if is_rising else 44) if one else (44 if is_rising else 4)
        eye = f'<circle class="{"hole" if one else "void"}" cx="22" cy="{y + 32}" r="7"/>'
        found.append(
            f'<rect class="{"full" if one else "void"}" x="1.5" y="{y}" width="41" height="64" rx="4"/>{eye}'
            f'<path class="cord" d="M22 0V{y}M22 {y + 64}V{TALL}"/>'
        )
    return _drawing(found)


@dataclass(frozen=True, slots=True)
class Shuttle:
    """What one shuttle carries as it is shown: its name, and its swatch."""

    name: str
    swatch: str
    marks: str


MOST_LETTERS = 18
"""Of a yarn's name at the loom: what is read beside the swatch on a telephone."""


def shuttles(plan: Plan) -> dict[Winding, Shuttle]:
    """Return every winding of the plan, and every yarn by itself."""
    yarns, known = plan.project.yarns, looks(plan.project)
    alone = tuple(((key, yarn.strands),) for key, yarn in yarns.items())
    found = {}
    for winding in dict.fromkeys((*plan.cloth.windings, *alone)):
        keys = [key for key, _ in winding if key in known]
        names = [yarn_name(yarns[key], key) for key in keys]
        found[winding] = Shuttle(
            shown(" with ".join(names), MOST_LETTERS),
            _swatch([known[key] for key in keys]),
            " with ".join(known[key].words for key in keys),
        )
    return found


def _swatch(yarns: list[YarnLook]) -> str:
    """Draw cloth of the yarns wearing their marks, in a square of 100."""
    count = len(yarns)
    places = {1: ((15, 15, 70),), 2: ((2, 2, 52), (46, 46, 52))}.get(
        count, tuple((4 + 48 * (place % 2), 4 + 48 * (place // 2 % 2), 44) for place in range(count))
    )
    parts = []
    for place, (look, (x, y, size)) in enumerate(zip(yarns, places, strict=True)):
        clip = f' clip-path="{_share(place, count)}"' if place else ""
        parts.append(
            f'<rect{clip} width="100" height="100" fill="{look.colour}"/><image{clip} href="/weave/yarns/'
            f'{look.colour[1:]}.webp" width="100" height="100" preserveAspectRatio="xMidYMid slice"/>'
        )
        mark = look.drawing(ink_on(look.colour))
        box = TIGHT.get(look.mark, OTHERS) if not look.lines else "0 0 12 12"
        left, top, wide, tall = (float(one) for one in box.split())
        times = size / max(wide, tall)
        right, down = x + (size - wide * times) / 2 - left * times, y + (size - tall * times) / 2 - top * times
        parts.append(f'<g class="mark" transform="translate({right:.2f} {down:.2f}) scale({times:.4f})">{mark}</g>')
    return f'<svg class="yarn swatch" viewBox="0 0 100 100" aria-hidden="true">{_ordered(parts)}</svg>'


def _ordered(parts: list[str]) -> str:
    """Return the grounds, then the marks."""
    return "".join(parts[::2] + parts[1::2])


def _share(place: int, count: int) -> str:
    """Return which part of the square a yarn takes that is wound with others: the half below, or a quarter."""
    if count == 2:
        return "polygon(100% 0, 100% 100%, 0 100%)"
    left, top = 50 * (place % 2), 50 * (place // 2 % 2)
    return f"polygon({left}% {top}%, {left + 50}% {top}%, {left + 50}% {top + 50}%, {left}% {top + 50}%)"
