"""Published rules of cloth setting, most of them for balanced cloth: to compare with, never to set a weft-faced warp by.

Lengths in mm unless named otherwise; crimp and cover as plain shares or the units that each rule has.
"""

from __future__ import annotations

from math import acos, asin, cos, pi, sin, sqrt, tan

from weftline.core.yarn.systems import SYSTEMS

CM_PER_INCH = 2.54
HALVINGS = 200


def weave_share(ends: float, intersections: float) -> float:
    """Return the share of the diameters that a weave lets in: ``E / (E + I)``, ends and intersections of a repeat.

    Ashenhurst; 1/2 for plain weave, 2/3 for a twill of two and two.

    Examples
    --------
    >>> weave_share(2, 2), round(weave_share(4, 2), 4)
    (0.5, 0.6667)
    """
    return ends / (ends + intersections)


def same_firmness(sett: float, share: float, other_share: float) -> float:
    """Return the sett of another weave that is as firm, same yarn.

    J.T. Taylor, Cotton Weaving and Designing, 6th ed., p. 464: plain 103 is as firm as 137 1/3 in two-and-two twill.

    Examples
    --------
    >>> round(same_firmness(103, weave_share(2, 2), weave_share(4, 2)), 3)
    137.333
    """
    return sett * other_share / share


def canon_sett_per_cm(warp_mm: float, weft_mm: float) -> float:
    """Return the tapestry rule's sett: the gap between ends as wide as the weft.

    K. Todd-Hooker and P. Spark, So Warped, 2010, at americantapestryalliance.org (choosing warp and weft).

    Examples
    --------
    >>> canon_sett_per_cm(0.8, 0.8)
    6.25
    """
    return 10 / (warp_mm + weft_mm)


def cover(threads_per_cm: float, tex: float) -> float:
    """Return the cover factor in SI form, ``threads sqrt(tex) / 10``.

    Examples
    --------
    >>> round(cover(28, 20), 3)
    12.522
    """
    return threads_per_cm * sqrt(tex) / 10


def peirce_cover(threads_per_cm: float, tex: float) -> float:
    """Return Peirce's cover factor, threads an inch over the root of the cotton count; 28 is threads that touch.

    Examples
    --------
    >>> round(peirce_cover(28, 20), 3)
    13.088
    """
    return threads_per_cm * CM_PER_INCH / sqrt(SYSTEMS["Ne"].number_from(tex))


def cloth_cover(warp_cover: float, weft_cover: float) -> float:
    """Return the cover of the cloth of two of Peirce's: what either covers, counted once.

    Examples
    --------
    >>> round(cloth_cover(12, 12), 4)
    18.8571
    """
    return warp_cover + weft_cover - warp_cover * weft_cover / 28


def straight_warp_crimp(pitch_mm: float, diameters_mm: float) -> float:
    """Return the weft's crimp over a straight warp, by arcs and straight lines (Peirce's circles with a straight warp).

    Parameters
    ----------
    pitch_mm : float
        From end to end; at least ``diameters_mm``.
    diameters_mm : float
        Warp and weft together.

    Examples
    --------
    >>> round(straight_warp_crimp(3.175, 1.3230), 4), round(straight_warp_crimp(1, 1), 4)
    (0.0881, 0.5708)
    """
    angle = asin(diameters_mm / pitch_mm)
    return (diameters_mm / tan(angle) + diameters_mm * angle) / pitch_mm - 1


def crimp_height_mm(pitch_mm: float, crimp: float, diameters_mm: float) -> float:
    """Return how high a thread of some crimp swings, exactly, by Peirce's equations.

    Examples
    --------
    >>> round(crimp_height_mm(1.0, 0.05, 1.0), 6)
    0.301909
    """
    length = pitch_mm * (1 + crimp)
    low, high = 0.0, pi / 2
    for _ in range(HALVINGS):
        angle = (low + high) / 2
        rest = length - diameters_mm * angle
        if rest * cos(angle) + diameters_mm * sin(angle) > pitch_mm:
            low = angle
        else:
            high = angle
    rest = length - diameters_mm * low
    return rest * sin(low) + diameters_mm * (1 - cos(low))


def crimp_height_by_rule_mm(pitch_mm: float, crimp: float) -> float:
    """Return the same by Peirce's short rule, 4/3 of the pitch times the root of the crimp; low where ends stand wide.

    Examples
    --------
    >>> round(crimp_height_by_rule_mm(1.0, 0.05), 6)
    0.298142
    """
    return 4 / 3 * pitch_mm * sqrt(crimp)


def jammed_square() -> tuple[float, float, float]:
    """Return angle (rad), pitch over both diameters, and crimp of square plain cloth that is as close as it goes.

    Examples
    --------
    >>> [round(part, 4) for part in jammed_square()]
    [1.0472, 0.866, 0.2092]
    """
    angle = acos(0.5)
    return angle, sin(angle), angle / sin(angle) - 1
