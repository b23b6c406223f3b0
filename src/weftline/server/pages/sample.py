"""Sample: what was measured of a piece's cloth, what that makes of its figures, and what to weave next to know more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from weftline.core.plan.foretold import first_facts
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
from weftline.server.pages.whole import Whole, whole
from weftline.sheets.finish import basis_rows

if TYPE_CHECKING:
    from typing import Any

    from weftline.core.learning.facts import ClothFacts
    from weftline.core.plan.foretold import Whatif
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


def sample_view(sheet: Sheet, plans: tuple[Plan, Plan], learned: Learned, other: Whatif) -> SampleView:
    """Return the page; ``plans`` are the piece as it is and as it is foretold."""
    plan, asked = plans
    units, section = units_of(plan), plan.sections[0]
    facts = first_facts(plan, other.beat)
    here = tuple(one for one in learned.samples if _is_of(one, sheet.id, facts))
    sett = plan.settings.sett_per_mm.value * 10 if other.sett_per_cm is None else other.sett_per_cm
    is_asked = other.sett_per_cm is not None or other.strands != 1.0 or other.beat is not None
    return SampleView(
        whole=whole(sheet, plan, (600, 640)),
        asked=_asked(sheet, plan, asked, other) if is_asked and facts is not None else None,
        line_mm=line_figure(plan),
        unit="in" if units.imperial else "mm",
        mass_unit="oz" if units.imperial else "g",
        strip_ends=section.strips[0].ends,
        samples=here,
        others=len(learned.samples) - len(here),
        foretold=None if facts is None else _foretold(plan, facts, learned, other),
        rests=basis_rows(plan, units),
        sett=f"{sett * (2.54 if units.imperial else 1):.3g}",
        strands=f"{other.strands:g}",
        beat=other.beat or "",
        is_asked=is_asked,
    )


def _asked(sheet: Sheet, plan: Plan, asked: Plan, other: Whatif) -> AskedCloth | None:
    """Return the cloth as it is foretold beside the piece's own, both so large that one room holds them."""
    sizes = [
        (one.size.across.on_loom_mm.value, one.size.lengths.woven_mm.value)
        for one in (plan.sections[0], asked.sections[0])
    ]
    if min(tall for _, tall in sizes) <= 0:
        return None
    scale = min(280 / max(wide for wide, _ in sizes), 360 / max(tall for _, tall in sizes))
    (wide, tall), (new_wide, new_tall) = [(max(16, round(w * scale)), max(8, round(t * scale))) for w, t in sizes]
    about = {"sett": other.sett_per_cm or "", "strands": other.strands, "beat": other.beat or "", "px": new_wide}
    if units_of(plan).imperial and other.sett_per_cm:
        about["sett"] = other.sett_per_cm * 2.54
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


def _foretold(plan: Plan, facts: ClothFacts, learned: Learned, other: Whatif) -> Foretold:
    belief = learned.belief
    return Foretold(
        rows=foretold_rows(plan, facts, belief, other),
        bar=line_bar(plan, facts, belief, other),
        warning=warning(plan, facts, belief, other),
        changes=changed(plan, facts, belief, other),
        next=next_sample(plan, facts, belief),
        warp=facts.warp.said,
        weft=facts.weft.said,
    )
