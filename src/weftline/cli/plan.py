"""``weftline plan``: everything computed from a piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.cli.answers import answer_json, end_with, finding_lines, say
from weftline.cli.arguments import JsonOption, ProjectArgument, UnitsOption
from weftline.cli.files import read_project

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.findings import Quantity
    from weftline.core.plan.plan import Plan, SectionFacts

MM_PER_INCH, MM_PER_YARD, G_PER_OUNCE = 25.4, 914.4, 28.349523125
WIDTH = 22


def plan(project: ProjectArgument, json: JsonOption = False, units: UnitsOption = None) -> None:
    """Say how wide, how long, how much of each yarn, and what to look at; exit code 1 if anything stops it."""
    from weftline.core.plan.plan import plan as plan_of
    from weftline.formats.plan_json import plan_data

    piece = read_project(project)
    found = plan_of(piece)
    if json:
        answer_json(plan_data(found))
    else:
        for line in plan_lines(found, units.value if units else piece.units):
            say(line)
    end_with(found.stops)


class _Say:
    """Says quantities in one system of units, each with its basis."""

    def __init__(self, units: str) -> None:
        self.imperial = units == "imperial"

    def short(self, mm: Quantity) -> str:
        """Say a width or a cloth's length."""
        return self._say(mm, *((MM_PER_INCH, "in", 1) if self.imperial else (10.0, "cm", 1)))

    def long(self, mm: Quantity) -> str:
        """Say a length of yarn."""
        return self._say(mm, *((MM_PER_YARD, "yd", 1) if self.imperial else (1000.0, "m", 1)))

    def mass(self, grams: Quantity | None) -> str:
        """Say a mass."""
        if grams is None:
            return "weight not known"
        return self._say(grams, *((G_PER_OUNCE, "oz", 1) if self.imperial else (1.0, "g", 0)))

    def _say(self, quantity: Quantity, unit: float, name: str, digits: int) -> str:
        return f"{quantity.value / unit:.{digits}f} {name} ({basis_word(quantity)})"


def basis_word(quantity: Quantity) -> str:
    """Return what a number rests on, in a weaver's words."""
    return {"default": "common practice", "label": "as written"}.get(quantity.basis.value, quantity.basis.value)


def plan_lines(plan: Plan, units: str) -> Iterator[str]:
    """Yield the plan as text, each number with what it rests on."""
    say = _Say(units)
    technique = plan.cloth.technique
    yield plan.project.name
    yield f"{technique.name}, threading {' '.join(map(str, technique.threading))}, {plan.warp.threaded_ends} ends"
    for section in plan.sections:
        yield ""
        yield from _section_lines(section, say)
    yield ""
    yield _row("Warp", f"{say.long(plan.warp.length_mm)} long, {plan.warp.threaded_ends + plan.warp.edge_ends} ends")
    yield _row("", f"{say.long(plan.warp.total_mm)} of yarn in all")
    for part in plan.warp.parts:
        yield _row("", f"{part.what}: {say.short(part.length_mm)}")
    yield ""
    yield from _yarn_lines(plan, say)
    yield ""
    yield _row("Throws", f"{plan.throws:,}, {plan.time_h.value:.1f} hours of weaving ({basis_word(plan.time_h)})")
    if plan.findings:
        yield ""
        yield from finding_lines(plan.findings)
    yield ""
    for caution in plan.cautions:
        yield f"{caution.step.capitalize()}: {caution.hazard} {caution.what_to_do} {caution.defer_to}"


def _row(name: str, text: str) -> str:
    return f"{name:{WIDTH}} {text}".rstrip()


def _section_lines(section: SectionFacts, say: _Say) -> Iterator[str]:
    size = section.size
    pieces = "one piece" if section.pieces == 1 else f"{section.pieces} pieces"
    yield _row(section.name, f"{pieces}, {section.lines} lines, {section.picks} picks, {section.ends} ends")
    for name, width, length in (
        ("in the reed", size.across.in_reed_mm, None),
        ("on the loom", size.across.on_loom_mm, size.lengths.woven_mm),
        ("off the loom", size.across.off_loom_mm, size.lengths.off_loom_mm),
        ("finished", size.across.finished_mm, size.lengths.finished_mm),
    ):
        yield _row(f"  {name}", say.short(width) + (f" x {say.short(length)}" if length else ""))
    if len(section.strips) > 1:
        for strip, widths in zip(section.strips, size.strips, strict=True):
            yield _row(f"  {strip.name}", f"{strip.ends} ends, {say.short(widths.on_loom_mm)} on the loom")
    longest = max((strip for strip in section.strips), key=lambda strip: strip.longest_float_ends)
    yield _row("  longest float", f"{longest.longest_float_ends} ends, {longest.longest_float_mm.value:.0f} mm")
    yield _row("  hangs together", "yes" if section.hangs_together else "no")
    if section.mass_g is not None and section.mass_per_area_g_m2 is not None:
        per_area = section.mass_per_area_g_m2
        yield _row("  weighs", f"{say.mass(section.mass_g)}, {per_area.value:.0f} g/m2 ({basis_word(per_area)})")


def _yarn_lines(plan: Plan, say: _Say) -> Iterator[str]:
    for key, amount in plan.yarns.items():
        yarn = plan.project.yarns[key]
        yield _row(f"{yarn.name or key}", f"{say.long(amount.warp_mm + amount.weft_mm)}, {say.mass(amount.mass_g)}")
        if amount.packs is not None:
            cost = "" if amount.cost is None else f", {amount.cost.value:.2f} {plan.project.currency or ''}".rstrip()
            yield _row("", f"{amount.packs} packs{cost}; to buy: {amount.packs_to_buy}")
        if amount.remains_g is not None:
            yield _row("", f"left on hand: {say.mass(amount.remains_g)}")
