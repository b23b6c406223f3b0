"""Everything that a label tells: tex, metres a kilogram, diameter, all readings and what to ask."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from math import prod
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.yarn.diameter import DISAGREE, Diameter, Stuff, diameter_of, diameter_of_wraps, mixed, stuff_of
from weftline.core.yarn.fibres import FIBRES
from weftline.core.yarn.size import YarnSizeError, number_words, shown
from weftline.core.yarn.strands import MOST_STRANDS, Strand, read_strands
from weftline.core.yarn.systems import m_per_kg
from weftline.core.yarn.words import fibres_in
from weftline.core.yarn.wraps import Wraps, split_wraps, wraps_in_inch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.yarn.size import Reading

_SPEAKS_OF: dict[str, str] = {
    "Ne": "cotton", "Nf": "cotton", "lea": "linen", "jute": "jute", "Nw": "worsted", "run": "wool", "cut": "wool",
    "gala": "wool", "ysk": "wool", "woe": "wool", "dew": "wool", "manchester": "silk", "oldden": "silk",
}  # fmt: skip
"""The fibre that a numbering system was made for; the metric number serves all."""

_LIKELY = {"Nm": "wool"}
_MOST_READINGS = 24
_LONGEST = 200
_TWINE_TEX = 150.0
"""Thinner cotton is no rug warp; the shortfall was read off seine twines and carpet warps only."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to read a label, all strands together.

    Parameters
    ----------
    tex : float
    system : str or None
        Of the numbering, None for mixed yarns and for wraps.
    count : float or None
        As the label prints it.
    ply : int or None
    means : str
        In words.
    """

    tex: float
    system: str | None
    count: float | None
    ply: int | None
    means: str


@dataclass(frozen=True, slots=True)
class YarnNumbers:
    """What a label tells.

    Parameters
    ----------
    text : str
        As given.
    tex : Quantity
        Of all strands, by the likeliest reading; with an interval where only wraps tell it.
    strands : int
        How many lie together.
    fibres : tuple of str
        Fibre groups, as named or as the likeliest reading suggests; empty where nothing does.
    diameter : Diameter
        In contact, all strands as one bundle.
    density_g_cm3 : float
        Of the fibre.
    readings : tuple of Way
        Every credible reading, likeliest first.
    question : str or None
        What tells them apart; None where there is one.
    remarks : tuple of str
        What a weaver should know about these numbers, a sentence each.
    rests_on : tuple of str
        What they rest on.
    """

    text: str
    tex: Quantity
    strands: int
    fibres: tuple[str, ...]
    diameter: Diameter
    density_g_cm3: float
    readings: tuple[Way, ...]
    question: str | None
    remarks: tuple[str, ...]
    rests_on: tuple[str, ...]

    @property
    def m_per_kg(self) -> float:
        """Metres of the whole bundle in a kilogram."""
        return m_per_kg(self.tex.value)


@lru_cache(maxsize=1024)
def yarn_numbers(
    text: str, fibre: str | None = None, wraps_per_inch: float | None = None, strands: int = 1
) -> YarnNumbers:
    """Return what a label tells.

    Parameters
    ----------
    text : str
        The label, or what a weaver says of the yarn: "NeL 8/5", "2 strands of Nm 6/2", "12 wpi".
    fibre : str, optional
        In words, where the label does not say.
    wraps_per_inch : float, optional
        Measured on the whole yarn as it is woven, all strands; corrects the diameter, never the tex.
    strands : int
        How many of what the label says are woven as one.

    Raises
    ------
    YarnSizeError
        When nothing in the text tells a size, or wraps or strands are no such numbers.

    Examples
    --------
    >>> found = yarn_numbers("NeL 8/5")
    >>> round(found.tex.value), round(found.m_per_kg), found.fibres, round(found.diameter.mm.value, 2)
    (1033, 968, ('linen',), 1.16)
    >>> yarn_numbers("8/4").question is None
    False
    """
    if len(text) > _LONGEST:
        raise YarnSizeError(f'"{shown(text)}" is too long for a label; give at most {_LONGEST} characters.', text=text)
    if not 1 <= strands <= MOST_STRANDS:
        raise YarnSizeError(f"{strands} strands cannot be woven as one; give 1 to {MOST_STRANDS}.", text=text)
    if fibre is not None and not fibres_in(fibre):
        raise YarnSizeError(f'"{shown(fibre)}" is no fibre known here; write one of {", ".join(FIBRES)}.', text=text)
    label, printed = split_wraps(text)
    wraps = None if wraps_per_inch is None else wraps_in_inch(wraps_per_inch)
    if (only := wraps or printed) is not None and not any(letter.isdigit() for letter in label):
        return _of_wraps(text, fibres_in(fibre or "") or fibres_in(label), only, strands)
    parts = read_strands(label, fibre)
    stuffs = [_stuff(part) for part in parts]
    whole = mixed([(part.tex, stuff) for part, stuff in zip(parts, stuffs, strict=True)])
    tex = strands * sum(part.tex for part in parts)
    diameter = diameter_of(tex, whole, wraps)
    ways = _ways(parts, strands)
    return YarnNumbers(
        text=text,
        tex=Quantity(tex, Basis.LABEL),
        strands=strands * sum(part.number for part in parts),
        fibres=tuple(dict.fromkeys(name for part in parts for name in _fibres(part)[0])),
        diameter=diameter,
        density_g_cm3=whole.density_g_cm3,
        readings=ways,
        question=_question(parts),
        remarks=tuple(_remarks(parts, diameter)),
        rests_on=(f"size: {_means(parts)}", f"diameter: {diameter.source}"),
    )


def _of_wraps(text: str, fibres: tuple[str, ...], wraps: Wraps, strands: int) -> YarnNumbers:
    """Return what wraps alone tell; they are those of one strand where several are woven as one."""
    stuff = stuff_of(fibres)
    tex, diameter = diameter_of_wraps(stuff, wraps)
    if strands > 1:
        tex = Quantity(tex.value * strands, tex.basis, (tex.low or 0) * strands, (tex.high or 0) * strands)
        mm, root = diameter.mm, strands**0.5
        wider = Quantity(mm.value * root, mm.basis, (mm.low or 0) * root, (mm.high or 0) * root)
        diameter = Diameter(wider, diameter.density_g_cm3, diameter.packing, diameter.log_sd, None, diameter.source)
    words = f"{number_words(float(f'{wraps.per_inch:.4g}'))} wraps per inch"
    remark = "Wraps tell the weight only within a factor of two: weigh some metres, or give the metres per kilogram."
    return YarnNumbers(
        text=text,
        tex=tex,
        strands=strands,
        fibres=fibres,
        diameter=diameter,
        density_g_cm3=stuff.density_g_cm3,
        readings=(Way(tex.value, None, None, None, words),),
        question=None,
        remarks=(remark,),
        rests_on=(f"size: {words}, with {stuff.source}", f"diameter: {diameter.source}"),
    )


def _fibres(part: Strand) -> tuple[tuple[str, ...], str]:
    """Return the fibre groups of a yarn and how they are known: said, the system's own, or the likely one."""
    if part.fibres:
        return part.fibres, "said"
    system = part.size.likeliest.system
    if system in _SPEAKS_OF:
        return (_SPEAKS_OF[system],), "said" if part.size.question is None else "likely"
    return ((_LIKELY[system],), "likely") if system in _LIKELY and _is_count(part) else ((), "none")


