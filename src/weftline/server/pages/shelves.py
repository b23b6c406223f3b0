"""Yarns and looms as their shelves show them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis, Quantity
from weftline.core.piece.names import yarn_name
from weftline.server.pages.frame import units_of
from weftline.server.pages.label_answers import LabelAnswer, label_answer
from weftline.server.pages.words import count
from weftline.server.pages.yarn_rows import Swatch, swatch_of
from weftline.services import following
from weftline.sheets.figures import Figure, Units
from weftline.sheets.marks import NAMES, YarnLook

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.plan.plan import Plan
    from weftline.services.answers import Summary
    from weftline.services.following import Link

UNDYED = "#d9d2c3"


@dataclass(frozen=True, slots=True)
class Reserved:
    """What one piece takes of a yarn."""

    piece: str
    name: str
    key: str
    need: Figure | str


@dataclass(frozen=True, slots=True)
class ShelfYarn:
    """A yarn on the shelf."""

    id: str
    name: str
    swatch: Swatch
    label: str
    told: LabelAnswer | None
    lot: str
    pack: Figure | str
    on_hand: Figure | str
    reserved: tuple[Reserved, ...]
    left: Figure | None


def yarn_shelf(
    documents: Mapping[str, Mapping[str, Any]], plans: Sequence[tuple[Summary, Plan]]
) -> tuple[ShelfYarn, ...]:
    """Return the yarns of the shelf, each with what the pieces take of it."""
    return tuple(_yarn(at, key, document, plans) for at, (key, document) in enumerate(documents.items()))


def _yarn(at: int, key: str, document: Mapping[str, Any], plans: Sequence[tuple[Summary, Plan]]) -> ShelfYarn:
    say = Units(bool(plans) and plans[0][1].project.units == "imperial")
    hand = document.get("on_hand_g")
    look = YarnLook(NAMES[at % len(NAMES)], at // len(NAMES), document.get("colour", UNDYED))
    taken = tuple(_reserved(document, plans))
    needs = [plan.yarns[one.key].mass_g for one in taken for summary, plan in plans if summary.id == one.piece]
    known = [need for need in needs if need is not None]
    left = None
    if hand is not None and known:
        left = say.mass(sum(known, Quantity(0.0, Basis.COMPUTED)) * -1.0 + float(hand))
    pack = document.get("pack")
    return ShelfYarn(
        id=key,
        name=document.get("name", "Yarn"),
        swatch=swatch_of(look),
        label=", ".join(str(document[name]) for name in ("size", "fibre") if document.get(name)) or "no label yet",
        told=label_answer(document, say),
        lot=document.get("lot", ""),
        pack="not said" if not pack else say.mass(Quantity(float(pack["mass_g"]), Basis.LABEL)),
        on_hand="not said" if hand is None else say.mass(Quantity(float(hand), Basis.LABEL)),
        reserved=taken,
        left=left if isinstance(left, Figure) else None,
    )


def _reserved(document: Mapping[str, Any], plans: Sequence[tuple[Summary, Plan]]) -> list[Reserved]:
    """Return the pieces that hold a copy of this yarn: the same name and the same lot."""
    found = []
    for summary, plan in plans:
        for key, amount in plan.yarns.items():
            yarn = plan.project.yarns[key]
            if yarn_name(yarn, key) == document.get("name") and (yarn.lot or "") == document.get("lot", ""):
                found.append(Reserved(summary.id, summary.name, key, units_of(plan).mass(amount.mass_g)))
    return found


FOLLOWS = {
    following.FOLLOWING: "follows the shelf",
    following.BEHIND: "follows the shelf, and waits until the piece is brought back",
    following.CHANGED: "was changed in the piece, so it is left as it is there",
    following.OFF_SHELF: "has nothing to follow",
}
"""What is said of a yarn of a piece that was to follow the shelf."""


@dataclass(frozen=True, slots=True)
class Follower:
    """A yarn of a piece that was to follow a yarn of the shelf, and whether it does."""

    piece: str
    name: str
    key: str
    words: str
    follows: bool


def followers(yarn: str, links: Sequence[Link], pieces: Sequence[Summary]) -> tuple[Follower, ...]:
    """Return the yarns of pieces that were to follow a yarn of the shelf."""
    names = {one.id: one.name for one in pieces}
    return tuple(
        Follower(
            link.place.piece,
            names.get(link.place.piece, link.place.piece),
            link.place.key,
            FOLLOWS[link.state],
            link.state != following.CHANGED,
        )
        for link in links
        if link.yarn == yarn
    )


@dataclass(frozen=True, slots=True)
class LoomRow:
    """A loom: its record on the shelf, or what pieces were planned for (``id`` is empty)."""

    id: str
    name: str
    words: str
    pieces: tuple[tuple[str, str], ...]


def loom_rows(documents: Mapping[str, Mapping[str, Any]], plans: Sequence[tuple[Summary, Plan]]) -> tuple[LoomRow, ...]:
    """Return the looms kept, then those that pieces were planned for without a record."""
    used: dict[str, list[tuple[str, str]]] = {}
    for summary, plan in plans:
        used.setdefault(loom_words(plan.project.loom.model_dump(exclude_unset=True)), []).append(
            (summary.id, summary.name)
        )
    rows = []
    for key, document in documents.items():
        words = loom_words(document.get("loom", {}))
        rows.append(LoomRow(key, document.get("name", "Loom"), words, tuple(used.pop(words, ()))))
    for words, pieces in used.items():
        if words:
            rows.append(LoomRow("", "As these pieces were planned", words, tuple(pieces)))
    return tuple(rows)


def loom_words(loom: Mapping[str, Any]) -> str:
    """Return a loom in one line."""
    parts = [str(loom["kind"])] if loom.get("kind") else []
    parts += [f"{loom['shed']} shed"] if loom.get("shed") else []
    parts += [count(loom["shafts"], "shaft")] if loom.get("shafts") else []
    parts += [count(loom["treadles"], "treadle")] if loom.get("treadles") else []
    parts += [f"reed {loom['reed_dents_per_10cm']:g} dents per 10 cm"] if loom.get("reed_dents_per_10cm") else []
    parts += [f"weaves {loom['weaving_width_cm']:g} cm wide"] if loom.get("weaving_width_cm") else []
    return ", ".join(parts)
