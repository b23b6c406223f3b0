"""Contrast as the browser shows it: the computed colours of a page, what lies behind each, what they keep to.

The formula is WCAG 2.2's own, worked out here and nowhere else in this repository; the browser turns every
colour into the eight-bit sRGB that it shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from playwright.sync_api import Page

Rgba = Sequence[float]
"""Red, green, blue of 0-255, and 0-1 for how much of what lies behind is covered."""

BOUNDS: Final = {
    "ink": 7.3,
    "quiet": 4.6,
    "stop": 6.1,
    "look": 6.1,
    "good": 6.1,
    "edge": 3.1,
    "mark": 4.2,
    "button": 11.6,
    "focus": 11.6,
}
"""The lowest contrast of each role, to one decimal: our design values, the lowest pair of each in either theme.

All lie at or above what WCAG 2.2 asks: 4.5 for text (1.4.3), 3 for controls, marks and focus (1.4.11). ``button`` is
the page's grey on ink, ``focus`` the ring of ink inside the ring of page, ``mark`` a yarn's mark on its yarn.
"""

TOKENS: Final = ("ink", "quiet", "stop", "look", "good", "edge", "page", "hair", "bench", "raised", "paper")
GROUNDS: Final = ("hair", "bench", "raised", "paper")
"""Greys that nothing is told by: hairlines between things, and what things lie on."""

WALK: Final = Path(__file__).with_suffix(".js").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Shown:
    """A colour as it is shown somewhere.

    Parameters
    ----------
    role : str
        A key of ``BOUNDS``; ``ground`` for greys that nothing is told by, ``none`` if it is no colour of ours.
    kind : str
        What it is the colour of: ``text``, ``border``, ``border of a control``, ``drawing``, ``mark``, ``focus``.
    ratio : float
        Contrast with what lies behind, 1-21.
    where : str
        The element, and what it says.
    """

    role: str
    kind: str
    ratio: float
    where: str

    @property
    def trouble(self) -> str:
        """What is wrong with it, or nothing."""
        if self.role == "none":
            return f"{self.kind} of {self.where}: its colour is none of ours"
        if self.role == "ground":
            return (
                f"{self.kind} of {self.where}: too pale a grey" if self.kind in ("text", "border of a control") else ""
            )
        if round(self.ratio, 1) < BOUNDS[self.role]:
            return f"{self.kind} of {self.where}: {self.role} has {self.ratio:.2f}, at least {BOUNDS[self.role]}"
        return ""


def luminance(colour: Rgba) -> float:
    """Relative luminance, 0-1.

    References
    ----------
    WCAG 2.2, "relative luminance", https://www.w3.org/TR/WCAG22/#dfn-relative-luminance
    """
    red, green, blue = (
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in (part / 255 for part in colour[:3])
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgba, other: Rgba) -> float:
    """Contrast of two colours, 1-21.

    References
    ----------
    WCAG 2.2, "contrast ratio", https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio
    """
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def laid(layers: Iterable[Rgba]) -> Rgba:
    """What is seen of colours laid one over another, the lowest first, as browsers do it: in sRGB as coded."""
    seen: tuple[float, ...] = (255, 255, 255)
    for *colour, cover in layers:
        seen = tuple(below + (part - below) * cover for below, part in zip(seen, colour, strict=True))
    return seen


def shown(page: Page) -> list[Shown]:
    """Every colour on a page as it is seen now, its disclosures opened; a control without a focus ring has ratio 1."""
    found = page.evaluate(WALK, list(TOKENS))
    tokens = {tuple(colour): name for name, colour in reversed(found["tokens"].items())}
    every = []
    for one in found["seen"]:
        behind = laid(one["layers"])
        role = _role(one["kind"], tokens.get(tuple(one["rgba"])))
        every.append(Shown(role, one["kind"], contrast(laid([[*behind, 1], one["rgba"]]), behind), one["where"]))
    return [*every, *(Shown("focus", "focus", 1.0, where) for where in found["bare"])]


def _role(kind: str, token: str | None) -> str:
    if kind in ("mark", "focus"):
        return kind
    if token is None:
        return "none"
    return "ground" if token in GROUNDS else "button" if token == "page" else token


def lowest(every: Iterable[Shown]) -> dict[str, Shown]:
    """The lowest contrast of each role."""
    found: dict[str, Shown] = {}
    for one in every:
        if one.role in BOUNDS and (one.role not in found or one.ratio < found[one.role].ratio):
            found[one.role] = one
    return found


def table(every: Iterable[Shown]) -> str:
    """The lowest contrast of each role as lines of text, with its bound and where it was seen."""
    low = lowest(every)
    return "\n".join(
        f"  {role:6}  {low[role].ratio:5.2f} (at least {bound})  {low[role].kind} of {low[role].where}"
        if role in low
        else f"  {role:6}  not seen"
        for role, bound in BOUNDS.items()
    )
