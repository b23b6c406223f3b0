"""What the forms of the shelf say: the label of a skein, the record of a loom, each read and checked."""

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Form
from pydantic import ValidationError

from weftline.core.piece.values import Loom, Yarn
from weftline.errors import PieceError

# Annotations are read as they stand: FastAPI makes form fields of the parameters of these classes.

Words = Annotated[str, Form(max_length=200)]
Figure = Annotated[str, Form(max_length=20)]


@dataclass(frozen=True, slots=True)
class YarnLabel:
    """What a skein's label says."""

    name: Words = ""
    size: Words = ""
    fibre: Words = ""
    colour: Words = ""
    lot: Words = ""
    on_hand: Figure = ""
    pack: Figure = ""

    def document(self) -> dict[str, Any]:
        """Return it as a yarn of a piece is written; what was left empty is left out.

        Raises
        ------
        PieceError
        """
        pack = _number("A pack", self.pack)
        return _checked(
            Yarn,
            {
                "name": self.name.strip() or "Yarn",
                "size": self.size.strip() or None,
                "fibre": self.fibre.strip() or None,
                "lot": self.lot.strip() or None,
                "colour": self.colour.lower() or None,
                "on_hand_g": _number("On hand", self.on_hand),
                "pack": None if pack is None else {"mass_g": pack},
            },
        )


@dataclass(frozen=True, slots=True)
class LoomRecord:
    """What a loom is."""

    name: Words = ""
    kind: Words = ""
    shed: Words = ""
    shafts: Figure = ""
    treadles: Figure = ""
    reed: Figure = ""
    width: Figure = ""

    def document(self) -> dict[str, Any]:
        """Return its name, and the loom as a piece's is written; what was left empty is left out.

        Raises
        ------
        PieceError
        """
        loom = {
            "kind": self.kind or None,
            "shed": self.shed or None,
            "shafts": _number("Shafts", self.shafts, whole=True),
            "treadles": _number("Treadles", self.treadles, whole=True),
            "reed_dents_per_10cm": _number("The reed", self.reed),
            "weaving_width_cm": _number("The width", self.width),
        }
        return {"name": self.name.strip() or "Loom", "loom": _checked(Loom, loom)}


def _number(what: str, text: str, *, whole: bool = False) -> float | None:
    text = text.strip().replace(",", ".")
    try:
        if not text:
            return None
        found = float(text)
        return int(found) if whole or found.is_integer() else found
    except (ValueError, OverflowError):
        raise PieceError("", f"{what} is a number in figures, not {text}") from None


def _checked(kind: type[Yarn | Loom], fields: dict[str, Any]) -> dict[str, Any]:
    document = {name: value for name, value in fields.items() if value is not None}
    try:
        kind.model_validate(document)
    except ValidationError as cause:
        field = ".".join(str(part) for part in cause.errors()[0]["loc"]).replace("_", " ")
        raise PieceError("", f"{field} does not fit; look at it and write it as the label does") from None
    return document
