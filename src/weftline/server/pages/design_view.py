"""Everything that the Design page shows."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from weftline.core.piece.names import yarn_name
from weftline.core.plan.risk import piece_risk
from weftline.server.pages.design import (
    LINE_PX,
    MIRRORS,
    WINDOW,
    BandCard,
    Beside,
    LineCard,
    Place,
    band_cards,
    beside,
    line_card,
    strip_node,
)
from weftline.server.pages.frame import line_figure, size_figure, units_of
from weftline.server.pages.square import TrueSquare, true_square
from weftline.server.pages.words import count
from weftline.server.pages.yarn_rows import Swatch, YarnRow, swatches, yarn_rows
from weftline.server.pictures import PAD, Part, close_up_size, ends_that_fit, pitch_px
from weftline.server.swaps import used_roles
from weftline.sheets.figures import Figure, hours
from weftline.sheets.marks import looks

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.findings import Finding
    from weftline.core.learning.belief import Belief
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.server.workbench import Preferences

ROOMS = (
    ("(max-width: 700px)", 376),
    ("(max-width: 900px)", 360),
    ("(max-width: 1180px)", 560),
    ("(max-width: 1400px)", 460),
    ("(max-width: 1800px)", 690),
    ("", 1080),
)
"""Widths of window, and the room that the cloth has in each, px."""
MARGIN_PX = 156
WHOLE_PX = 76
MOST_WHOLE_PX = 620


@dataclass(frozen=True, slots=True)
class CloseUp:
    """A picture at Close for one width of window."""

    media: str
    src: str
    src2: str
    width: int
    height: int
    tucked: str


@dataclass(frozen=True, slots=True)
class Whole:
    """The whole piece, small."""

    src: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Choice:
    """A strip to look at."""

    name: str
    href: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """How the cloth is seen; a page that paints it itself asks only for what stands beside it."""

    scale: str = "close"
    back: bool = False
    marks: bool = False
    beside_only: bool = False


@dataclass(frozen=True, slots=True)
class DesignView:
    """The page; see the template for where each value stands."""

    beside: Beside
    pictures: tuple[CloseUp, ...]
    whole: Whole
    line_px: float
    pad: int
    margin: int
    marks: dict[str, str]
    swatches: dict[str, Swatch]
    names: dict[str, str]
    yarns: tuple[YarnRow, ...]
    line: LineCard | None
    bands: tuple[BandCard, ...]
    mirrors: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, Figure | str], ...]
    choices: tuple[Choice, ...]
    section: int
    strip: int
    px_per_mm: float
    ends: int
    start: int
    sett: str
    beat: str
    motifs: tuple[MotifRow, ...]
    square: TrueSquare | None
    above_node: str
    warp_key: str | None
    technique: str
    alt: str
    first_line: str
    strip_node: str
    held: str | None
    here: str
    below: int
    above: int
    turned: str
    marked: str
    closer: str
    life: str
    as_whole: str
    scale: str
    back: bool
    marks_on: bool
    beside_only: bool
    said: str


@dataclass(frozen=True, slots=True)
class MotifRow:
    """A motif of the shelf: its roles, each with the yarn of this piece that stands for it."""

    id: str
    name: str
    words: str
    roles: tuple[tuple[str, str], ...]


def motif_rows(plan: Plan, motifs: Mapping[str, Mapping[str, Any]]) -> tuple[MotifRow, ...]:
    """Return every motif with yarns of this piece for its roles: ground for ground, then in order."""
    warp, ground = plan.project.warp.yarn, plan.project.ground
    keys = [key for key in plan.project.yarns if key not in (warp, ground)]
    keys = ([ground] if ground else keys[:1]) + (keys if ground else keys[1:]) or list(plan.project.yarns)
    rows = []
    for motif_id, kept in motifs.items():
        roles = used_roles(kept["lines"])
        yarns = tuple((role, keys[min(place, len(keys) - 1)]) for place, role in enumerate(roles))
        rows.append(MotifRow(motif_id, str(kept["name"]), count(len(kept["lines"]), "written line"), yarns))
    return tuple(rows)


def design_view(
    sheet: Sheet,
    plan: Plan,
    place: Place,
    seen: Seen,
    chosen: Preferences,
    motifs: Mapping[str, Mapping[str, Any]],
    belief: Belief,
) -> DesignView:
    """Return the page."""
    section = plan.cloth.sections[place.section]
    strip = section.strips[place.strip]
    ends, about = len(strip.weaving.ends), beside(sheet, plan, place)
    address = _Address(sheet.id, place, seen)
    return DesignView(
        beside=about,
        pictures=() if seen.beside_only else _close_ups(sheet, plan, place, about, seen),
        whole=_whole(sheet, plan, place, seen, chosen),
        line_px=LINE_PX,
        pad=PAD,
        margin=MARGIN_PX + 24 * max(about.columns, 1),
        marks={key: look.drawing("currentColor") for key, look in looks(plan.project).items()},
        swatches=swatches(plan),
        names={key: yarn_name(yarn, key) for key, yarn in plan.project.yarns.items()},
        yarns=yarn_rows(plan, piece_risk(plan, belief)),
        line=line_card(sheet, plan, place),
        bands=band_cards(sheet, plan, place),
        mirrors=MIRRORS,
        findings=plan.findings,
        figures=figures(plan, place.section),
        choices=_choices(sheet, plan, place),
        section=place.section,
        strip=place.strip,
        px_per_mm=chosen.px_per_mm,
        ends=ends,
        start=strip.written.start,
        sett=f"{plan.settings.sett_per_mm.value * 10:.4g}",
        beat=f"{10 / plan.settings.line_height_mm.value:.4g}",
        motifs=motif_rows(plan, motifs),
        square=true_square(sheet, plan, place),
        above_node=place.at or strip_node(sheet, place).id,
        warp_key=plan.project.warp.yarn,
        technique=plan.cloth.technique.name.capitalize(),
        alt=f"{'Back' if seen.back else 'Face'} of {strip.name}, {count(ends, 'end')}, {count(about.lines, 'line')}, line 1 lowest",
        first_line=_first_line(plan),
        strip_node=strip_node(sheet, place).id,
        held=place.at,
        here=address.to(at=None),
        below=max(1, about.first - WINDOW),
        above=about.last + 1,
        turned=address.to(back=not seen.back),
        marked=address.to(marks=not seen.marks),
        closer=address.to(scale="close"),
        life=address.to(scale="life"),
        as_whole=address.to(scale="whole"),
        scale=seen.scale,
        back=seen.back,
        marks_on=seen.marks,
        beside_only=seen.beside_only and seen.scale != "whole",
        said="" if about.lines or not section.picks.line_count else "This strip is still bare.",
    )


@dataclass(frozen=True, slots=True)
class _Address:
    piece: str
    place: Place
    seen: Seen

    def to(self, **other: object) -> str:
        """Return the address of this page with something different."""
        now: dict[str, object] = {
            "section": self.place.section,
            "strip": self.place.strip,
            "scale": self.seen.scale,
            "back": self.seen.back,
            "marks": self.seen.marks,
            "at": self.place.at,
            **other,
        }
        kept = {
            name: (1 if value is True else value)
            for name, value in now.items()
            if value not in (None, False, 0, "close") or name == "section"
        }
        return f"/pieces/{self.piece}/design?{urlencode(kept)}"


def _close_ups(sheet: Sheet, plan: Plan, place: Place, about: Beside, seen: Seen) -> tuple[CloseUp, ...]:
    if not about.lines:
        return ()
    strip = plan.cloth.sections[place.section].strips[place.strip]
    ends, repeat = len(strip.weaving.ends), len(plan.cloth.technique.threading)
    pitch = pitch_px(plan.settings, LINE_PX)
    found = []
    for media, room in ROOMS:
        shown = ends_that_fit(ends, repeat, pitch, room - 3 * pitch)
        part = Part(place.section, place.strip, about.first, about.last, shown)
        width, height = close_up_size(plan.cloth, plan.settings, part, LINE_PX)
        query = urlencode({"seq": sheet.seq, **asdict(part), "back": int(seen.back), "marks": int(seen.marks)})
        address = f"/pieces/{sheet.id}/close.webp?{query}"
        tucked = (ends - shown) // repeat
        words = f"{count(tucked, 'repeat')} {'lies' if tucked == 1 else 'lie'} in this tuck" if tucked else ""
        found.append(CloseUp(media, address, f"{address}&fine=1", width, height, words))
    return tuple(found)


def _whole(sheet: Sheet, plan: Plan, place: Place, seen: Seen, chosen: Preferences) -> Whole:
    """Return the whole section: in the margin, or as the page's own picture at life size or as large as fits."""
    size = plan.sections[place.section].size
    width, height = size.across.on_loom_mm.value, size.lengths.woven_mm.value
    bare = height <= 0
    height = width * 0.9 if bare else height
    if seen.scale == "life":
        scale = chosen.px_per_mm
    elif seen.scale == "whole" or bare:
        scale = min(700 / width, MOST_WHOLE_PX / height)
    else:
        scale = WHOLE_PX / width
    address = f"/pieces/{sheet.id}/whole.webp"
    query = urlencode(
        {"seq": sheet.seq, "section": place.section, "width": round(width * scale), "back": int(seen.back)}
    )
    return Whole(f"{address}?{query}", max(1, round(width * scale)), max(1, round(height * scale)))


