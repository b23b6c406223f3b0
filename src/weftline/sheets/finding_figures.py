"""The figures in findings in the units of the page: a plan's findings are written in metric units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity

if TYPE_CHECKING:
    from weftline.core.findings import Finding
    from weftline.core.plan.plan import Plan
    from weftline.sheets.figures import Units

FLOAT_DIGITS = 2
"""What is over a limit is short: tenths of an inch would make it as long as the limit."""


def finding_words(plan: Plan, finding: Finding, units: Units) -> tuple[str, str]:
    """Return message and remedy of a finding, its figures in the units of the page.

    The figures are found as the plan has them, from the end of the sentence, so that a name is never
    taken for one.
    """
    if not units.imperial:
        return finding.message, finding.remedy
    message, remedy = finding.message, finding.remedy
    for metric, said in _figures(plan, finding, units):
        message = _last_replaced(message, metric, said)
    if finding.code == "yarn-short":
        remedy = _more_words(plan, finding, units)
    return message, remedy


def _last_replaced(text: str, old: str, new: str) -> str:
    before, found, after = text.rpartition(old)
    return f"{before}{new}{after}" if found else text


def _figures(plan: Plan, finding: Finding, units: Units) -> list[tuple[str, str]]:
    """Return each figure of a message as it is written and as it is to be printed, the last first."""
    where = finding.where
    if finding.code == "long-float":
        strips = [strip for section in plan.sections if section.name == where.section for strip in section.strips]
        longest = next(strip.longest_float_mm for strip in strips if strip.name == where.strip)
        limit = plan.settings.float_mm
        return [
            (f"{longest.value:.0f} mm.", f"{units.short(longest, FLOAT_DIGITS).text}."),
            (f" {limit.value:g} mm;", f" {units.short(limit, FLOAT_DIGITS).text};"),
        ]
    if finding.code == "yarn-short" and where.yarn is not None:
        amount = plan.yarns[where.yarn]
        return [
            (f" {grams.value:.0f} g {word}", f" {_mass(grams, units)} {word}")
            for grams, word in ((amount.on_hand_g, "here."), (amount.mass_g, "needed,"))
            if grams is not None
        ]
    width_cm = plan.project.loom.weaving_width_cm
    if finding.code == "loom-narrow" and width_cm is not None:
        across = next(section.size.across.in_reed_mm for section in plan.sections if section.name == where.section)
        over = across - Quantity(width_cm * 10.0, Basis.LABEL)
        return [(f" {over.value / 10.0:.1f} cm wider", f" {units.short(over, FLOAT_DIGITS).text} wider")]
    return []


def _more_words(plan: Plan, finding: Finding, units: Units) -> str:
    """Return the remedy for a yarn of which there is too little; packs stay packs."""
    left = None if finding.where.yarn is None else plan.yarns[finding.where.yarn].remains_g
    if left is None:
        return finding.remedy
    return finding.remedy.replace(f"Get {-left.value:.0f} g more", f"Get {_mass(left * -1.0, units)} more", 1)


def _mass(grams: Quantity, units: Units) -> str:
    said = units.mass(grams)
    return said if isinstance(said, str) else said.text
