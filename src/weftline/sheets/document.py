"""The document: everything that the pages say, as plain data, with the files of its pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.finishing.cautions import DRESS, FINISH, USE, WEAVE
from weftline.sheets.chart import Palette
from weftline.sheets.chart_pages import strip_chart
from weftline.sheets.chart_together import side_by_side
from weftline.sheets.cloth_words import cloth_data
from weftline.sheets.cover import cover_data
from weftline.sheets.cover_pictures import cover_pictures
from weftline.sheets.dressing import dressing_data
from weftline.sheets.figures import Units, plain_data, plain_text
from weftline.sheets.finish import basis_rows, blanks_data, finishing_steps, sizes_data
from weftline.sheets.fonts import FAMILIES, line_count
from weftline.sheets.marks import chip, looks, winding_colours
from weftline.sheets.materials import materials_data
from weftline.sheets.reading import reading_data
from weftline.sheets.steps_table import section_steps
from weftline.sheets.wording import printable, visible

if TYPE_CHECKING:
    from weftline.core.piece.cloth import SectionCloth, StripCloth
    from weftline.core.plan.plan import Plan
    from weftline.sheets.paper import Paper

COVER_WORDS_MM, COVER_LEAST_MM = 34.0, 70.0
COVER_FINDING_MM, COVER_LINE_MM, COVER_TITLE_MM = 14.0, 4.9, 11.0
TITLES_PT, TEXT_PT, FACT_NAME_MM = (26.0, 23.0, 20.0), 10.0, 28.0


@dataclass(frozen=True, slots=True)
class Document:
    """The pages before they are set.

    Parameters
    ----------
    data : dict
        Lists, objects, strings and numbers alone.
    files : dict of str to bytes
        Pictures by the name that the data call them.
    """

    data: dict[str, Any]
    files: dict[str, bytes]


def document(plan: Plan, paper: Paper, units: str) -> Document:
    """Return the document of a piece.

    Parameters
    ----------
    plan : Plan
    paper : Paper
    units : str
        ``metric`` or ``imperial``.
    """
    say = Units(units == "imperial")
    windings = plan.cloth.windings
    palette = Palette(windings, winding_colours(plan.project, windings), looks(plan.project))
    cover = cover_data(plan, say)
    room = (paper.text_width_mm, _room_for_pictures(plan, paper, cover))
    pictures, files = cover_pictures(plan.cloth, plan.settings, room)
    chips = {key: f"chip-{place}.svg" for place, key in enumerate(palette.looks)}
    files |= {chips[key]: chip(look).encode() for key, look in palette.looks.items()}
    sections = _sections(plan, palette, paper, say)
    _take_drawings(sections, files)
    reading = reading_data(plan, palette)
    files["example.svg"] = reading["example"].pop("svg").encode()
    data = {
        "title": visible(plan.project.name),
        "name": printable(plan.project.name),
        "keywords": ["weaving pattern", "weft-faced", plan.cloth.technique.name],
        "fonts": list(FAMILIES),
        "chips": chips,
        "paper": {"width": paper.width_mm, "height": paper.height_mm, "side": paper.side_mm, "top": paper.top_mm,
                  "foot": paper.foot_mm, "text_width": paper.text_width_mm, "text_height": paper.text_height_mm},
        "cover": {**cover, "pictures": pictures, "title_pt": _title_pt(plan, paper)},
        "materials": materials_data(plan, say),
        "dressing": dressing_data(plan, say),
        "reading": reading,
        "cloth": cloth_data(plan, say),
        "sections": sections,
        "sizes": sizes_data(plan, say),
        "blanks": blanks_data(plan, say),
        "basis": basis_rows(plan, say),
        "finishing": finishing_steps(plan, say),
        "cautions": {step: _cautions(plan, step) for step in (DRESS, WEAVE, FINISH, USE)},
    }  # fmt: skip
    return Document(plain_data(data), files)


def _room_for_pictures(plan: Plan, paper: Paper, cover: dict[str, Any]) -> float:
    """Return the height that the words of the cover leave, mm."""
    wide = paper.text_width_mm
    title = line_count(printable(plan.project.name), _title_pt(plan, paper), wide, bold=True)
    lines = sum(line_count(plain_text(one), TEXT_PT, wide) for one in cover["sentences"])
    lines += sum(line_count(plain_text(one["says"]), TEXT_PT, wide - FACT_NAME_MM) for one in cover["facts"])
    words = COVER_WORDS_MM + COVER_TITLE_MM * title + COVER_LINE_MM * lines
    return max(COVER_LEAST_MM, paper.text_height_mm - words - COVER_FINDING_MM * len(cover["findings"]))


def _title_pt(plan: Plan, paper: Paper) -> float:
    """Return the size of the title: the largest in which it takes the fewest lines."""
    name, wide = printable(plan.project.name), paper.text_width_mm
    return min(TITLES_PT, key=lambda size: (line_count(name, size, wide, bold=True), -size))


def _sections(plan: Plan, palette: Palette, paper: Paper, units: Units) -> list[dict[str, Any]]:
    return [
        {
            "heading": _heading("Weaving", plan, section),
            "charts": side_by_side(
                [
                    strip_chart(plan.cloth, strip, palette, paper, _heading("Chart", plan, section, strip))
                    for strip in section.strips
                ],
                [printable(strip.name) for strip in section.strips],
                _heading("Chart", plan, section),
                paper,
            ),
            "steps": section_steps(plan, section, units),
        }
        for section in plan.cloth.sections
    ]


def _heading(what: str, plan: Plan, section: SectionCloth, strip: StripCloth | None = None) -> str:
    """Return ``Chart``, with section and strip where there are several."""
    names = [printable(section.name)] if len(plan.sections) > 1 else []
    if strip is not None and len(section.strips) > 1:
        names.append(printable(strip.name))
    return f"{what}: {', '.join(names)}" if names else what


def _take_drawings(sections: list[dict[str, Any]], files: dict[str, bytes]) -> None:
    """Move the charts' drawings out of the data into files; equal ones share a file."""
    names: dict[bytes, str] = {}
    for section in sections:
        for chart in section["charts"]:
            for page in chart["pages"]:
                for column in page:
                    drawn = column.pop("svg").encode()
                    column["file"] = names.setdefault(drawn, f"chart-{len(names)}.svg")
                    files[column["file"]] = drawn


def _cautions(plan: Plan, step: str) -> list[str]:
    return [f"{one.hazard} {one.what_to_do} {one.defer_to}" for one in plan.cautions if one.step == step]
