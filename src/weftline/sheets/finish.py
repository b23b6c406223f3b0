"""Sizes, finishing, and what every number rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis, Quantity
from weftline.sheets.figures import Figure, share
from weftline.sheets.finish_steps import finishing_steps
from weftline.sheets.wording import printable

__all__ = ["basis_rows", "blanks_data", "finishing_steps", "sizes_data"]

if TYPE_CHECKING:
    from weftline.core.geometry.sizes import Widths
    from weftline.core.plan.plan import Plan, SectionFacts
    from weftline.sheets.figures import Rich, Units


def sizes_data(plan: Plan, units: Units) -> list[dict[str, Any]]:
    """Return for each section its sizes in every state, strip by strip where there are several."""
    return [_section(plan, place, units) for place in range(len(plan.sections))]


STATES = (
    ("in the reed", "in_reed_mm", ""),
    ("on the loom", "on_loom_mm", "woven_mm"),
    ("off the loom", "off_loom_mm", "off_loom_mm"),
    ("finished", "finished_mm", "finished_mm"),
)


def _section(plan: Plan, place: int, units: Units) -> dict[str, Any]:
    section, written = plan.sections[place], plan.cloth.sections[place].strips
    sewn = all(strip.written.seam_after for strip in written[:-1])
    widths: list[tuple[str, Widths, tuple[tuple[str, str, str], ...]]] = [("width", section.size.across, STATES)]
    if len(section.strips) > 1:
        strips = zip(section.strips, section.size.strips, strict=True)
        widths = [(f"width of {printable(strip.name)}", width, STATES) for strip, width in strips]
        what = "width, sewn together at the end" if sewn else "with the gaps, on the loom only"
        widths.append((what, section.size.across, STATES if sewn else STATES[:2]))
    rows = [
        {
            "what": what,
            "sizes": [
                (_across(section, state, units) if width is section.size.across else units.short(getattr(width, state)))
                if (name, state, _) in states
                else "–"
                for name, state, _ in STATES
            ],
        }
        for what, width, states in widths
    ]
    lengths = [units.short(getattr(section.size.lengths, state)) if state else "–" for _, _, state in STATES]
    return {
        "name": printable(section.name),
        "states": [name for name, _, _ in STATES],
        "rows": [*rows, {"what": "length", "sizes": lengths}],
        "weight": _weight(section, units),
    }


def _across(section: SectionFacts, state: str, units: Units) -> Figure:
    """Return the width of a section with its gaps as its strips are printed."""
    return units.short_sum([getattr(one, state) for one in section.size.strips], getattr(section.size.across, state))


def _weight(section: SectionFacts, units: Units) -> Rich:
    if section.mass_g is None or section.mass_per_area_g_m2 is None:
        return ["Its weight is not known: the number of a yarn is missing."]
    strips = len(section.strips)
    together = "" if strips == 1 else "both strips together, " if strips == 2 else f"all {strips} strips together, "
    each = "It weighs " if section.pieces == 1 else "Each piece weighs "
    return [
        f"{each}{together}" if not together else f"{each.strip()}, {together}",
        units.mass(section.mass_g),
        " finished, without fringes and tails; that is ",
        units.area_mass(section.mass_per_area_g_m2),
        ".",
    ]


def blanks_data(plan: Plan, units: Units) -> list[dict[str, Any]]:
    """Return what is measured off the loom and finished, each with what was planned and room to write."""
    found = []
    for section in plan.sections:
        several = len(plan.sections) > 1
        for strip, widths in zip(section.strips, section.size.strips, strict=True):
            name = printable(strip.name) if len(section.strips) > 1 else printable(section.name) if several else ""
            lengths = section.size.lengths
            found += [
                {"what": f"{name}{': ' if name else ''}{what}", "off": units.short(off), "done": units.short(done)}
                for what, off, done in (
                    ("width", widths.off_loom_mm, widths.finished_mm),
                    ("length", lengths.off_loom_mm, lengths.finished_mm),
                )
            ]
    return found


def basis_rows(plan: Plan, units: Units) -> list[dict[str, Any]]:
    """Return the numbers that the plan rests on, with what each of them rests on."""
    of = plan.settings
    height = Quantity(1.0, of.line_height_mm.basis) * (1 / of.line_height_mm.value)
    several = sum(section.pieces for section in plan.sections) > 1
    between = [("Between pieces", units.short(of.between_pieces_mm))] if several else []
    rows: list[tuple[str, Figure]] = [
        ("Sett", units.per_length(of.sett_per_mm, "ends")),
        ("Beat", units.per_length(Quantity(height.value, of.line_height_mm.basis), "lines")),
        *_own_beats(plan, units),
        ("Draw-in, of the width in the reed", share(of.draw_in)),
        ("Weft take-up, over the width in the reed", share(of.weft_take_up)),
        ("Warp take-up, over the woven length", share(of.warp_take_up)),
        ("Relaxing off the loom, in width", share(of.relax_width)),
        ("Relaxing off the loom, in length", share(of.relax_length)),
        ("Shrinking in the wash, in width", share(of.shrink_width)),
        ("Shrinking in the wash, in length", share(of.shrink_length)),
        ("Heading, each end of a piece", units.short(of.heading_mm)),
        ("Fringe, each end of a piece", units.short(of.fringe_each_end_mm)),
        *between,
        ("Sample at the start of the warp", units.short(of.sample_mm)),
        ("Loom waste", units.short(of.waste_mm)),
        ("Tail at each end of a run of yarn", units.short(of.tail_mm)),
        ("Pace", Figure(f"{of.picks_per_hour.value:g} picks an hour", of.picks_per_hour.basis)),
    ]
    return [{"what": what, "value": value, "word": value.word} for what, value in rows]


def _own_beats(plan: Plan, units: Units) -> list[tuple[str, Figure]]:
    """Return the beat of every band that has its own."""
    found: dict[str, Figure] = {}
    for section in plan.cloth.sections:
        strip = section.strips[0]
        for name, band in zip(strip.bands, strip.written.bands, strict=True):
            if band.lines_per_cm is not None:
                beat = Quantity(band.lines_per_cm / 10, Basis.LABEL)
                found.setdefault(f"Beat of {printable(name)}", units.per_length(beat, "lines"))
    return list(found.items())[:12]
