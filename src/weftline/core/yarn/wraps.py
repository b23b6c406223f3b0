"""Wraps on a ruler: the weak way to tell a yarn's size, and a check on its diameter.

Two customs meet in "wraps per inch". Weavers lay the wraps side by side, just touching, and reckon
with 0.7 of Ashenhurst's diameters per inch (peggyosterkamp.com, ashenhurst-rule: wraps / 0.7).
Knitters' labels wrap loosely: 9 to 11 wraps for 800 to 1,000 yards a pound, 12 to 15 for 1,200 to
1,800, 16 to 18 for 2,000 to 2,400 (bellaonline.com art34962), about the square root of the yards a
pound over 2.9; another page says over 2 (gansey.blogspot.com 2011-11 wpi). Between these customs one
number means weights three times apart.
"""

import re
from dataclasses import dataclass
from math import hypot

from weftline.core.yarn.size import YarnSizeError, shown

CM_PER_INCH = 2.54

_WRAPS = re.compile(
    r"(?P<number>\d+(?:[.,]\d+)?)\s*(?:(?P<wpi>wpi)|wraps?\s*(?:per|an|to the|/|in an?|in 1)?\s*"
    r"(?P<unit>inch(?:es)?|in\b|\"|cm|centimetres?|centimeters?|(?!\w)))",
    re.IGNORECASE,
)
TOUCHING = 0.7
"""Diameter in contact as a share of the room of a wrap, side by side and just touching."""

LOOSE = 0.49
"""The same where nobody says how it was wrapped: midway between weavers' 0.7 and the 0.35 of the loosest labels."""

_HALF_WRAP = 0.29
_FEWEST, _MOST = 0.2, 400.0
"""Wraps per cm that a yarn on a ruler can give: a rope of 5 cm, a thread of 0.025 mm."""


@dataclass(frozen=True)
class Wraps:
    """A count of wraps.

    Attributes
    ----------
    per_cm : wraps in a centimetre
    touching : laid side by side, just touching, by the weaver; otherwise as a label prints it
    """

    per_cm: float
    touching: bool = False

    def __post_init__(self) -> None:
        """Refuse a density that no yarn gives."""
        if not _FEWEST <= self.per_cm <= _MOST:
            raise YarnSizeError(
                f"{self.per_cm * CM_PER_INCH:.6g} wraps per inch is no yarn; count between "
                f"{_FEWEST * CM_PER_INCH:.1f} and {_MOST * CM_PER_INCH:.0f}, or write wraps per cm as such."
            )

    @property
    def per_inch(self) -> float:
        """Wraps in an inch."""
        return self.per_cm * CM_PER_INCH

    @property
    def diameter_mm(self) -> float:
        """The diameter in contact that the count says."""
        return 10 / self.per_cm * (TOUCHING if self.touching else LOOSE)

    @property
    def log_sd(self) -> float:
        """Scatter of that diameter, as the standard deviation of its logarithm.

        0.12 between people who lay their wraps touching, 0.22 where the custom is open, and half a
        wrap in the inch that was counted; judgement, from the spread of the sources above.
        """
        return hypot(0.12 if self.touching else 0.22, _HALF_WRAP / self.per_inch)


def wraps_in_inch(number: float) -> Wraps:
    """Return the wraps that a weaver counted over one inch, side by side and just touching.

    >>> round(wraps_in_inch(12).diameter_mm, 2)
    1.48
    """
    return Wraps(number / CM_PER_INCH, touching=True)


def split_wraps(text: str) -> tuple[str, Wraps | None]:
    """Return a label without its wraps, and the wraps.

    >>> split_wraps("Nm 6/2 wool, 14 wpi")[0]
    'Nm 6/2 wool, '
    >>> split_wraps("5 wraps per cm")[1]
    Wraps(per_cm=5.0, touching=False)
    >>> split_wraps("8/2 cotton")
    ('8/2 cotton', None)
    """
    match = _WRAPS.search(text)
    if match is None:
        return text, None
    number = float(match["number"].replace(",", "."))
    metric = (match["unit"] or "").lower().startswith("c")
    wraps = Wraps(number if metric else number / CM_PER_INCH)
    return text[: match.start()] + text[match.end() :], wraps


def refuse_wraps_alone(text: str) -> None:
    """Refuse a label that says nothing but wraps where a size is needed to weigh with.

    Raises
    ------
    YarnSizeError : there are wraps and no other number.
    """
    rest, wraps = split_wraps(text)
    if wraps is not None and not any(letter.isdigit() for letter in rest):
        raise YarnSizeError(
            f'"{shown(text)}" counts wraps, which tell a weight only within a factor of two; '
            "weigh some metres, or give the metres per kilogram.",
            text=text,
        )
