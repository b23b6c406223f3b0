"""What makers documented lies in what a weaver of whom nothing is known would have been told; the rest is named."""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from math import exp, sqrt
from pathlib import Path
from typing import Final

import pytest

from weftline.core.geometry.threads import thread_of_numbers
from weftline.core.learning import expected
from weftline.core.learning.belief import NO_SAMPLE
from weftline.core.learning.expected import Measure, drawn_share, lost_share
from weftline.core.learning.facts import ClothFacts, means_of
from weftline.core.learning.predicted import quantity_of
from weftline.core.piece.written import technique_named
from weftline.core.yarn.numbers import yarn_numbers

pytestmark = pytest.mark.outside

TABLE: Final = Path(__file__).parents[2] / "data" / "documented_pieces.csv"

OUTSIDE: Final = {
    ("Flesberg patterns, single", "sett"): "more open than the limit: an old sett kept while the wool grew finer",
    ("no. 9 seine twine rug", "lines"): "4.5 picks an inch only if the list of picks is whole, which its skeins deny",
    ("rya ground, linen on linen", "lines"): "a linen weft, and a ground that carries pile",
    (
        "boundweave sampler rugs in chenille",
        "shrink width",
    ): "cotton chenille, with long floats that she blamed herself",
}
"""What lies outside the interval, and why: a change that loses one more, or silently gains one, fails."""


@dataclass(frozen=True)
class Row:
    """A figure of a documented piece."""

    piece: str
    source: str
    facts: ClothFacts
    figure: str
    woven: float


def rows() -> list[Row]:
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#")]
    return [
        Row(one["piece"], one["source"], facts_of(one), one["figure"], float(one["woven"] or 0))
        for one in csv.DictReader(lines)
        if one["figure"]
    ]


def facts_of(one: dict[str, str]) -> ClothFacts:
    warp, weft = (thread_of_numbers(yarn_numbers(one[name])) for name in ("warp", "weft"))
    sett = float(one["ends_per_inch"]) / 2.54
    return ClothFacts(warp, weft, technique_named(one["weave"]), sett, "firm", loom_kind=one["loom"])


def drawn_and_washed(facts: ClothFacts) -> Measure:
    """Return the root of all that the width lost from the reed to the washed cloth."""
    off, washed = expected.reed_to_off_loom(facts), expected.lost("shrink width", facts)
    whole = sqrt(off.mean**2 + washed.mean)
    return Measure(whole).moved_by(off, off.mean / whole).moved_by(washed, 1 / (2 * whole))


FIGURES: Final[dict[str, tuple[Callable[[ClothFacts], Measure], Callable[[float], float]]]] = {
    "draw-in on the loom": (expected.draw_in, drawn_share),
    "draw-in with relaxing": (expected.reed_to_off_loom, drawn_share),
    "draw-in, relaxed and washed": (drawn_and_washed, drawn_share),
    "relax width": (lambda facts: expected.lost("relax width", facts), lost_share),
    "shrink width": (lambda facts: expected.lost("shrink width", facts), lost_share),
    "shrink length": (lambda facts: expected.lost("shrink length", facts), lost_share),
    "lines": (expected.lines, exp),
}


def told(row: Row) -> tuple[float, float, float]:
    """Return what was woven and the ends of the interval, in one unit."""
    facts = row.facts
    if row.figure == "sett":
        low = quantity_of(NO_SAMPLE, expected.limit("open", facts), exp)
        high = quantity_of(NO_SAMPLE, expected.limit("close", facts), exp)
        return facts.sett_per_cm, low.value, high.value
    if row.figure == "weft g/m2":
        share = means_of(facts).weft_share
        mass = quantity_of(NO_SAMPLE, expected.mass(facts), exp)
        return row.woven, (mass.low or 0) * share, (mass.high or 0) * share
    measure, shown = FIGURES[row.figure]
    found = quantity_of(NO_SAMPLE, measure(facts), shown)
    woven = row.woven / 2.54 if row.figure == "lines" else row.woven
    return woven, found.low or 0.0, found.high or 0.0


def softened(row: Row) -> bool:
    """Tell whether a figure lies inside; a limit of the sett itself is soft, by 15 and 20 % as one standard deviation."""
    woven, low, high = told(row)
    if row.figure == "sett":
        return low * exp(-0.15) <= woven <= high * exp(0.20)
    return low <= woven <= high


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row.piece}: {row.figure}")
def test_what_was_woven_lies_in_the_interval(row: Row) -> None:
    woven, low, high = told(row)
    print(f"{row.piece:36} {row.figure:28} {woven:8.3g} in {low:.3g} to {high:.3g}  {row.source}")
    assert softened(row) is ((row.piece, row.figure) not in OUTSIDE)


def test_every_known_miss_is_still_a_row() -> None:
    assert set(OUTSIDE) <= {(row.piece, row.figure) for row in rows()}


def test_every_piece_of_the_table_says_what_it_is_worth() -> None:
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#")]
    kept = list(csv.DictReader(lines))
    assert len({one["piece"] for one in kept}) >= 45
    assert [one["piece"] for one in kept if not one["figure"] and not one["supposed"]] == []
