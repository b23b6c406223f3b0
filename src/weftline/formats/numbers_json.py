"""Yarn, sett and sley as data, unrounded; predictions are ``{value, low, high, basis}``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.looms.reed import CM_PER_INCH
from weftline.core.yarn.rules import ASHENHURST, diameters_per_inch, peirce_diameter_mm
from weftline.core.yarn.systems import SYSTEMS, m_per_kg
from weftline.formats.plan_json import figure

if TYPE_CHECKING:
    from weftline.core.geometry.sett import SettAdvice
    from weftline.core.looms.sleying import Sleying, StripInReed
    from weftline.core.yarn.numbers import Way, YarnNumbers


def yarn_data(numbers: YarnNumbers) -> dict[str, Any]:
    """Return what a label tells; ``tex`` is that of the likeliest reading."""
    tex = numbers.tex.value
    return {
        "text": numbers.text,
        "tex": tex,
        "tex_interval": figure(numbers.tex),
        "m_per_kg": numbers.m_per_kg,
        "yd_per_lb": SYSTEMS["ypp"].number_from(tex),
        "strands": numbers.strands,
        "fibres": list(numbers.fibres),
        "diameter_mm": figure(numbers.diameter.mm),
        "packing": numbers.diameter.packing,
        "density_g_cm3": numbers.density_g_cm3,
        "other_rules": _diameter_rules(numbers),
        "readings": [_way(way, numbers.question) for way in numbers.readings],
        "question": numbers.question,
        "remarks": list(numbers.remarks),
        "rests_on": list(numbers.rests_on),
    }


def _diameter_rules(numbers: YarnNumbers) -> dict[str, float]:
    """Return the diameter in mm by the rules of the trade that are in print for such a fibre."""
    found = {"Peirce, cotton": peirce_diameter_mm(numbers.tex.value)}
    for fibre in numbers.fibres:
        if fibre in ASHENHURST:
            found[f"Ashenhurst, {fibre}"] = 25.4 / diameters_per_inch(numbers.tex.value, ASHENHURST[fibre])
    return found


def _way(way: Way, question: str | None) -> dict[str, Any]:
    return {
        "tex": way.tex,
        "m_per_kg": m_per_kg(way.tex),
        "system": way.system,
        "count": way.count,
        "ply": way.ply,
        "means": way.means,
        "question": question,
    }


def sett_data(advice: SettAdvice) -> dict[str, Any]:
    """Return how close to set a warp; lines are for ``at_per_cm``."""
    cloth = advice.cloth
    return {
        "low_per_cm": advice.low.value,
        "high_per_cm": advice.high.value,
        "value_per_cm": advice.best.value,
        "lines_per_cm": figure(advice.lines_per_cm),
        "reason": advice.reason,
        "rests_on": list(advice.rests_on),
        "at_per_cm": advice.at_per_cm,
        "verdict": advice.verdict,
        "soft_to_per_cm": advice.soft_to,
        "limits": {
            "low_per_cm": figure(advice.low),
            "value_per_cm": figure(advice.best),
            "high_per_cm": figure(advice.high),
        },
        "other_rules_per_cm": {"tapestry, weft as wide as the gap": advice.canon_per_cm},
        "mean": {
            "line_height_mm": cloth.line_height_mm,
            "thickness_mm": cloth.thickness_mm,
            "draw_in": cloth.draw_in,
            "crimp_by_shed": list(cloth.crimps),
            "mass_g_m2": cloth.mass_g_m2,
        },
    }


def sley_data(found: Sleying) -> dict[str, Any]:
    """Return how a warp is sleyed; dents are counted from 1 at the left end of the reed."""
    order = found.sley.order
    return {
        "sequence": list(order),
        "ends_in_sequence": sum(order),
        "dents_in_sequence": len(order),
        "exact": found.sley.is_exact,
        "deviation": found.deviation,
        "wanted_per_inch": float(found.wanted_per_cm * CM_PER_INCH),
        "wanted_per_cm": float(found.wanted_per_cm),
        "actual_per_inch": float(found.actual_per_cm * CM_PER_INCH),
        "actual_per_cm": float(found.actual_per_cm),
        "dents_per_inch": float(found.dents_per_cm * CM_PER_INCH),
        "dents_per_cm": float(found.dents_per_cm),
        "reed_dents": found.reed_dents,
        "strips": [_strip(strip) for strip in found.strips],
    }


def _strip(strip: StripInReed) -> dict[str, Any]:
    return {
        "name": strip.name,
        "ends": strip.ends,
        "edge_ends": strip.edge_ends,
        "dents": strip.dents,
        "first_dent": strip.first_dent,
        "last_dent": strip.last_dent,
        "left_of_middle": strip.left_of_middle,
        "width_cm": float(strip.width_cm),
        "ends_in_dents": list(strip.spread),
    }
