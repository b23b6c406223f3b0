"""What the form of another size asks for, as a wish: lengths and setts as a weaver writes them."""

from dataclasses import asdict, dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Form, Query

from weftline.core.compose.wish import Wish
from weftline.core.looms.densities import density_per_cm, length_cm
from weftline.core.piece.values import Project
from weftline.errors import PieceError

# Annotations are read as they stand: FastAPI makes query fields of the parameters of this class.

Word = Annotated[str, Query(max_length=30)]


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a piece; what is empty stays as it is. A number without its unit is one of the piece's own."""

    width: Word = ""
    length: Word = ""
    sett: Word = ""
    loom: Word = ""
    wool: Word = ""
    pieces: Word = ""
    section: Word = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing is asked."""
        return not any(getattr(self, name) for name in ("width", "length", "sett", "loom", "wool", "pieces"))

    @property
    def query(self) -> str:
        """What is asked, as part of an address."""
        return urlencode({name: value for name, value in asdict(self).items() if value})

    def wish(self, project: Project) -> Wish:
        """Return it as a wish.

        Raises
        ------
        PieceError
            For what is no length, no sett and no number.
        """
        inch = project.units == "imperial"
        unit = "in" if inch else "cm"
        return Wish(
            width_mm=None if self.loom else self._mm(self.width, unit, "width"),
            length_mm=self._mm(self.length, unit, "length"),
            sett_per_cm=self._sett("/in" if inch else "/cm"),
            as_wide_as_loom=bool(self.loom),
            from_wool=bool(self.wool),
            pieces=_whole(self.pieces, "pieces on the warp"),
            section=(_whole(self.section, "section") or 1) - 1,
        )

    def _mm(self, text: str, unit: str, what: str) -> float | None:
        text = text.strip()
        return float(length_cm(_with_unit(text, unit), what)) * 10 if text else None

    def _sett(self, unit: str) -> float | None:
        text = self.sett.strip()
        return float(density_per_cm(_with_unit(text, unit, ""), "sett")) if text else None


def _with_unit(text: str, unit: str, space: str = " ") -> str:
    text = text.replace(",", ".")
    return f"{text}{space}{unit}" if text.replace(".", "", 1).isdecimal() else text


def _whole(text: str, what: str) -> int | None:
    text = text.strip()
    if not text:
        return None
    if not text.isdecimal() or len(text) > 6:
        raise PieceError("", f"{what} is a whole number, not {text}")
    return int(text)


Sent = Annotated[str, Form(max_length=30)]


def sent(
    width: Sent = "",
    length: Sent = "",
    sett: Sent = "",
    loom: Sent = "",
    wool: Sent = "",
    pieces: Sent = "",
    section: Sent = "",
) -> Asked:
    """Return what a form asks for.

    Raises
    ------
    PieceError
        Where it asks for nothing: then there is nothing to make.
    """
    asked = Asked(width, length, sett, loom, wool, pieces, section)
    if asked.is_empty:
        raise PieceError("", "no size was asked for; write a width or a length, look at it, then make it a piece")
    return asked