def _is_count(part: Strand) -> bool:
    """Whether a label numbers the yarn and does not give a length with a mass."""
    return " per " not in part.size.likeliest.words


def _stuff(part: Strand) -> Stuff:
    fibres, how = _fibres(part)
    stuff = stuff_of(fibres, known=how == "said")
    if how != "likely":
        return stuff
    return Stuff(stuff.density_g_cm3, stuff.packing, stuff.log_sd, False, f"taken as {fibres[0]}; {stuff.source}")


def _ways(parts: Sequence[Strand], strands: int) -> tuple[Way, ...]:
    """Return every combination of the readings of all parts, likeliest first."""
    if prod(len(part.size.readings) for part in parts) > _MOST_READINGS:
        chosen = [tuple(part.size.likeliest for part in parts)]
    else:
        chosen = sorted(
            product(*(part.size.readings for part in parts)),
            key=lambda way: sum(part.size.readings.index(one) for part, one in zip(parts, way, strict=True)),
        )
    return tuple(_way(parts, way, strands) for way in chosen)


def _way(parts: Sequence[Strand], way: Sequence[Reading], strands: int) -> Way:
    tex = strands * sum(part.number * one.tex for part, one in zip(parts, way, strict=True))
    said = " with ".join(_times(part.number, one.words) for part, one in zip(parts, way, strict=True))
    means = said if strands == 1 else f"{strands} times {said}"
    if len(way) > 1:
        return Way(tex, None, None, None, means)
    return Way(tex, way[0].system, way[0].count, way[0].ply, means)


def _times(number: int, words: str) -> str:
    return words if number == 1 else f"{number} strands of {words}"


def _means(parts: Sequence[Strand]) -> str:
    return " with ".join(_times(part.number, part.size.likeliest.words) for part in parts)


def _question(parts: Sequence[Strand]) -> str | None:
    asked = [part.size.question for part in parts if part.size.question is not None]
    return " ".join(asked) or None


def _remarks(parts: Sequence[Strand], diameter: Diameter) -> list[str]:
    """Return what a weaver should know about these numbers."""
    found = []
    for part in parts:
        reading = part.size.likeliest
        fibres, how = _fibres(part)
        if how == "likely":
            found.append(f"Nothing says the fibre: taken as {fibres[0]}, which decides the diameter only.")
        elif how == "none":
            found.append("Nothing says the fibre, so the diameter stands between wool's and cotton's.")
        if _is_count(part) and (reading.ply or 1) > 2 and reading.tex > _TWINE_TEX and fibres == ("cotton",):
            found.append(
                "Cotton rug warps and twines run 5 to 17 % shorter than their number says: the label's length is better."
            )
    if diameter.disagrees is not None and diameter.disagrees > DISAGREE:
        found.append(
            "The wraps and the label do not seem to be of one yarn: wrap again without stretching, side by side, and look at the label."
        )
    return list(dict.fromkeys(found))
