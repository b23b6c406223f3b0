"""Setts and reeds as weavers say them: "6/in", "2.4/cm", "24/10cm", "8-dent", "30/10"."""

from __future__ import annotations

import re
from fractions import Fraction

from weftline.core.looms.reed import CM_PER_INCH
from weftline.errors import WeftlineError

_NUMBER = r"(?P<whole>\d{1,6}(?:[.,]\d{1,6})?)(?:\s+(?P<part>\d{1,3}/\d{1,3}))?"
_INCH = r"(?:in|inch|inches|\")"
_UNITS = (
    (
        rf"(?:epi|dpi|ppi|/\s*{_INCH}|per\s+{_INCH}|(?:ends?|dents?)?\s*(?:/|per|an|to the)\s*{_INCH}|[- ]?dents?(?:\s+reed)?)",
        1 / CM_PER_INCH,
    ),
    (r"(?:epc|/\s*cm|per\s+cm|(?:ends?|dents?)\s*(?:/|per)\s*cm)", Fraction(1)),
    (r"(?:/\s*10(?:\s*cm)?|/\s*dm|per\s+10\s*cm|(?:ends?|dents?)\s*(?:/|per|in)\s*10\s*cm)", Fraction(1, 10)),
    (r"(?:/\s*5\s*cm|per\s+5\s*cm)", Fraction(1, 5)),
)
_LEAST, _MOST = Fraction(1, 100), Fraction(1000)


class DensityError(WeftlineError, ValueError):
    """A sett or a reed that is written so that nobody can tell its unit, or that no loom has."""

    code = "density"


def density_per_cm(text: str, what: str) -> Fraction:
    """Return a sett or a reed in threads or dents per cm, exact.

    Parameters
    ----------
    text : str
        A number with its unit; without one it could mean inches or centimetres and is asked.
    what : str
        ``sett`` or ``reed``, for the message.

    Raises
    ------
    DensityError
        When there is no unit, no number, or a density that no loom has.

    Examples
    --------
    >>> density_per_cm("6/in", "sett"), density_per_cm("30/10", "reed"), density_per_cm("2,4/cm", "sett")
    (Fraction(300, 127), Fraction(3, 1), Fraction(12, 5))
    """
    said = text.strip().lower()
    like = "6/in, 2.4/cm or 24/10cm" if what == "sett" else "8/in, 8-dent or 30/10cm"
    for unit, scale in _UNITS:
        match = re.fullmatch(rf"{_NUMBER}\s*{unit}", said)
        if match is None:
            continue
        number = Fraction(match["whole"].replace(",", ".")) + (_part(match["part"]) if match["part"] else 0)
        if not _LEAST <= number * scale <= _MOST:
            raise DensityError(f"a {what} of {_shown(text)} is none that a loom has; write it like {like}.")
        return number * scale
    if re.fullmatch(_NUMBER, said):
        raise DensityError(f"a {what} of {_shown(text)} could be per inch or per cm; write {said}/in or {said}/cm.")
    raise DensityError(f'"{_shown(text)}" is no {what}; write it like {like}.')


def _part(text: str) -> Fraction:
    above, below = text.split("/")
    return Fraction(int(above), int(below)) if int(below) else Fraction(0)


def length_cm(text: str, what: str) -> Fraction:
    """Return a width in cm: "53 cm", "530 mm", "21 in", exact.

    Raises
    ------
    DensityError
        When there is no unit or no number.

    Examples
    --------
    >>> length_cm("21 in", "width"), length_cm("530 mm", "width")
    (Fraction(2667, 50), Fraction(53, 1))
    """
    scales = {"cm": Fraction(1), "mm": Fraction(1, 10), "m": Fraction(100), "in": CM_PER_INCH, "inch": CM_PER_INCH,
              "inches": CM_PER_INCH, '"': CM_PER_INCH, "ft": 12 * CM_PER_INCH}  # fmt: skip
    match = re.fullmatch(rf"{_NUMBER}\s*(?P<unit>[a-z\"]+)", text.strip().lower())
    if match is None or match["unit"] not in scales:
        raise DensityError(f'"{_shown(text)}" is no {what}; write it like 53 cm or 21 in.')
    number = Fraction(match["whole"].replace(",", ".")) + (_part(match["part"]) if match["part"] else 0)
    if not 0 < number * scales[match["unit"]] <= 10_000:
        raise DensityError(f"a {what} of {_shown(text)} is none that a loom has; give more than 0 and at most 100 m.")
    return number * scales[match["unit"]]


def _shown(text: str) -> str:
    clean = "".join(letter if letter.isprintable() else " " for letter in text[:60]).strip()
    return clean if len(clean) <= 40 else clean[:39] + "…"
