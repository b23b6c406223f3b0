"""What a weaver measured, as the form of a sample says it: each figure read, checked, and brought to mm and grams."""

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Form

from weftline.core.learning.sample import State, Verdict
from weftline.errors import PieceError
from weftline.sheets.figures import G_PER_OUNCE, MM_PER_INCH

# Annotations are read as they stand: FastAPI makes form fields of the parameters of this class.

Figure = Annotated[str, Form(max_length=20)]
Word = Annotated[str, Form(max_length=40)]

BEATS = ("", "soft", "firm", "hard")
WIDTHS = (
    ("in_reed", "width in the reed"),
    ("on_loom", "width on the loom"),
    ("off_loom", "width off the loom"),
    ("washed", "washed width"),
)
LENGTHS = (
    ("long_on_loom", "length on the loom"),
    ("long_off_loom", "length off the loom"),
    ("long_washed", "washed length"),
)
FEWEST, MOST = 0.05, 200.0
"""Lines in a centimetre that a piece can have."""


@dataclass(frozen=True, slots=True)
class Measured:
    """The form of a sample; what was not measured is empty."""

    lines: Figure = ""
    over: Figure = ""
    state: Word = State.SLACK.value
    in_reed: Figure = ""
    on_loom: Figure = ""
    off_loom: Figure = ""
    washed: Figure = ""
    long_on_loom: Figure = ""
    long_off_loom: Figure = ""
    long_washed: Figure = ""
    weight: Figure = ""
    thickness: Figure = ""
    warp_mark: Figure = ""
    woven_mark: Figure = ""
    weft: Figure = ""
    weft_over: Figure = ""
    beat: Word = ""
    verdict: Word = ""
    note: Annotated[str, Form(max_length=2000)] = ""

    def readings(self, *, imperial: bool) -> dict[str, Any]:
        """Return what was measured, in mm and grams, as a sample's document has it.

        Raises
        ------
        PieceError
            Where a figure is none, one of two that belong together is missing, or nothing was measured.
        """
        mm = MM_PER_INCH if imperial else 1.0
        found: dict[str, Any] = self._counted(mm)
        for name, words in (*WIDTHS, *LENGTHS):
            value = _figure(words, getattr(self, name))
            if value is not None:
                found[f"{name}_mm"] = value * mm
        found |= _pair("the warp between two marks", self.warp_mark, self.woven_mark, ("warp_mm", "woven_mm"), mm)
        found |= _pair("a length of weft", self.weft, self.weft_over, ("weft_mm", "weft_over_mm"), mm)
        thickness = _figure("thickness", self.thickness)
        if thickness is not None:
            found["thickness_mm"] = thickness * mm
        found |= self._weighed(found, G_PER_OUNCE if imperial else 1.0)
        if self.verdict:
            if self.verdict not in tuple(Verdict):
                raise PieceError("", f"a sett holds, is too open, or shows the warp, not {self.verdict}")
            found["verdict"] = self.verdict
        if not found:
            raise PieceError("", "nothing was measured yet; one number is enough: count the lines over a hand's width")
        return found

    def _counted(self, mm: float) -> dict[str, Any]:
        found = _pair("a count", self.lines, self.over, ("lines", "over_mm"))
        if not found:
            return {}
        if self.state not in tuple(State):
            raise PieceError("", f"cloth is counted {', '.join(State)}, not {self.state}")
        over = found["over_mm"] * mm
        per_cm = found["lines"] * 10 / over
        if not FEWEST <= per_cm <= MOST:
            raise PieceError(
                "", f"that makes {per_cm:.3g} lines to the centimetre; count lines over a hand's width again"
            )
        return {"lines": [found["lines"]], "over_mm": over, "state": self.state}

    def _weighed(self, found: dict[str, Any], gram: float) -> dict[str, float]:
        weight = _figure("weight", self.weight)
        if weight is None:
            return {}
        wide, tall = found.get("off_loom_mm"), found.get("long_off_loom_mm")
        if wide is None or tall is None:
            raise PieceError(
                "",
                "a weight tells something only with the size of what was weighed: give width and length off the loom",
            )
        return {"grams": weight * gram, "area_mm2": wide * tall}


def _pair(what: str, one: str, other: str, names: tuple[str, str], scale: float = 1.0) -> dict[str, float]:
    """Return two figures that tell nothing alone."""
    first, second = _figure(what, one), _figure(what, other)
    if first is None and second is None:
        return {}
    if first is None or second is None:
        raise PieceError("", f"{what} is two figures, one of them is missing; write both")
    return {names[0]: first * scale, names[1]: second * scale}


def _figure(what: str, text: str) -> float | None:
    text = text.strip().replace(",", ".")
    if not text:
        return None
    try:
        found = float(text)
    except ValueError:
        found = float("nan")
    if not 0 < found < 1e6:
        raise PieceError("", f"{what} is a number above nothing, not {text}")
    return found
