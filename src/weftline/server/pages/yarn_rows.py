"""The yarns of a piece as the panel and the tables show them: swatch, mark, need over what is on hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.piece.names import yarn_name
from weftline.server.pages.frame import units_of
from weftline.sheets.figures import G_PER_OUNCE, Figure, Units
from weftline.sheets.marks import YarnLook, ink_on, looks
from weftline.sheets.ranges import interval

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.core.plan.risk import PieceRisk, YarnRisk

SELDOM = 0.05
"""A yarn that runs out no more often than this is called enough."""

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
    buy, says : str
        ``buy 2 packs of one lot`` and how likely it runs out, where it does so more often than seldom.
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
    says: str
    lot: str


def swatch_of(look: YarnLook) -> Swatch:
    """Return a yarn's swatch."""
    ink = ink_on(look.colour)
    return Swatch(look.colour, look.drawing(ink), ink, look.words)


def swatches(plan: Plan) -> dict[str, Swatch]:
    """Return the swatch of every yarn of a piece, by key."""
    return {key: swatch_of(look) for key, look in looks(plan.project).items()}


def yarn_rows(plan: Plan, risk: PieceRisk) -> tuple[YarnRow, ...]:
    """Return every yarn of a piece, in the order of its file, with what may become of it."""
    return tuple(_row(plan, key, swatch, risk.yarns.get(key)) for key, swatch in swatches(plan).items())


def _row(plan: Plan, key: str, swatch: Swatch, risk: YarnRisk | None) -> YarnRow:
    units, yarn, amount = units_of(plan), plan.project.yarns[key], plan.yarns.get(key)
    nothing = Quantity(0.0, Basis.COMPUTED)
    need = risk.need_g if risk is not None else (amount.mass_g if amount else nothing) or None
    hand = None if yarn.on_hand_g is None else Quantity(float(yarn.on_hand_g), Basis.LABEL)
    length = amount.warp_mm + amount.weft_mm if amount else nothing
    upper = 0.0 if need is None else need.high or need.value
    most = max(upper, hand.value if hand else 0.0, 1e-9)
    short = bool(risk and risk.runs_out is not None and risk.runs_out > SELDOM)
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
        bar=BAR * upper / most,
        tick=None if hand is None else BAR * hand.value / most,
        buy=_buy(units, risk) if short and risk is not None else "",
        says=_says(plan, risk) if short and risk is not None else "",
        lot=yarn.lot or "",
    )


def _need(units: Units, need: Quantity | None) -> Figure | str:
    """Return a need, with its interval where there is one; a little is never nothing."""
    little = 1.4 if units.imperial else 0.5
    if need is not None and need.low is not None and need.value >= little:
        return interval(need, 1 / G_PER_OUNCE if units.imperial else 1.0, "oz" if units.imperial else "g")
    if need is None or need.value == 0 or need.value >= little:
        return units.mass(need)
    return Figure("under 0.1 oz" if units.imperial else "under 1 g", need.basis)


def _buy(units: Units, risk: YarnRisk) -> str:
    if risk.packs is not None:
        return "buy 1 pack of the same lot" if risk.packs == 1 else f"buy {risk.packs} packs of one lot"
    said = units.mass(Quantity(risk.buy_g, Basis.COMPUTED))
    return f"buy {said if isinstance(said, str) else said.text} of the same lot"


def _says(plan: Plan, risk: YarnRisk) -> str:
    """Return how likely a yarn runs out, and from where on it may."""
    chance = round(100 * (risk.runs_out or 0.0))
    says = "runs out" if chance >= 100 else f"runs out {chance} times in 100"
    place = risk.from_line
    if place is None or place.line <= 1:
        return says
    where = [f"line {place.line}"]
    where += [f"of {place.section}"] if len(plan.sections) > 1 else []
    where += [f"piece {place.piece}"] if place.piece > 1 else []
    return f"{says}, from {', '.join(where)} on"
