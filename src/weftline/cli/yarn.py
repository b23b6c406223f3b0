"""``weftline yarn``: what a label tells, with every way to read it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.yarn.numbers import YarnNumbers

LABEL = (
    'The yarn as its label says it: "NeL 8/5", "Nm 6/2 wool", "300 m / 100 g", "1600 yd/lb", "R 60 tex / 2", '
    '"2 strands of Nm 6/2 + NeC 16/2", "12 wpi".'
)
WRAPS = "Wraps per inch that you measured: side by side, just touching, not stretched, all strands as one."


def yarn(
    label: Annotated[str, typer.Argument(metavar="LABEL", help=LABEL)],
    fibre: Annotated[
        str | None, typer.Option("--fibre", help="What it is spun from, if the label does not say.")
    ] = None,
    wraps: Annotated[float | None, typer.Option("--wraps", help=WRAPS)] = None,
    strands: Annotated[int, typer.Option("--strands", help="How many of it are woven as one.")] = 1,
    json: JsonOption = False,
) -> None:
    """Say what a yarn's label tells: tex, metres a kilogram, thickness, every reading and what to ask."""
    from weftline.core.yarn.numbers import yarn_numbers
    from weftline.formats.numbers_json import yarn_data

    numbers = yarn_numbers(label, fibre, wraps, strands)
    if json:
        answer_json(yarn_data(numbers))
        return
    for line in yarn_lines(numbers):
        say(line)


def yarn_lines(numbers: YarnNumbers) -> Iterator[str]:
    """Yield a label's numbers as a person reads them, with no more digits than they deserve."""
    tex, mm = numbers.tex, numbers.diameter.mm
    about = "about " if tex.low is not None else ""
    yield f"{about}{rounded(tex.value, 2 if about else 3)} tex, {about}{rounded(numbers.m_per_kg, 2 if about else 3)} m/kg"
    if tex.low is not None and tex.high is not None:
        yield f"between {rounded(tex.low, 2)} and {rounded(tex.high, 2)} tex, nine times in ten"
    yield f"{numbers.readings[0].means}" + (f", {' and '.join(numbers.fibres)}" if numbers.fibres else "")
    yield f"{mm.value:.2f} mm thick ({mm.low or 0:.2f} to {mm.high or 0:.2f}), {BASIS[mm.basis.value]}"
    if numbers.question is not None:
        yield numbers.question
        for way in numbers.readings:
            yield f"  {rounded(way.tex, 3):>8} tex  {way.means}"
    yield from numbers.remarks
    for rest in numbers.rests_on:
        yield f"Rests on {rest}."


BASIS = {
    "computed": "from its weight and its fibre",
    "default": "from its weight; the fibre is a guess",
    "measured": "with your wraps",
    "label": "from wraps on the label",
}


def rounded(value: float, digits: int) -> str:
    """Return a number with so many digits that count.

    Examples
    --------
    >>> rounded(1033.449, 3), rounded(967.63, 3), rounded(14.76, 3)
    ('1,030', '968', '14.8')
    """
    kept = float(f"{value:.{digits}g}")
    return f"{kept:,.0f}" if abs(kept) >= 10 ** (digits - 1) else f"{kept:,.{digits}g}"
