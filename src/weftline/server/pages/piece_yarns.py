"""The yarns of a piece: their labels to be written, what is on hand, and what may become of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.server.pages.frame import units_of
from weftline.server.pages.label_answers import LabelAnswer, label_answer
from weftline.server.pages.yarn_rows import YarnRow, yarn_rows

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.plan.plan import Plan
    from weftline.core.plan.risk import PieceRisk


@dataclass(frozen=True, slots=True)
class PieceYarn:
    """One yarn.

    Parameters
    ----------
    row : YarnRow
        As the panel beside the cloth shows it.
    fields : mapping
        As it is written in the piece.
    told : LabelAnswer or None
    """

    row: YarnRow
    fields: Mapping[str, Any]
    told: LabelAnswer | None


@dataclass(frozen=True, slots=True)
class PieceYarns:
    """The page.

    Parameters
    ----------
    yarns : tuple of PieceYarn
    shelf : tuple of (str, str)
        Skeins that could be taken in: id and name.
    letter : str
        The next letter that no yarn has.
    any_runs_out : int or None
        In how many of 100 pieces one of them runs out.
    rests_on : tuple of str
    """

    yarns: tuple[PieceYarn, ...]
    shelf: tuple[tuple[str, str], ...]
    letter: str
    any_runs_out: int | None
    rests_on: tuple[str, ...]


def piece_yarns(plan: Plan, risk: PieceRisk, shelf: Mapping[str, Mapping[str, Any]]) -> PieceYarns:
    """Return the page."""
    units = units_of(plan)
    found = []
    for row in yarn_rows(plan, risk):
        fields = plan.project.yarns[row.key].model_dump(mode="json", exclude_none=True)
        found.append(PieceYarn(row, fields, label_answer(fields, units)))
    taken = plan.project.yarns
    letter = next(one for one in (*"abcdefghijklmnopqrstuvwxyz", *(f"y{n}" for n in range(1000))) if one not in taken)
    chance = risk.any_runs_out
    return PieceYarns(
        yarns=tuple(found),
        shelf=tuple((key, str(document.get("name", "Yarn"))) for key, document in shelf.items()),
        letter=letter,
        any_runs_out=None if chance is None else round(100 * chance),
        rests_on=risk.rests_on,
    )