def _choices(sheet: Sheet, plan: Plan, place: Place) -> tuple[Choice, ...]:
    several = len(plan.cloth.sections) > 1
    return tuple(
        Choice(
            f"{section.name}: {strip.name}"
            if several and len(section.strips) > 1
            else section.name
            if several
            else strip.name,
            f"/pieces/{sheet.id}/design?section={at}&strip={number}",
            (at, number) == (place.section, place.strip),
        )
        for at, section in enumerate(plan.cloth.sections)
        for number, strip in enumerate(section.strips)
    )


def _first_line(plan: Plan) -> str:
    keys = [key for key in plan.project.yarns if key != plan.project.warp.yarn] or list(plan.project.yarns)
    ground = plan.project.ground or keys[0]
    other = next((key for key in keys if key != ground), ground)
    return " ".join([other, *[ground] * (len(plan.cloth.technique.sheds) - 1)])


def figures(plan: Plan, at: int) -> tuple[tuple[str, Figure | str], ...]:
    """Return the figures of one section."""
    units, section = units_of(plan), plan.sections[at]
    size = section.size
    rows: list[tuple[str, Figure | str]] = [
        ("Ends", f"{section.ends:,}"),
        ("Lines", f"{section.lines:,}"),
        ("Picks", f"{section.picks:,}"),
        ("In the reed", units.short(size.across.in_reed_mm)),
    ]
    if section.lines:
        rows += [
            ("On the loom", size_figure(units, size.across.on_loom_mm, size.lengths.woven_mm)),
            ("Finished", size_figure(units, size.across.finished_mm, size.lengths.finished_mm)),
            ("One line", line_figure(plan)),
            ("Longest float", f"{max(strip.longest_float_ends for strip in section.strips)} ends"),
            ("Hangs together", "yes" if section.hangs_together else "no"),
            ("Weighs", units.mass(section.mass_g)),
            ("Weaving", hours(plan.time_h)),
        ]
    return tuple(rows)
