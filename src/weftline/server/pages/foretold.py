"""What a piece's cloth is foretold to be, row by row: as the piece has it, as foretold, what that rests on."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.geometry.sett import sett_advice
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.forecast import forecast
from weftline.core.learning.next_sample import next_samples
from weftline.server.pages.frame import units_of
from weftline.sheets.figures import MM_PER_INCH, Figure, Rich, share
from weftline.sheets.ranges import G_M2_PER_OZ_YD2, between, interval, shares

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.learning.forecast import Told
    from weftline.core.learning.next_sample import Strip
    from weftline.core.plan.foretold import Foretelling


@dataclass(frozen=True, slots=True)
class ForetoldRow:
    """One figure.

    Parameters
    ----------
    what : str
    now : Figure or str
        As the piece has it.
    told : Figure
        As it is foretold, nine times in ten.
    rests : tuple of str
    narrow : str
        The measurement that would narrow it most, or nothing.
    """

    what: str
    now: Figure | str
    told: Figure
    rests: tuple[str, ...]
    narrow: str


@dataclass(frozen=True, slots=True)
class Span:
    """An interval on a bar, in its own pixels: left end, middle, right end."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Bar:
    """The height of a line before any sample and now, on one scale.

    Parameters
    ----------
    was, now : Span
    was_words, now_words : str
    ticks : tuple of (float, str)
    planned : float or None
        Where the height lies that stands in the piece; None where that is off the bar.
    word : str
        What the second interval is: ``now``, ``now, sampled`` or ``what if``.
    """

    was: Span
    now: Span
    was_words: str
    now_words: str
    ticks: tuple[tuple[float, str], ...]
    planned: float | None
    word: str


BAR_PX = 420.0
NINETY = 1.645
"""Standard deviations that hold nine in ten on both sides."""


def foretold_rows(foretelling: Foretelling) -> tuple[ForetoldRow, ...]:
    """Return the figures of a piece as foretold."""
    plan, found = foretelling.plan, foretelling.forecast
    settings = plan.settings
    units = units_of(plan)
    inch = units.imperial

    def row(what: str, now: Figure | str, told: Told, said: Callable[[Quantity], Figure]) -> ForetoldRow:
        narrow = told.narrow_it.words if told.narrow_it is not None else ""
        return ForetoldRow(what, now, said(told.value), told.rests_on, narrow)

    def per(quantity: Quantity) -> Figure:
        return interval(quantity, 2.54 if inch else 1.0, f"lines per {'inch' if inch else 'cm'}")

    def area(quantity: Quantity) -> Figure:
        return interval(quantity, 1 / G_M2_PER_OZ_YD2 if inch else 1.0, "oz/sq yd" if inch else "g/m²")

    def thick(quantity: Quantity) -> Figure:
        return interval(quantity, 1 / MM_PER_INCH if inch else 1.0, "in" if inch else "mm")

    mass = next((one.mass_per_area_g_m2 for one in plan.sections if one.mass_per_area_g_m2 is not None), None)
    lines = Quantity(1 / settings.line_height_mm.value, settings.line_height_mm.basis)
    rows = [
        row("Beat", units.per_length(lines, "lines", 1), found.lines_per_cm, per),
        row("Draw-in, reed to loom", share(settings.draw_in), found.draw_in, shares),
        row("Warp take-up", share(settings.warp_take_up), found.warp_take_up, shares),
        row("Weft take-up, over the width in the reed", share(settings.weft_take_up), found.weft_take_up, shares),
        row("Weight", "not known" if mass is None else units.area_mass(mass), found.mass_g_m2, area),
        row("Thickness", "not written in a piece", found.thickness_mm, thick),
        row("Width lost off the loom", share(settings.relax_width), found.relax_width, shares),
        row("Length lost off the loom", share(settings.relax_length), found.relax_length, shares),
        row("Width lost in the wash", share(settings.shrink_width), found.shrink_width, shares),
        row("Length lost in the wash", share(settings.shrink_length), found.shrink_length, shares),
    ]
    return tuple(rows)


def changed(foretelling: Foretelling) -> tuple[tuple[str, Figure | str, Figure], ...]:
    """Return what the figures make of the piece: its length, its width and a square, as planned and as foretold."""
    plan, section = foretelling.plan, foretelling.section
    units = units_of(plan)
    unit, mm = ("in", MM_PER_INCH) if units.imperial else ("cm", 10.0)
    repeat = len(foretelling.asked.technique.threading)
    square = repeat * end_pitch_mm(plan.settings) / plan.settings.line_height_mm
    return (
        (
            f"Length of {section.lines} lines, on the loom",
            units.short(section.size.lengths.woven_mm),
            interval(foretelling.length_mm, 1 / mm, unit),
        ),
        (
            "Width, on the loom",
            units.short(section.size.across.on_loom_mm),
            interval(foretelling.width_mm, 1 / mm, unit),
        ),
        (
            f"A square of {repeat} ends, one repeat",
            Figure(f"{square.value:.1f} lines", square.basis),
            interval(foretelling.square_lines, 1.0, "lines"),
        ),
    )


