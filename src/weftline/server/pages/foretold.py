"""What a piece's cloth is foretold to be, row by row: as the piece has it, as foretold, what that rests on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity, joined
from weftline.core.geometry.sett import sett_advice
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.forecast import forecast
from weftline.core.learning.next_sample import Question, Strip, next_samples
from weftline.core.plan.foretold import Whatif, foretold, strips_to_try
from weftline.server.pages.frame import units_of
from weftline.sheets.figures import MM_PER_INCH, Figure, Rich, share
from weftline.sheets.ranges import G_M2_PER_OZ_YD2, between, interval, shares

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.learning.belief import Belief
    from weftline.core.learning.facts import ClothFacts
    from weftline.core.learning.forecast import Told
    from weftline.core.plan.plan import Plan


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


def foretold_rows(plan: Plan, facts: ClothFacts, belief: Belief, other: Whatif) -> tuple[ForetoldRow, ...]:
    """Return the figures of a piece as foretold."""
    found, settings = foretold(facts, belief, other), plan.settings
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


def changed(
    plan: Plan, facts: ClothFacts, belief: Belief, other: Whatif
) -> tuple[tuple[str, Figure | str, Figure], ...]:
    """Return what the figures make of the piece: its length, its width and a square, as planned and as foretold."""
    found = foretold(facts, belief, other)
    section = next(one for one in plan.sections if one.lines)
    units = units_of(plan)
    unit, mm = ("in", MM_PER_INCH) if units.imperial else ("cm", 10.0)
    lines = found.lines_per_cm.value
    long = _over(section.lines * 10.0, lines)
    sett = (other.sett_per_cm or facts.sett_per_cm) / 10
    reed = section.ends / sett
    wide = _times(reed, _left(found.draw_in.value))
    pitch = _times(1 / sett, _left(found.draw_in.value))
    repeat = len(facts.technique.threading)
    height = plan.settings.line_height_mm
    now = Quantity(
        repeat * section.size.strips[0].on_loom_mm.value / section.strips[0].ends / height.value, height.basis
    )
    square = _product(_times(repeat / 10.0, pitch), lines)
    rows: list[tuple[str, Figure | str, Figure]] = [
        (
            f"Length of {section.lines} lines, on the loom",
            units.short(section.size.lengths.woven_mm),
            interval(long, 1 / mm, unit),
        ),
        ("Width, on the loom", units.short(section.size.across.on_loom_mm), interval(wide, 1 / mm, unit)),
        (
            f"A square of {repeat} ends, one repeat",
            Figure(f"{now.value:.1f} lines", now.basis),
            interval(square, 1.0, "lines"),
        ),
    ]
    return tuple(rows)


def _left(share_: Quantity) -> Quantity:
    low, high = share_.low, share_.high
    return Quantity(
        1 - share_.value, share_.basis, None if high is None else 1 - high, None if low is None else 1 - low
    )


def _times(factor: float, one: Quantity) -> Quantity:
    return Quantity(
        factor * one.value,
        one.basis,
        None if one.low is None else factor * one.low,
        None if one.high is None else factor * one.high,
    )


def _over(number: float, one: Quantity) -> Quantity:
    return Quantity(
        number / one.value,
        one.basis,
        None if one.high is None else number / one.high,
        None if one.low is None else number / one.low,
    )


def _product(one: Quantity, other: Quantity) -> Quantity:
    """Return a product; the interval is that of two that know nothing of each other."""
    value = one.value * other.value
    far = [
        ((a - m) / m) ** 2 + ((b - n) / n) ** 2
        for a, m, b, n in (
            (one.low or one.value, one.value, other.low or other.value, other.value),
            (one.high or one.value, one.value, other.high or other.value, other.value),
        )
    ]
    return Quantity(value, joined(one.basis, other.basis), value * (1 - far[0] ** 0.5), value * (1 + far[1] ** 0.5))


def line_bar(plan: Plan, facts: ClothFacts, belief: Belief, other: Whatif) -> Bar:
    """Return the height of a line as foretold before any sample, and now, or with what is asked."""
    inch = units_of(plan).imperial
    scale = 1 / MM_PER_INCH if inch else 1.0
    was, told = forecast(facts, NO_SAMPLE).lines_per_cm.value, foretold(facts, belief, other).lines_per_cm
    old, new = (_times(scale, _over(10.0, one)) for one in (was, told.value))
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
        word="what if" if other != Whatif(beat=other.beat) or other.beat else "now, sampled" if sampled else "now",
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


def next_sample(plan: Plan, facts: ClothFacts, belief: Belief) -> NextSample:
    """Return the strip that teaches most of the lines of this cloth for the warp that it takes."""
    units = units_of(plan)

    def said(sett: float) -> str:
        return units.per_length(Quantity(sett / 10, plan.settings.sett_per_mm.basis), "ends", 1).text

    strips = strips_to_try(facts, lambda sett, mm: f"{_cm(mm, units.imperial)} at {said(sett)}")
    question = Question(belief, expected.lines(facts), strips)
    best = next_samples(question)[0]
    (strip,) = best.strips
    return NextSample(
        strip=strip,
        words=f"weave {strip.name} and count its lines",
        warp=units.short(Quantity(best.cost_cm * 10, plan.settings.warp_take_up.basis)),
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


def warning(plan: Plan, facts: ClothFacts, belief: Belief, other: Whatif) -> Rich:
    """Return what a weaver should be told first: a sett that does not suit, or a plan far from what is foretold."""
    units = units_of(plan)
    sett = other.sett_per_cm or facts.sett_per_cm
    weft = replace(facts.weft, tex=facts.weft.tex * other.strands) if other.strands != 1.0 else facts.weft
    advice = sett_advice(facts.warp, weft, facts.technique, None, sett)
    if advice.verdict in SPOKEN:
        asked = Quantity(sett / 10, plan.settings.sett_per_mm.basis)
        low, high = (
            units.per_length(Quantity(one.value / 10, Basis.COMPUTED), "", 1).text.split()[0]
            for one in (advice.low, advice.high)
        )
        wanted = Figure(f"{low} to {high}", Basis.COMPUTED)
        return [units.per_length(asked, "ends", 1), f" {SPOKEN[advice.verdict]}; these yarns ask for ", wanted, "."]
    told = foretold(facts, belief, other).lines_per_cm.value
    section = next(one for one in plan.sections if one.lines)
    planned = 10 / plan.settings.line_height_mm.value
    if 1 / FAR <= told.value / planned <= FAR or other.sett_per_cm or other.strands != 1.0:
        return []
    likely = units.short(Quantity(section.lines * 10 / told.value, told.basis), 0)
    as_planned = units.short(section.size.lengths.woven_mm)
    return ["Planned are ", as_planned, " on the loom; it may well come out near ", likely,
            ". A count over a hand’s width tells."]  # fmt: skip
