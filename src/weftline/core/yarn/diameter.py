"""The diameter of a yarn, as an interval: from its fibre and packing, corrected by measured wraps."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, hypot, log, pi, sqrt
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.core.yarn.fibres import FIBRES, PACKING_LOG_SD

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.yarn.wraps import Wraps

TEX_LOG_SD = 0.04
"""Scatter of the real yarn about its label, as the standard deviation of the logarithm of tex."""

UNKNOWN_LOG_SD = 0.17
"""More scatter of density times packing where the fibre is not known: half of wool to cotton."""

NINETY = 1.645
"""Standard deviations either side of a 90 % interval of a normal."""

DISAGREE = 3.0
"""Standard deviations beyond which wraps and label are not of one yarn."""


def contact_diameter_mm(tex: float, density_g_cm3: float, packing: float) -> float:
    """Return the diameter of a round yarn in mm: its section is ``tex / (1000 density packing)`` mm2.

    Examples
    --------
    >>> round(contact_diameter_mm(310, 1.52, 0.60), 3)
    0.658
    """
    return sqrt(4 * tex / (1000 * pi * density_g_cm3 * packing))


@dataclass(frozen=True, slots=True)
class Diameter:
    """A yarn's diameter in contact.

    Parameters
    ----------
    mm : Quantity
        With its 90 % interval.
    density_g_cm3, packing : float
        Of the fibre and of the yarn before any wraps.
    log_sd : float
        Standard deviation of the logarithm of the diameter.
    disagrees : float or None
        How many standard deviations the wraps stand from the label, where both are known.
    source : str
        What it rests on, in words.
    """

    mm: Quantity
    density_g_cm3: float
    packing: float
    log_sd: float
    disagrees: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Stuff:
    """What a yarn is spun from: fibre density, packing, scatter of their product, and why.

    Parameters
    ----------
    density_g_cm3, packing : float
    log_sd : float
        Standard deviation of the logarithm of their product.
    known : bool
        Whether somebody said so.
    source : str
    """

    density_g_cm3: float
    packing: float
    log_sd: float
    known: bool
    source: str


def stuff_of(fibres: Sequence[str], known: bool = True) -> Stuff:
    """Return the stuff of a yarn of some fibre groups; of several, equal parts; of none, between wool and cotton.

    Examples
    --------
    >>> wool = stuff_of(["wool"])
    >>> wool.density_g_cm3, wool.packing
    (1.31, 0.5)
    >>> round(stuff_of([]).log_sd, 2)
    0.23
    """
    found = [FIBRES[name] for name in fibres if name in FIBRES]
    if not found:
        wool, cotton = FIBRES["wool"], FIBRES["cotton"]
        density = sqrt(wool.density_g_cm3 * cotton.density_g_cm3)
        packing = sqrt(wool.packing * cotton.packing)
        return Stuff(
            density, packing, hypot(PACKING_LOG_SD, UNKNOWN_LOG_SD), False, "fibre not known: between wool and cotton"
        )
    density = sum(fibre.density_g_cm3 for fibre in found) / len(found)
    packing = sum(fibre.packing for fibre in found) / len(found)
    source = "; ".join(dict.fromkeys(fibre.source for fibre in found))
    return Stuff(density, packing, PACKING_LOG_SD, known, source)


def mixed(parts: Sequence[tuple[float, Stuff]]) -> Stuff:
    """Return the stuff of strands lying together: their sections add.

    Parameters
    ----------
    parts : sequence of (float, Stuff)
        Tex of each strand with its stuff; at least one.
    """
    if len(parts) == 1:
        return parts[0][1]
    tex = sum(share for share, _ in parts)
    fibre = sum(share / stuff.density_g_cm3 for share, stuff in parts)
    whole = sum(share / (stuff.density_g_cm3 * stuff.packing) for share, stuff in parts)
    scatter = max(stuff.log_sd for _, stuff in parts)
    source = "; ".join(dict.fromkeys(stuff.source for _, stuff in parts))
    return Stuff(tex / fibre, fibre / whole, scatter, all(stuff.known for _, stuff in parts), source)


def diameter_of(tex: float, stuff: Stuff, wraps: Wraps | None = None) -> Diameter:
    """Return the diameter of a yarn of known tex; measured wraps correct it.

    Parameters
    ----------
    tex : float
        Of the whole yarn, all strands.
    stuff : Stuff
        Density and packing.
    wraps : Wraps, optional
        Of the whole yarn; weighed against the label by the scatter of both.

    Examples
    --------
    >>> from weftline.core.yarn.wraps import wraps_in_inch
    >>> plain = diameter_of(310, stuff_of(["cotton"])).mm
    >>> round(plain.low, 2), round(plain.value, 3), round(plain.high, 2)
    (0.58, 0.658, 0.75)
    >>> closer = diameter_of(310, stuff_of(["cotton"]), wraps_in_inch(24)).mm
    >>> round(closer.low, 2), round(closer.value, 3), round(closer.high, 2)
    (0.61, 0.681, 0.76)
    """
    mean = contact_diameter_mm(tex, stuff.density_g_cm3, stuff.packing)
    sd = hypot(stuff.log_sd, TEX_LOG_SD) / 2
    basis = Basis.COMPUTED if stuff.known else Basis.DEFAULT
    apart = None
    source = stuff.source
    if wraps is not None:
        wrapped = wraps.log_sd
        apart = abs(log(wraps.diameter_mm / mean)) / hypot(sd, wrapped)
        weight = wrapped**-2 / (wrapped**-2 + sd**-2)
        mean *= (wraps.diameter_mm / mean) ** weight
        sd = (wrapped**-2 + sd**-2) ** -0.5
        basis, source = Basis.MEASURED, f"{wraps.per_inch:.3g} wraps per inch, measured, weighed with {source}"
    return Diameter(_interval(mean, sd, basis), stuff.density_g_cm3, stuff.packing, sd, apart, source)


def diameter_of_wraps(stuff: Stuff, wraps: Wraps) -> tuple[Quantity, Diameter]:
    """Return the tex, widely, and the diameter of a yarn of which only the wraps are known.

    Examples
    --------
    >>> from weftline.core.yarn.wraps import wraps_in_inch
    >>> tex, diameter = diameter_of_wraps(stuff_of(["wool"]), wraps_in_inch(12))
    >>> round(tex.low, -2), round(tex.value, -2), round(tex.high, -2)
    (700.0, 1100.0, 1800.0)
    """
    sd = wraps.log_sd
    size = wraps.diameter_mm**2 * 1000 * pi * stuff.density_g_cm3 * stuff.packing / 4
    basis = Basis.MEASURED if wraps.touching else Basis.LABEL
    tex = _interval(size, hypot(stuff.log_sd, 2 * sd), basis)
    mm = _interval(wraps.diameter_mm, sd, basis)
    source = (
        f"{wraps.per_inch:.3g} wraps per inch, {'just touching' if wraps.touching else 'nobody says how tightly laid'}"
    )
    return tex, Diameter(mm, stuff.density_g_cm3, stuff.packing, sd, None, source)


def _interval(value: float, log_sd: float, basis: Basis) -> Quantity:
    """Return a value with its 90 % interval, even on a logarithmic scale."""
    far = exp(NINETY * log_sd)
    return Quantity(value, basis, value / far, value * far)
