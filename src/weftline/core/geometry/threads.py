"""From what a weaver says of a yarn to a thread that the sett can reckon with."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from weftline.core.geometry.sett import Thread
from weftline.core.yarn import YarnSizeError, tex_from_m_per_kg
from weftline.core.yarn.diameter import NINETY, diameter_of, mixed, stuff_of
from weftline.core.yarn.numbers import yarn_numbers
from weftline.core.yarn.words import fibres_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.piece.values import Yarn
    from weftline.core.weave.picks import Winding
    from weftline.core.yarn.diameter import Stuff
    from weftline.core.yarn.numbers import YarnNumbers

WOOLS = ("wool", "worsted")


def thread_of_numbers(numbers: YarnNumbers, said: str | None = None) -> Thread:
    """Return a label's numbers as a thread, by its likeliest reading.

    Examples
    --------
    >>> thread = thread_of_numbers(yarn_numbers("8/4 cotton"))
    >>> round(thread.tex), round(thread.diameter_mm.value, 2), thread.is_wool
    (295, 0.64, False)
    """
    wool = not numbers.fibres or any(name in WOOLS for name in numbers.fibres)
    tex = numbers.tex
    unsure = 0.0 if tex.low is None or tex.high is None else log(tex.high / tex.low) / (2 * NINETY)
    return Thread(said or numbers.text, tex.value, numbers.diameter.mm, numbers.density_g_cm3, wool, unsure)


def stuff_of_yarn(yarn: Yarn) -> tuple[float, Stuff] | None:
    """Return tex and stuff of one strand of a piece's yarn; None where its size is not known or reads several ways."""
    fibre = yarn.fibre if yarn.fibre and fibres_in(yarn.fibre) else None
    if yarn.m_per_kg is not None:
        named = fibres_in(fibre or "") or fibres_in(yarn.size or "") or fibres_in(yarn.name or "")
        return tex_from_m_per_kg(float(yarn.m_per_kg)), stuff_of(named)
    if yarn.size is None:
        return None
    try:
        numbers = yarn_numbers(yarn.size, fibre)
    except YarnSizeError:
        return None
    if numbers.question is not None or numbers.tex.low is not None:
        return None
    known = stuff_of(numbers.fibres or fibres_in(yarn.name or ""))
    return numbers.tex.value, known


def stuffs_of(yarns: Mapping[str, Yarn]) -> dict[str, tuple[float, Stuff]]:
    """Return tex and stuff of every yarn of a piece whose size is known."""
    found = {key: stuff_of_yarn(yarn) for key, yarn in yarns.items()}
    return {key: one for key, one in found.items() if one is not None}


def tex_of_winding(winding: Winding, stuffs: Mapping[str, tuple[float, Stuff]]) -> float | None:
    """Return the tex of what one shuttle carries; None where a yarn's size is not known."""
    if not winding or any(key not in stuffs for key, _ in winding):
        return None
    return sum(stuffs[key][0] * strands for key, strands in winding)


def thread_of_winding(winding: Winding, stuffs: Mapping[str, tuple[float, Stuff]], said: str) -> Thread | None:
    """Return what one shuttle carries as a thread; None where a yarn's size is not known."""
    tex = tex_of_winding(winding, stuffs)
    if tex is None:
        return None
    stuff = mixed([(stuffs[key][0] * strands, stuffs[key][1]) for key, strands in winding])
    light = stuff.density_g_cm3 < WOOL_LIKE_G_CM3
    return Thread(said, tex, diameter_of(tex, stuff).mm, stuff.density_g_cm3, light)


WOOL_LIKE_G_CM3 = 1.42
"""A fibre lighter than this is reckoned as wool; one whose fibre is not known lies just below."""
