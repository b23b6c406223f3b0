"""The marks of yarns and the chips that wear them, as small SVG drawings.

Twelve marks in a fixed order, by the place of the yarn in the file; the thirteenth yarn begins
again with a line under its mark, the twenty-fifth with two.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.colour.light import hex_to_linear, to_srgb
from weftline.drawing.yarn_colours import UNDYED, winding_lights

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from weftline.core.piece.values import Project
    from weftline.core.weave.picks import Winding

STROKED = "fill='none' stroke='{ink}' stroke-width='{width}' stroke-linecap='round' stroke-linejoin='round'"
FILLED = "fill='{ink}' stroke='none'"
MARKS: dict[str, str] = {
    "dot": f"<circle cx='6' cy='6' r='2.5' {FILLED}/>",
    "block": f"<path d='M1.8 1.8H10.2V10.2H1.8Z' {FILLED}/>",
    "ring": f"<circle cx='6' cy='6' r='4' {STROKED}/>",
    "cross": f"<path d='M2 2L10 10M10 2L2 10' {STROKED}/>",
    "rails": f"<path d='M1.2 3.6H10.8M1.2 8.4H10.8' {STROKED}/>",
    "bar": f"<path d='M6 1.5V10.5' {STROKED}/>",
    "tent": f"<path d='M6 1.8L10.6 10H1.4Z' {STROKED}/>",
    "bowl": f"<path d='M1 4.2H11A5 5 0 0 1 1 4.2Z' {FILLED}/>",
    "seeds": (
        f"<circle cx='2.5' cy='8.6' r='2.3' {FILLED}/><circle cx='9.5' cy='8.6' r='2.3' {FILLED}/>"
        f"<circle cx='6' cy='2.9' r='2.3' {FILLED}/>"
    ),
    "tee": f"<path d='M1.6 2.2H10.4M6 2.2V10.6' {STROKED}/>",
    "roof": f"<path d='M1.4 9L6 3L10.6 9' {STROKED}/>",
    "glass": f"<path d='M1.8 1.6H10.2L1.8 10.4H10.2Z' {FILLED}/>",
}
NAMES = tuple(MARKS)
DARK, LIGHT = "#0d0d0d", "#f5f5f5"


@dataclass(frozen=True, slots=True)
class YarnLook:
    """How a yarn looks on the page.

    Parameters
    ----------
    mark : str
        Name of its mark.
    lines : int
        How many lines stand under it.
    colour : str
        ``#rrggbb``.
    """

    mark: str
    lines: int
    colour: str

    @property
    def words(self) -> str:
        """The mark as it is called: ``dot``, ``dot with a line under it``."""
        under = ("", " with a line under it", " with two lines under it")
        return self.mark + (under[self.lines] if self.lines < 3 else f" with {self.lines} lines under it")

    def drawing(self, ink: str) -> str:
        """Return the mark in its square of 12 x 12."""
        drawn = MARKS[self.mark].format(ink=ink, width="1.9")
        if not self.lines:
            return drawn
        lines = "".join(
            f"<path d='M1 {11.6 - 1.5 * line}H11' stroke='{ink}' stroke-width='.9'/>" for line in range(self.lines)
        )
        return f"<g transform='translate(1.8 0) scale(.7)'>{drawn}</g>{lines}"


def looks(project: Project) -> dict[str, YarnLook]:
    """Return how each yarn of the file looks, by key."""
    return {
        key: YarnLook(NAMES[place % len(NAMES)], place // len(NAMES), yarn.colour or UNDYED[place % len(UNDYED)])
        for place, (key, yarn) in enumerate(project.yarns.items())
    }


def hex_of(light: NDArray[np.float64]) -> str:
    """Return ``#rrggbb`` of linear light."""
    return "#" + "".join(f"{round(float(value) * 255):02x}" for value in to_srgb(light))


def ink_on(colour: str) -> str:
    """Return the ink that is better seen on a colour (relative luminance, WCAG 2.2)."""
    red, green, blue = (float(value) for value in hex_to_linear(colour))
    return DARK if 0.2126 * red + 0.7152 * green + 0.0722 * blue > 0.178 else LIGHT


def winding_colours(project: Project, windings: tuple[Winding, ...]) -> list[str]:
    """Return the colour of what each shuttle carries."""
    return [hex_of(light) for light in winding_lights(project, windings)]


def chip(look: YarnLook) -> str:
    """Return a swatch of a yarn wearing its mark, as SVG."""
    ink = ink_on(look.colour)
    return (
        "<svg xmlns='http://www.w3.org/2000/svg' width='20' height='20' viewBox='0 0 20 20'>"
        f"<rect x='.4' y='.4' width='19.2' height='19.2' rx='4' fill='{look.colour}' stroke='{DARK}' "
        f"stroke-width='.5'/><g transform='translate(4 4)'>{look.drawing(ink)}</g></svg>"
    )
