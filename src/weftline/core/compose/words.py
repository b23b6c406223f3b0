"""How sizes and counts are said in sentences, in the units of the piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.core.piece.values import Project

MM_PER_INCH, CM_PER_INCH, G_PER_OUNCE = 25.4, 2.54, 28.349523125


def length_words(mm: float, project: Project) -> str:
    """Return a length as the piece's weaver says it.

    Examples
    --------
    >>> from weftline.core.piece.values import Project
    >>> length_words(602.3, Project.model_construct(units="metric"))
    '60.2 cm'
    >>> length_words(602.3, Project.model_construct(units="imperial"))
    '23.7 in'
    """
    return f"{mm / MM_PER_INCH:.1f} in" if project.units == "imperial" else f"{mm / 10:.1f} cm"


def density_words(per_cm: float, project: Project) -> str:
    """Return a sett or a beat as the piece's weaver says it."""
    if project.units == "imperial":
        return f"{per_cm * CM_PER_INCH:.3g} per inch"
    return f"{per_cm:.3g} per cm"


def mass_words(grams: float, project: Project) -> str:
    """Return a mass as the piece's weaver says it."""
    return f"{grams / G_PER_OUNCE:.1f} oz" if project.units == "imperial" else f"{grams:.0f} g"


def counted(number: int, one: str, several: str | None = None) -> str:
    """Return a number with its noun.

    Examples
    --------
    >>> counted(1, "end"), counted(1200, "end")
    ('1 end', '1,200 ends')
    """
    return f"{number:,} {one if number == 1 else several or one + 's'}"


def times_words(number: int) -> str:
    """Return how often: once, twice, 3 times."""
    return {1: "once", 2: "twice"}.get(number, f"{number:,} times")


def share_words(share: float) -> str:
    """Return a share as a whole percentage, or with one digit where it is small."""
    percent = abs(share) * 100
    return f"{percent:.0f} %" if percent >= 10 else f"{percent:.1f} %"
