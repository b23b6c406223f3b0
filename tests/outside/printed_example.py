"""Examples that weavers and yarn merchants have printed, each written as a small project of Weftline.

An example is a piece of weft-faced plain weave whose allowances are the printed ones; everything that
the page does not mention is nothing. Inches and yards are exact (25.4 mm, 0.9144 m), a pound is
453.59237 g.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final, Protocol

import pytest

import weftline

INCH: Final = 25.4
YARD: Final = 914.4
POUND_G: Final = 453.59237
CM: Final = 10.0
METRE: Final = 1000.0

EXACT: Final = 1e-9

SOURCES: Final = {
    "T1": "Beräkning av varplängder, sunnano.se/gunilla/varplangd.htm",
    "T2": "allfiberarts.com/tag/calculate-yarn",
    "T3": "allfiberarts.com/tag/calculate-yarn",
    "T4": "creative-threads.co.uk/calculating-warp-yarn-quantity",
    "T5": "creative-threads.co.uk/calculating-warp-yarn-quantity",
    "T7": "trantor.is/content/EjfeRXeZXHjFs40m/Project013.html",
    "T8": "ravelry.com/projects/ZaldoGrace/lily-17-art-inspiration-cotton-rug",
    "T9": "sewmanypins.com/to-yarn/how-much-yarn-do-you-need-to-weave-a-rug.html",
    "T11": "madcitymike.blogspot.com/2011/09",
    "T13": "mallikerta.fi/colourful-checks",
    "T14": "mallikerta.fi/helppoja-varjaysraitoja-kaulaliinoihin-malli-en-10-5",
    "T15": "mallikerta.fi/poppana-placemats-are-suitable-for-summer-setting",
    "W1": "creative-threads.co.uk/calculating-weft-yarn-quantity",
    "W3": "jeanweaves.com/2014/01/07/two-trains-left-the-station-traveling-in-opposite-directions",
    "W13": "measuredthreads.com/category/towels/page/3",
    "W14": "weavingfromparadise.guildford.nz/2024/05/11/warp-46-design-and-planning",
    "W19": "tygartlakefiberarts.com/wp/?page_id=79",
    "W20": "alpacas-4-sale.com/html/page-1548.html",
    "W24": "mallikerta.fi/denim-rag-rug-with-an-easy-basic-structure",
    "W26": "abcdocz.com/doc/3794873 (ruusukasmaton työohje)",
    "W27": "villannekutookangaspuilla.blogspot.com/2021/01/kudonnan-aika_3.html",
    "W28": "yorksett.blogspot.com/2009/04/pendelton-selvage-rug-and-mystery-yarn.html",
    "W29": "pegotty.blogspot.com/2009/12/rag-rug.html",
    "W32": "crochetaustralia.com.au/how-much-yarn-do-i-have-left",
    "N74": "bastelfrau.de/die-kette-berechnung",
    "ISO 5077": "change of dimension = 100 (after - before) / before; AATCC 135 has the same",
    "ASTM D3883": "crimp = 100 (D - F) / F, take-up = 100 (D - F) / D: F in the fabric, D straightened",
}


class Row(Protocol):
    """A row of a table says in a sentence what it checks, after the number of its source."""

    @property
    def says(self) -> str:
        """The sentence."""


def cases(rows: Iterable[Row]) -> pytest.MarkDecorator:
    """One test for every row; a row without a source is none."""
    listed = list(rows)
    assert all(row.says.partition(":")[0] in SOURCES for row in listed)
    return pytest.mark.parametrize("row", [pytest.param(row, id=row.says) for row in listed])


@dataclass(frozen=True, kw_only=True)
class Example:
    """What a page gives; lengths in mm, shares as parts of one, the rest is nothing."""

    ends: int = 40
    a_mm: float = 0.4  # ends a millimetre in the reed
    edge_a_side: int = 0
    woven_mm: float = 100.0
    picks: int = 0
    pieces: int = 1
    warp_take_up: float = 0.0
    weft_take_up: float = 0.0
    draw_in: float = 0.0
    relax_width: float = 0.0
    relax_length: float = 0.0
    shrink_width: float = 0.0
    shrink_length: float = 0.0
    between_mm: float = 0.0
    heading_mm: float = 0.0
    fringe_mm: float = 0.0
    sample_mm: float = 0.0
    waste_mm: float = 0.0
    warp_m_per_kg: float = 3000.0
    weft_m_per_kg: float = 3000.0
    weft_on_hand_g: float = 0.0

    def written(self) -> dict[str, Any]:
        """The example as a project file."""
        lines = self.picks // 2 or max(1, round(self.woven_mm / 10))
        edge = {"kind": "doubled", "ends": self.edge_a_side} if self.edge_a_side else "none"
        bands = [{"lines": [f"f f *{lines}"]}]
        return {
            "weftline": 1,
            "weave": {"technique": "weft-faced plain weave"},
            "yarns": {
                "w": {"m_per_kg": self.warp_m_per_kg},
                "f": {"m_per_kg": self.weft_m_per_kg, "on_hand_g": self.weft_on_hand_g},
            },
            "warp": {"yarn": "w", "sett_per_cm": self.a_mm * 10, "edge": edge},
            "beat": {"lines_per_cm": lines / (self.woven_mm / 10)},
            "loom": {"waste_cm": self.waste_mm / 10},
            "allowances": {
                "draw_in": self.draw_in,
                "weft_take_up": self.weft_take_up,
                "warp_take_up": self.warp_take_up,
                "relax_width": self.relax_width,
                "relax_length": self.relax_length,
                "shrink_width": self.shrink_width,
                "shrink_length": self.shrink_length,
                "between_pieces_cm": self.between_mm / 10,
                "sample_cm": self.sample_mm / 10,
                "tail_cm": 0,
                "heading_cm": self.heading_mm / 10,
                "fringe_each_end_cm": self.fringe_mm / 10,
            },
            "sections": [{"pieces": self.pieces, "strips": [{"ends": self.ends, "bands": bands}]}],
        }

    def plan(self) -> weftline.Plan:
        """The example planned."""
        return plan_of(self.written())


def plan_of(written: dict[str, Any]) -> weftline.Plan:
    return weftline.plan(weftline.loads(json.dumps(written)))


def width_in_reed(plan: weftline.Plan) -> float:
    return plan.sections[0].size.across.in_reed_mm.value
