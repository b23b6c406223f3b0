"""The plan as data: numbers with a unit are ``{value, basis}``, counts and flags are plain."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from weftline.core.amounts.yarns import mass_of
from weftline.core.findings import Quantity
from weftline.core.piece.names import yarn_name

if TYPE_CHECKING:
    from weftline.core.amounts.weft import WeftAmount
    from weftline.core.amounts.yarns import YarnAmount
    from weftline.core.findings import Finding
    from weftline.core.geometry.sizes import Lengths, Widths
    from weftline.core.plan.plan import Plan, SectionFacts, StripFacts


def figure(quantity: Quantity | None, scale: float = 1.0) -> dict[str, Any] | None:
    """Return a quantity as data; nothing known is null."""
    if quantity is None:
        return None
    found: dict[str, Any] = {"value": quantity.value * scale, "basis": quantity.basis.value}
    if quantity.low is not None and quantity.high is not None:
        found |= {"low": quantity.low * scale, "high": quantity.high * scale}
    return found


def plan_data(plan: Plan) -> dict[str, Any]:
    """Return the whole plan; ``cloth`` is one piece of the first section."""
    return {
        "weftline": 1,
        "name": plan.project.name,
        "technique": {
            "name": plan.cloth.technique.name,
            "shafts": plan.cloth.technique.shafts,
            "threading": list(plan.cloth.technique.threading),
            "sheds": [list(shed) for shed in plan.cloth.technique.sheds],
            "source": plan.cloth.technique.source,
        },
        "cloth": _section(plan.sections[0]),
        "warp": {
            "yarn": plan.project.warp.yarn,
            "ends": plan.warp.threaded_ends,
            "edge_ends": plan.warp.edge_ends,
            "length_m": figure(plan.warp.length_mm, 1e-3),
            "total_m": figure(plan.warp.total_mm, 1e-3),
            "parts": [{"what": part.what, "length_m": figure(part.length_mm, 1e-3)} for part in plan.warp.parts],
        },
        "weft": [_weft(plan, key, amount) for key, amount in plan.weft.items()],
        "yarns": [_yarn(plan, key, amount) for key, amount in plan.yarns.items()],
        "sections": [
            {
                "name": section.name,
                "pieces": section.pieces,
                **_section(section),
                "strips": [
                    _strip(strip, widths) for strip, widths in zip(section.strips, section.size.strips, strict=True)
                ],
            }
            for section in plan.sections
        ],
        "throws": plan.throws,
        "time_h": figure(plan.time_h),
        "settings": settings_data(plan),
        "findings": [finding_data(finding) for finding in plan.findings],
        "cautions": [asdict(caution) for caution in plan.cautions],
    }


def settings_data(plan: Plan) -> dict[str, Any]:
    """Return the numbers that the plan rests on, named and scaled as in the project file."""
    of = plan.settings
    centimetres = {
        f"{name}_cm": figure(getattr(of, f"{name}_mm"), 0.1)
        for name in ("between_pieces", "sample", "tail", "heading", "fringe_each_end", "waste")
    }
    shares = ("draw_in", "weft_take_up", "warp_take_up", "relax_width", "relax_length", "shrink_width", "shrink_length")
    return {
        "sett_per_cm": figure(of.sett_per_mm, 10.0),
        "line_height_mm": figure(of.line_height_mm),
        **{name: figure(getattr(of, name)) for name in shares},
        **centimetres,
        "float_ends": int(of.float_ends.value),
        "float_mm": figure(of.float_mm),
        "picks_per_hour": figure(of.picks_per_hour),
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """Return one finding; only the parts of its place that are known."""
    where = {key: value for key, value in asdict(finding.where).items() if value is not None}
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "where": where,
        "message": finding.message,
        "remedy": finding.remedy,
    }


def _section(section: SectionFacts) -> dict[str, Any]:
    longest = max(section.strips, key=lambda strip: strip.longest_float_ends)
    return {
        "ends": section.ends,
        "picks": section.picks,
        "lines": section.lines,
        **_lengths(section.size.lengths),
        **_widths(section.size.across),
        "hangs_together": section.hangs_together,
        "longest_float_ends": longest.longest_float_ends,
        "longest_float_mm": figure(longest.longest_float_mm),
        "mass_g": figure(section.mass_g),
        "mass_per_area_g_m2": figure(section.mass_per_area_g_m2),
    }


def _lengths(lengths: Lengths) -> dict[str, Any]:
    return {
        "woven_length_mm": figure(lengths.woven_mm),
        "off_loom_length_mm": figure(lengths.off_loom_mm),
        "finished_length_mm": figure(lengths.finished_mm),
    }


def _widths(widths: Widths) -> dict[str, Any]:
    return {
        "width_in_reed_mm": figure(widths.in_reed_mm),
        "width_on_loom_mm": figure(widths.on_loom_mm),
        "width_off_loom_mm": figure(widths.off_loom_mm),
        "finished_width_mm": figure(widths.finished_mm),
    }


def _strip(strip: StripFacts, widths: Widths) -> dict[str, Any]:
    return {
        "name": strip.name,
        "ends": strip.ends,
        "balanced": strip.balanced,
        "hangs_together": strip.hangs_together,
        **_widths(widths),
        "longest_float_ends": strip.longest_float_ends,
        "longest_float_mm": figure(strip.longest_float_mm),
    }


def _weft(plan: Plan, key: str, amount: WeftAmount) -> dict[str, Any]:
    return {
        "yarn": key,
        "name": yarn_name(plan.project.yarns[key], key),
        "passes": amount.passes,
        "runs": amount.runs,
        "length_m": figure(amount.length_mm, 1e-3),
        "tails_m": figure(amount.tails_mm, 1e-3),
        "mass_g": figure(mass_of(amount.length_mm, plan.yarns[key].tex)),
    }


def _yarn(plan: Plan, key: str, amount: YarnAmount) -> dict[str, Any]:
    return {
        "yarn": key,
        "name": yarn_name(plan.project.yarns[key], key),
        "lot": plan.project.yarns[key].lot,
        "tex": figure(amount.tex),
        "warp_m": figure(amount.warp_mm, 1e-3),
        "weft_m": figure(amount.weft_mm, 1e-3),
        "mass_g": figure(amount.mass_g),
        "packs": amount.packs,
        "cost": figure(amount.cost),
        "on_hand_g": figure(amount.on_hand_g),
        "remains_g": figure(amount.remains_g),
        "packs_to_buy": amount.packs_to_buy,
        "cost_to_buy": figure(amount.cost_to_buy),
        "currency": plan.project.currency,
    }
