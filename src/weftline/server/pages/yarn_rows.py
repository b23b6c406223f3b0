"""The yarns of a piece as the panel and the tables show them: swatch, mark, need over what is on hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.piece.names import yarn_name
from weftline.server.pages.frame import units_of
from weftline.sheets.figures import Figure, Units
from weftline.sheets.marks import YarnLook, ink_on, looks

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan

BAR = 100
"""Length of the bar of need over what is on hand, in its own units."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """A yarn's colour wearing its mark; ``mark`` is the drawing in a square of 12."""

    colour: str
    mark: str
    ink: str
    word: str


@dataclass(frozen=True, slots=True)
class YarnRow:
    """One yarn.

    Parameters
    ----------
    key, name : str
    swatch : Swatch
    use : str
        ``warp``, ``ground``, both or nothing.
    need, on_hand : Figure or str
    length : Figure
    short : bool
        Whether less is on hand than needed.
    bar, tick : float
        Ends of the need's bar and of what is on hand, of ``BAR``.
    buy : str
        ``2 packs to buy``, or nothing.
    """

    key: str
    name: str
    swatch: Swatch
    use: str
    need: Figure | str
    on_hand: Figure | str
    length: Figure
    short: bool
    bar: float
    tick: float | None
    buy: str
    lot: str


def swatch_of(look: YarnLook) -> Swatch:
    """Return a yarn's swatch."""
    ink = ink_on(look.colour)
    return Swatch(look.colour, look.drawing(ink), ink, look.words)


def swatches(plan: Plan) -> dict[str, Swatch]:
    """Return the swatch of every yarn of a piece, by key."""
    return {key: swatch_of(look) for key, look in looks(plan.project).items()}


def yarn_rows(plan: Plan) -> tuple[YarnRow, ...]:
    """Return every yarn of a piece, in the order of its file."""
    return tuple(_row(plan, key, swatch) for key, swatch in swatches(plan).items())


def _row(plan: Plan, key: str, swatch: Swatch) -> YarnRow:
    units, yarn, amount = units_of(plan), plan.project.yarns[key], plan.yarns.get(key)
    nothing = Quantity(0.0, Basis.COMPUTED)
    need = (amount.mass_g if amount else nothing) or None
    hand = None if yarn.on_hand_g is None else Quantity(float(yarn.on_hand_g), Basis.LABEL)
    length = amount.warp_mm + amount.weft_mm if amount else nothing
    most = max(need.value if need else 0.0, hand.value if hand else 0.0, 1e-9)
    short = bool(need and hand and need.value > hand.value)
    return YarnRow(
        key=key,
        name=yarn_name(yarn, key),
        swatch=swatch,
        use=" and ".join(
            word
            for word, is_it in (("warp", key == plan.project.warp.yarn), ("ground", key == plan.project.ground))
            if is_it
        ),
        need=_need(units, need),
        on_hand="not said" if hand is None else units.mass(hand),
        length=units.yarn(length),
        short=short,
        bar=BAR * (need.value if need else 0.0) / most,
        tick=None if hand is None else BAR * hand.value / most,
        buy=_buy(amount.packs_to_buy if amount else None),
        lot=yarn.lot or "",
    )


def _need(units: Units, need: Quantity | None) -> Figure | str:
    """Return a need; a little is never nothing."""
    little = 1.4 if units.imperial else 0.5
    if need is None or need.value == 0 or need.value >= little:
        return units.mass(need)
    return Figure("under 0.1 oz" if units.imperial else "under 1 g", need.basis)


def _buy(packs: int | None) -> str:
    return "" if not packs else "1 pack to buy" if packs == 1 else f"{packs} packs to buy"
