"""Sample: what was measured of a piece's cloth, what that makes of its figures, and what to weave next to know more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from weftline.server.pages.foretold import (
    Bar,
    ForetoldRow,
    NextSample,
    changed,
    foretold_rows,
    line_bar,
    next_sample,
    warning,
)
from weftline.server.pages.frame import line_figure, units_of
from weftline.server.pages.whole import Whole, at_one_scale, whole
from weftline.sheets.figures import CM_PER_INCH
from weftline.sheets.finish import basis_rows

if TYPE_CHECKING:
    from typing import Any

    from weftline.core.learning.facts import ClothFacts
    from weftline.core.plan.foretold import Foretelling, Whatif
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet
    from weftline.services.learned import KeptSample, Learned
    from weftline.sheets.figures import Figure, Rich


@dataclass(frozen=True, slots=True)
class Foretold:
    """What learning says of the cloth, with what is changed in thought.

    Parameters
    ----------
    rows : tuple of ForetoldRow
    bar : Bar
    changes : tuple of (str, Figure or str, Figure)
        What, as planned, as foretold.
    next : NextSample
    warning : list of words and figures
        A sett that does not suit, or a plan far from what is foretold; nothing where all is well.
    warp, weft : str
        The threads that were reckoned with.
    """

    rows: tuple[ForetoldRow, ...]
    bar: Bar
    changes: tuple[tuple[str, Figure | str, Figure], ...]
    next: NextSample
    warning: Rich
    warp: str
    weft: str


@dataclass(frozen=True, slots=True)
class AskedCloth:
    """Two pictures at one scale: the piece as planned, and as it is foretold with what is asked; px."""

    src: str
    width: int
    height: int
    new_src: str
    new_width: int
    new_height: int


@dataclass(frozen=True, slots=True)
class SampleView:
    """The page.

    Parameters
    ----------
    whole : Whole
    asked : AskedCloth or None
    line_mm : Figure
    unit, mass_unit : str
        Of the form.
    strip_ends : int
    samples : tuple of KeptSample
        Those of this very cloth, or woven from this piece.
    others : int
        How many more lie on the shelf.
    foretold : Foretold or None
        None where the warp's or the weft's size is not known.
    rests : list
        What the piece's own figures rest on.
    sett, strands, beat : str
        What is asked in thought.
    """

    whole: Whole
    asked: AskedCloth | None
    line_mm: Figure
    unit: str
    mass_unit: str
    strip_ends: int
    samples: tuple[KeptSample, ...]
    others: int
    foretold: Foretold | None
    rests: list[dict[str, Any]]
    sett: str
    strands: str
    beat: str
    is_asked: bool


def sample_view(
    sheet: Sheet, plan: Plan, learned: Learned, other: Whatif, foretelling: Foretelling | None
) -> SampleView:
    """Return the page."""
    units, section = units_of(plan), plan.sections[0]
    facts = None if foretelling is None else foretelling.facts
    here = tuple(one for one in learned.samples if _is_of(one, sheet.id, facts))
    sett = plan.settings.sett_per_mm.value * 10 if other.sett_per_cm is None else other.sett_per_cm
    is_asked = foretelling is not None and foretelling.is_asked
    return SampleView(
        whole=whole(sheet, plan, (600, 640)),
        asked=_asked(sheet, foretelling, other) if foretelling is not None and is_asked else None,
        line_mm=line_figure(plan),
        unit="in" if units.imperial else "mm",
        mass_unit="oz" if units.imperial else "g",
        strip_ends=section.strips[0].ends,
        samples=here,
        others=len(learned.samples) - len(here),
        foretold=None if foretelling is None else _foretold(foretelling),
        rests=basis_rows(plan, units),
        sett=f"{sett * (CM_PER_INCH if units.imperial else 1):.3g}",
        strands=f"{other.strands:g}",
        beat=other.beat or "",
        is_asked=is_asked,
    )


def _asked(sheet: Sheet, foretelling: Foretelling, other: Whatif) -> AskedCloth:
    """Return the cloth as it is foretold beside the piece's own, at one scale."""
    size = foretelling.section.size
    own = (size.across.on_loom_mm.value, size.lengths.woven_mm.value)
    asked = (foretelling.width_mm.value, foretelling.length_mm.value)
    (wide, tall), (new_wide, new_tall) = at_one_scale([own, asked], (280.0, 360.0))
    inch = CM_PER_INCH if units_of(foretelling.plan).imperial else 1.0
    sett = "" if other.sett_per_cm is None else other.sett_per_cm * inch
    about = {"sett": sett, "strands": other.strands, "beat": other.beat or "", "px": new_wide}
    return AskedCloth(
        f"/pieces/{sheet.id}/whole.webp?seq={sheet.seq}&section=0&width={wide}",
        wide,
        tall,
        f"/pieces/{sheet.id}/foretold.webp?{urlencode(about)}",
        new_wide,
        new_tall,
    )


def _is_of(one: KeptSample, piece: str, facts: ClothFacts | None) -> bool:
    same = one.sample is not None and facts is not None and one.sample.facts.cloth_key == facts.cloth_key
    return one.piece == piece or same


def _foretold(foretelling: Foretelling) -> Foretold:
    return Foretold(
        rows=foretold_rows(foretelling),
        bar=line_bar(foretelling),
        warning=warning(foretelling),
        changes=changed(foretelling),
        next=next_sample(foretelling),
        warp=foretelling.asked.warp.said,
        weft=foretelling.asked.weft.said,
    )
