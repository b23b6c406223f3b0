"""Findings about the sett: whether the weft covers and the warp holds it, with both ways out."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from weftline.core.findings import Finding, Severity, Where
from weftline.core.geometry.closure import closure_of
from weftline.core.geometry.sett import Thread, sett_advice, sett_limits
from weftline.core.geometry.threads import stuffs_of
from weftline.core.plan.usual import usual_warp, usual_weft

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.geometry.sett import SettAdvice
    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.piece.settings import Settings
    from weftline.core.weave.technique import Technique

THIN_TEX = 100.0
"""No wool for weft-faced cloth is finer."""

THINNEST_TEX, THICKEST_TEX = 5.0, 20_000.0
STEPS = 40
"""Between these a weft is looked for, by halving so often."""


def setts(cloth: Cloth, settings: Settings) -> Iterator[Finding]:
    """Yield a finding for each section whose sett lies outside what its yarns ask for.

    A note where it lies outside but no further than the limit is soft, a warning beyond.
    """
    stuffs = stuffs_of(cloth.project.yarns)
    warp = usual_warp(cloth, stuffs)
    if warp is None:
        return
    sett = settings.sett_per_mm.value * 10
    said = set[tuple[float, str]]()
    for section in cloth.sections:
        found = usual_weft(cloth, section, stuffs)
        if found is None:
            continue
        weft, strands = found[0], sum(count for _, count in cloth.windings[found[1]])
        advice = sett_advice(warp, weft, cloth.technique, None, sett)
        if advice.verdict not in ("limp", "shows") or (weft.tex, advice.verdict) in said:
            continue
        said.add((weft.tex, advice.verdict))
        yield _finding(cloth, section, advice, warp, weft, strands)


def _finding(
    cloth: Cloth, section: SectionCloth, advice: SettAdvice, warp: Thread, weft: Thread, strands: int
) -> Finding:
    limp = advice.verdict == "limp"
    edge = advice.low if limp else advice.high
    beyond = advice.at_per_cm < (edge.low or 0) if limp else advice.at_per_cm > (edge.high or 0)
    imperial = cloth.project.units == "imperial"
    why = (
        "too open for its weft: it packs down on too few ends and the cloth may be limp"
        if limp
        else "too close for its weft: the beads may not meet and the warp may show"
    )
    between = f"{_sett(advice.low.value, imperial)} to {_sett(advice.high.value, imperial)}"
    return Finding(
        "sett-open" if limp else "sett-close",
        Severity.WARN if beyond else Severity.NOTE,
        f"{_sett(advice.at_per_cm, imperial)} ends per {'inch' if imperial else 'cm'} is {why}.",
        f"{warp.said} with {weft.said} asks for {between}, best {_sett(advice.best.value, imperial)}: take another sett, "
        f"or keep it and {_other_weft(warp, weft, cloth.technique, advice.at_per_cm, strands, limp)}. Weave a strip first.",
        Where(section.name),
    )


def _sett(per_cm: float, imperial: bool) -> str:
    return f"{per_cm * (2.54 if imperial else 1):.1f}"


def _other_weft(warp: Thread, weft: Thread, technique: Technique, sett_per_cm: float, strands: int, limp: bool) -> str:
    """Return in words which wefts would suit a sett."""
    bound = weft_tex_for(warp, weft, technique, sett_per_cm, "low" if limp else "high")
    if bound is None or bound < THIN_TEX:
        return "take a heavier warp and weft" if limp else "take a thinner warp, for no weft would cover this one"
    ideal = weft_tex_for(warp, weft, technique, sett_per_cm, "best") if limp else None
    best = "" if ideal is None else f", best {_tex(ideal)}"
    exact = bound / weft.tex * strands
    whole = math.ceil(exact - 1e-9) if limp else math.floor(exact + 1e-9)
    also = f": {whole} strand{'' if whole == 1 else 's'} of the same instead of {strands}" if whole >= 1 else ""
    if limp:
        return f"weave with a heavier weft, {_tex(bound)} tex a pick or more{best}{also}"
    return f"weave with a finer weft, {_tex(bound)} tex a pick or less{also}"


def _tex(tex: float) -> str:
    return f"{float(f'{tex:.2g}'):,.0f}"


def weft_tex_for(
    warp: Thread, weft: Thread, technique: Technique, sett_per_cm: float, limit: Literal["low", "best", "high"]
) -> float | None:
    """Return the tex of a pick of this weft's stuff for which a sett stands just at a limit; None if there is none.

    Examples
    --------
    >>> from weftline.core.findings import Basis, Quantity
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> warp = Thread("8/4 cotton", 310, Quantity(0.658, Basis.COMPUTED), 1.52, False)
    >>> weft = Thread("500 tex wool", 500, Quantity(0.986, Basis.COMPUTED), 1.31)
    >>> round(weft_tex_for(warp, weft, KROKBRAGD, 2.4, "low") or 0, -1)
    770.0
    """
    closure = closure_of(technique)

    def at(tex: float) -> float:
        mm = weft.diameter_mm * (tex / weft.tex) ** 0.5
        limits = sett_limits(warp, replace(weft, tex=tex, diameter_mm=mm), closure)
        return {"low": limits.low, "best": limits.best, "high": limits.high}[limit]

    low, high = THINNEST_TEX, THICKEST_TEX
    if at(low) < sett_per_cm or at(high) > sett_per_cm:
        return None
    for _ in range(STEPS):
        middle = math.sqrt(low * high)
        if at(middle) > sett_per_cm:
            low = middle
        else:
            high = middle
    return math.sqrt(low * high)