def line_bar(foretelling: Foretelling) -> Bar:
    """Return the height of a line as foretold before any sample, and now, or with what is asked."""
    plan, facts, belief = foretelling.plan, foretelling.facts, foretelling.belief
    inch = units_of(plan).imperial
    scale = 1 / MM_PER_INCH if inch else 1.0
    was, now = forecast(facts, NO_SAMPLE).lines_per_cm.value, foretelling.forecast.lines_per_cm.value
    old, new = (10.0 * scale / one for one in (was, now))
    low = min(one.low or one.value for one in (old, new))
    high = max(one.high or one.value for one in (old, new))
    step = _step(high - low)
    start, stop = floor(low / step) * step, ceil(high / step) * step

    def x(value: float) -> float:
        return round((value - start) / (stop - start) * BAR_PX, 1)

    def span(one: Quantity) -> Span:
        return Span(x(one.low or one.value), x(one.value), x(one.high or one.value))

    ticks = tuple(
        (x(start + n * step), f"{start + n * step:.{max(0, -floor(log10(step)))}f}")
        for n in range(round((stop - start) / step) + 1)
    )
    unit = "in" if inch else "mm"
    planned = plan.settings.line_height_mm.value * scale
    sampled = belief.read.get(expected.Effect("lines", "cloth", facts.cloth_key), 0) > 0
    return Bar(
        was=span(old),
        now=span(new),
        was_words=between(old.low or 0, old.high or 0, unit),
        now_words=between(new.low or 0, new.high or 0, unit),
        ticks=ticks,
        planned=x(planned) if start <= planned <= stop else None,
        word="what if" if foretelling.is_asked else "now, sampled" if sampled else "now",
    )


def _step(width: float) -> float:
    """Return a round step that cuts a width into four to ten."""
    base: float = 10.0 ** floor(log10(width / 4))
    return next(base * factor for factor in (1, 2, 5, 10) if width / (base * factor) <= 8)


@dataclass(frozen=True, slots=True)
class NextSample:
    """What to weave next: the strip, what to read from it, the warp it takes, and what it would leave."""

    strip: Strip
    words: str
    warp: Figure
    was: str
    left: str


def next_sample(foretelling: Foretelling) -> NextSample:
    """Return the strip that teaches most of the lines of this cloth for the warp that it takes."""
    settings = foretelling.plan.settings
    units = units_of(foretelling.plan)

    def named(sett: float, mm: float) -> str:
        close = units.per_length(Quantity(sett / 10, settings.sett_per_mm.basis), "ends", 1)
        return f"{_cm(mm, units.imperial)} at {close.text}"

    question = foretelling.question(named)
    best = next_samples(question)[0]
    (strip,) = best.strips
    return NextSample(
        strip=strip,
        words=f"weave {strip.name} and count its lines",
        warp=units.short(Quantity(best.cost_cm * 10, settings.warp_take_up.basis)),
        was=f"{NINETY * question.sd:.0%}",
        left=f"{NINETY * best.sd:.0%}",
    )


def _cm(mm: float, imperial: bool) -> str:
    return f"{mm / MM_PER_INCH:.0f} in" if imperial else f"{mm / 10:.0f} cm"


FAR = 1.2
"""A planned figure that is so many times the foretold one, or less than one over it, is spoken of."""

SPOKEN = {
    "limp": "is too open for this weft: the cloth may be limp",
    "shows": "is too close for this weft: the warp may show",
}


def warning(foretelling: Foretelling) -> Rich:
    """Return what a weaver should be told first: a sett that does not suit, or a plan far from what is foretold."""
    plan, asked = foretelling.plan, foretelling.asked
    units = units_of(plan)
    advice = sett_advice(asked.warp, asked.weft, asked.technique, asked.beat, asked.sett_per_cm)
    if advice.verdict in SPOKEN:
        close = units.per_length(Quantity(asked.sett_per_cm / 10, plan.settings.sett_per_mm.basis), "ends", 1)
        low, high = (
            units.per_length(Quantity(one.value / 10, Basis.COMPUTED), "", 1).text.split()[0]
            for one in (advice.low, advice.high)
        )
        wanted = Figure(f"{low} to {high}", Basis.COMPUTED)
        return [close, f" {SPOKEN[advice.verdict]}; these yarns ask for ", wanted, "."]
    length = foretelling.section.size.lengths.woven_mm
    if foretelling.is_asked or 1 / FAR <= foretelling.length_mm.value / length.value <= FAR:
        return []
    likely = units.short(Quantity(foretelling.length_mm.value, foretelling.length_mm.basis), 0)
    return ["Planned are ", units.short(length), " on the loom; it may well come out near ", likely,
            ". A count over a hand’s width tells."]  # fmt: skip
