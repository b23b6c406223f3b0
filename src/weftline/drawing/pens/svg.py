"""A pen that writes SVG 1.1, millimetres in the size, no scripts, nothing fetched."""

from __future__ import annotations

from html import escape

from weftline.drawing.pens import Box, Oval, Shape

SHOULDER = 0.05
"""How far along an oval its control points stand, as a part of its length; small makes full shoulders."""


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _pair(x: float, y: float) -> str:
    return f"{_number(x)} {_number(y)}"


def _outline(outline: Oval | Box) -> str:
    if isinstance(outline, Box):
        height = _number(-outline.height)
        width = _number(outline.width)
        return f"M{_pair(outline.left, -outline.foot)}h{width}v{height}h{_number(-outline.width)}z"
    (left, left_y), (right, right_y) = outline.left, outline.right
    reach = (right - left) * SHOULDER
    # a cubic with both controls at height c reaches 3/4 of the way from its ends to c
    top = (outline.top - (left_y + right_y) / 8) / 0.75
    foot = (outline.foot - (left_y + right_y) / 8) / 0.75
    return (
        f"M{_pair(left, -left_y)}"
        f"C{_pair(left + reach, -top)} {_pair(right - reach, -top)} {_pair(right, -right_y)}"
        f"C{_pair(right - reach, -foot)} {_pair(left + reach, -foot)} {_pair(left, -left_y)}z"
    )


class SvgPen:
    """Collects a drawing; ``text()`` gives the file."""

    def __init__(self) -> None:
        self._head = ""
        self._height = 0.0
        self._symbols: list[str] = []
        self._names: dict[str, str] = {}
        self._placed: list[str] = []
        self._colour = ""

    def page(self, width_mm: float, height_mm: float, title: str, description: str) -> None:
        """Begin a drawing of this size; the title and description are read out by screen readers."""
        width, height = _number(width_mm), _number(height_mm)
        self._height = height_mm
        self._head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
            f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">\n'
            f"<title>{_clean(title)}</title>\n<desc>{_clean(description)}</desc>\n"
        )

    def symbol(self, name: str, shapes: tuple[Shape, ...]) -> None:
        """Define a symbol."""
        short = self._names.setdefault(name, f"s{len(self._names)}")
        paths = []
        for shape in shapes:
            fill = "" if shape.fill is None else f' fill="{shape.fill}"'
            opacity = "" if shape.opacity == 1 else f' fill-opacity="{_number(shape.opacity)}"'
            paths.append(f'<path{fill}{opacity} d="{"".join(map(_outline, shape.outlines))}"/>')
        self._symbols.append(f'<g id="{short}">{"".join(paths)}</g>')

    def place(self, name: str, x_mm: float, y_mm: float, colour: str) -> None:
        """Put a symbol down with its origin here; neighbours of one colour share a group."""
        if colour != self._colour:
            self._placed.append(f'{"</g>" if self._colour else ""}\n<g fill="{colour}">')
            self._colour = colour
        x = "" if x_mm == 0 else f' x="{_number(x_mm)}"'
        self._placed.append(f'<use xlink:href="#{self._names[name]}"{x} y="{_number(self._height - y_mm)}"/>')

    def text(self) -> str:
        """Return the SVG."""
        symbols = "\n".join(self._symbols)
        return (
            f"{self._head}<defs>\n{symbols}\n</defs>{''.join(self._placed)}{'</g>' if self._colour else ''}\n</svg>\n"
        )


def _clean(text: str) -> str:
    """Return text that XML can hold."""
    return escape("".join(letter for letter in text if letter.isprintable() or letter == " "))
