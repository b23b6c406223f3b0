"""Findings about the sett: whether the weft covers and the warp holds it, with both ways out."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from weftline.core.findings import Finding, Severity, Where
from weftline.core.geometry.closure import closure_of
from weftline.core.geometry.sett import Thread, sett_advice, sett_limits
from weftline.core.geometry.threads import stuffs_of, tex_of_winding, thread_of_winding
from weftline.core.piece.names import yarn_name

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.geometry.sett import SettAdvice
    from weftline.core.piece.cloth import Cloth, SectionCloth
    from weftline.core.piece.settings import Settings
    from weftline.core.weave.technique import Technique
    from weftline.core.yarn.diameter import Stuff

    Stuffs = dict[str, tuple[float, Stuff]]

LEAST_SHARE = 0.5
"""Of the picks of a section so many must be of a known size before anything is said."""

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
    warp = _warp(cloth, stuffs)
    if warp is None:
        return
    sett = settings.sett_per_mm.value * 10
    said = set[tuple[float, str]]()
    for section in cloth.sections:
        found = _usual_weft(cloth, section, stuffs)
        if found is None:
            continue
        weft, strands = found
        advice = sett_advice(warp, weft, cloth.technique, None, sett)
        if advice.verdict not in ("limp", "shows") or (weft.tex, advice.verdict) in said:
            continue
        said.add((weft.tex, advice.verdict))
        yield _finding(cloth, section, advice, warp, weft, strands)


def _warp(cloth: Cloth, stuffs: Stuffs) -> Thread | None:
    key = cloth.project.warp.yarn
    if key is None:
        return None
    return thread_of_winding(((key, 1),), stuffs, yarn_name(cloth.project.yarns[key], key))


def _usual_weft(cloth: Cloth, section: SectionCloth, stuffs: Stuffs) -> tuple[Thread, int] | None:
    """Return the pick of middling weight among those of known size, with its strands."""
    wound = np.concatenate([strip.weaving.picks.wound for strip in section.strips])
    places, counts = np.unique(wound, return_counts=True)
    sizes = ((tex_of_winding(cloth.windings[place], stuffs), place) for place in places.tolist())
    known = sorted(
        (tex, place, count) for (tex, place), count in zip(sizes, counts.tolist(), strict=True) if tex is not None
    )
    picks = sum(count for _, _, count in known)
    if not picks or picks < LEAST_SHARE * len(wound):
        return None
    middle = int(np.searchsorted(np.cumsum([count for _, _, count in known]), picks / 2))
    place = known[middle][1]
    thread = thread_of_winding(cloth.windings[place], stuffs, _winding_words(cloth, place))
    return None if thread is None else (thread, sum(strands for _, strands in cloth.windings[place]))


def _winding_words(cloth: Cloth, place: int) -> str:
    parts = [
        f"{strands} strands of {yarn_name(cloth.project.yarns[key], key)}"
        if strands > 1
        else yarn_name(cloth.project.yarns[key], key)
        for key, strands in cloth.windings[place]
    ]
    return " with ".join(parts)


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
