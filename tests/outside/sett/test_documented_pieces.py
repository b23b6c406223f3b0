"""Pieces that weavers documented, beside what we would have told them: setts, lines and weft.

Where a page gives no grist it is supposed, and says so; such a row is no test, only a comparison. The misses are
listed by name: a change that loses one more, or silently gains one, fails here. Run with ``-s`` to see the table.
"""

from dataclasses import dataclass
from typing import Final

import pytest

from weftline.core.geometry.sett import WIDEST, SettAdvice, sett_advice
from weftline.core.geometry.threads import thread_of_numbers
from weftline.core.piece.written import technique_named
from weftline.core.yarn.numbers import yarn_numbers

pytestmark = pytest.mark.outside

PLAIN: Final = "weft-faced plain weave"


@dataclass(frozen=True)
class Woven:
    """What a page says: yarns as labels, ends per inch, picks per inch, weft in kg/m2, and the weaver's word."""

    name: str
    source: str
    warp: str
    weft: str
    per_inch: float
    weave: str = PLAIN
    picks_per_inch: float | None = None
    weft_kg_m2: float | None = None
    beat: str = "firm"
    supposed: str = ""
    word: str = "woven"


PIECES: Final = (
    Woven("rug of two-ply bulky wool", "trantor.is Project013", "8/4 cotton 1600 yd/lb", "260 yd/lb wool", 4,
          picks_per_inch=21, weft_kg_m2=2.0, supposed="helped to set the model"),
    Woven("half a pound a square foot", "a rug handbook's rule", "NeC 12/9", "2000 tex wool", 4, weft_kg_m2=2.44, beat="hard",
          supposed="2,000 tex, a hard beat; helped to set the model"),
    Woven("rug, axminster wool twice", "hamblecampbell.blogspot.com 2008-09", "1550 tex linen", "2066 tex wool", 3.9,
          picks_per_inch=32, supposed="grist and weave"),
    Woven("krokbragd coasters", "[S1]", "NeC 8/5 cotton", "332 tex wool", 7.5, weave="krokbragd", supposed="weft of 332 tex"),
    Woven("Flesberg, re-sleyed", "[S12]", "8/4 cotton 1600 yd/lb", "Nm 6/2 wool", 10, weave="krokbragd",
          supposed="two-ply of 333 tex", word="good"),
    Woven("Flesberg, first sett", "[S12]", "8/4 cotton 1600 yd/lb", "Nm 6/2 wool", 8, weave="krokbragd",
          supposed="two-ply of 333 tex", word="too drapey"),
    Woven("Flesberg patterns, single", "[S13]", "12/6 cotton 2800 m/kg", "Nm 6/2 wool", 6, weave="krokbragd",
          supposed="two-ply of 333 tex, single"),
    Woven("Flesberg patterns, doubled", "[S13]", "12/6 cotton 2800 m/kg", "2 strands of Nm 6/2 wool", 6, weave="krokbragd",
          supposed="two-ply of 333 tex, doubled"),
    Woven("tapestry in worsted weight", "rebeccamezoff.com 2018-03-28", "12/6 cotton 2800 m/kg", "900 yd/lb wool", 6,
          word="very loose"),
    Woven("a weft seller's page", "kennitatully.com weft yarns", "12/6 cotton 2800 m/kg", "653 tex wool", 8,
          supposed="warp 12/6", word="good"),
    Woven("striped two-shaft rug", "[S17]", "NeL 8/5", "350 tex wool", 10, supposed="weft of 350 tex"),
    Woven("striped two-shaft rug, coarser", "[S17]", "NeL 8/5", "500 tex wool", 10, supposed="weft of 500 tex"),
    Woven("rya ground, linen on linen", "Finnish pattern [N2]", "NeL 8/2 linen 2400 m/kg", "2 strands of NeL 16/2", 10.16,
          picks_per_inch=30.48),
    Woven("Kit rug", "knitbot.org 2022", "1000 tex wool", "2000 tex wool", 4, weave="krokbragd", supposed="both grists"),
    Woven("class rug on doubled linen", "jennybellairs.blogspot.com", "2 strands of NeL 8/5", "2000 tex wool", 3,
          supposed="weft of 2,000 tex"),
    Woven("rya ground on 8/4 linen", "[N7]", "NeL 8/4", "500 tex wool", 6, supposed="worsted weight of 500 tex"),
    Woven("large tapestry, five strands", "[N14]", "NeC 12/15", "3 strands of Nm 6/2 wool + 2 strands of worsted 2/12", 6,
          supposed="both grists"),
    Woven("krokbragd in rya yarn", "[N9]", "3 strands of NeL 8/2", "2 strands of 500 tex wool", 4.5, weave="krokbragd",
          supposed="both grists"),
    Woven("no. 9 seine twine rug", "[N1]", "NeC 12/9", "2000 tex wool", 4, supposed="weft of 2,000 tex"),
)  # fmt: skip

MISSES: Final = {
    "Flesberg patterns, single": "woven more open than the range: an old sett kept while the wool grew finer, or our limit is high",
    "Flesberg patterns, doubled": "out by 3 %",
    "striped two-shaft rug, coarser": "out by 6 % if its singles were as coarse as 500 tex; in range at 350",
}
LINE_MISSES: Final = {
    "rya ground, linen on linen": "a linen weft, and a ground that carries pile: the model speaks of wool that covers",
}
CALLED_OPEN: Final = {
    "Flesberg, first sett": "too drapey to her, an open soft hand to us",
    "tapestry in worsted weight": "very loose to her, inside our range",
}


def advice(piece: Woven) -> SettAdvice:
    return sett_advice(
        thread_of_numbers(yarn_numbers(piece.warp)),
        thread_of_numbers(yarn_numbers(piece.weft)),
        technique_named(piece.weave),
        piece.beat,
        piece.per_inch / 2.54,
    )


def passes(piece: Woven) -> int:
    return 3 if piece.weave == "krokbragd" else 2


def found(piece: Woven) -> str:
    """In the range, or how far out."""
    told, sett = advice(piece), piece.per_inch / 2.54
    if sett < told.low.value:
        return f"{sett / told.low.value - 1:+.0%}"
    return f"{sett / told.high.value - 1:+.0%}" if sett > told.high.value else "in"


def test_the_table_of_documented_pieces() -> None:
    print(
        f"\n{'piece':32} {'woven':>6} {'range':>11} {'best':>5} {'verdict':8} {'said':11} {'':6} lines woven / told; supposed"
    )
    for piece in PIECES:
        told = advice(piece)
        low, high, lines = told.low.value, told.high.value, told.lines_per_cm
        count = "" if piece.picks_per_inch is None else f"{piece.picks_per_inch / passes(piece) / 2.54:.1f} / "
        print(
            f"{piece.name:32} {piece.per_inch / 2.54:6.2f} {low:5.2f}-{high:5.2f} {told.best.value:5.2f} {told.verdict:8} "
            f"{piece.word:11} {found(piece):6} {count}{lines.low or 0:.1f}-{lines.high or 0:.1f}; {piece.supposed}"
        )
    out = {piece.name for piece in PIECES if found(piece) != "in"}
    assert out == set(MISSES)


@pytest.mark.parametrize("piece", [one for one in PIECES if one.name not in MISSES], ids=lambda one: one.name)
def test_what_was_woven_lies_in_the_range(piece: Woven) -> None:
    told = advice(piece)
    assert told.low.value <= piece.per_inch / 2.54 <= told.high.value, piece.source


@pytest.mark.parametrize("piece", [one for one in PIECES if one.name in MISSES], ids=lambda one: one.name)
def test_a_miss_lies_within_the_softness_of_the_limit(piece: Woven) -> None:
    """The limits are soft by 15 and 20 %, a quarter and a third nine times in ten; no further out do the misses lie."""
    told = advice(piece)
    assert told.verdict in ("limp", "shows")
    assert (told.low.low or 0) <= piece.per_inch / 2.54 <= (told.high.high or 0), MISSES[piece.name]


@pytest.mark.parametrize("name", CALLED_OPEN)
def test_what_weavers_called_too_loose_is_called_open_at_least(name: str) -> None:
    piece = next(one for one in PIECES if one.name == name)
    assert advice(piece).verdict in ("open", "limp"), CALLED_OPEN[name]


def test_the_re_sleyed_piece_is_better_by_our_word_too() -> None:
    first, second = (
        next(one for one in PIECES if one.name == name) for name in ("Flesberg, first sett", "Flesberg, re-sleyed")
    )
    assert (advice(first).verdict, advice(second).verdict) == ("open", "good")


@pytest.mark.parametrize("piece", [one for one in PIECES if one.picks_per_inch], ids=lambda one: one.name)
def test_the_lines_that_were_counted_lie_in_the_interval(piece: Woven) -> None:
    lines = advice(piece).lines_per_cm
    woven = (piece.picks_per_inch or 0) / passes(piece) / 2.54
    inside = (lines.low or 0) <= woven <= (lines.high or 0)
    assert inside is (piece.name not in LINE_MISSES), piece.source


@pytest.mark.parametrize("piece", [one for one in PIECES if one.weft_kg_m2], ids=lambda one: one.name)
def test_the_weft_that_was_weighed_lies_within_the_same_factor(piece: Woven) -> None:
    told = advice(piece)
    lines, mean = told.lines_per_cm, told.cloth.weft_g_m2 / 1000
    low, high = (mean * (end or 0) / lines.value for end in (lines.low, lines.high))
    assert low <= (piece.weft_kg_m2 or 0) <= high, piece.source


@pytest.mark.parametrize("piece", PIECES, ids=lambda one: one.name)
def test_no_interval_is_wider_than_it_may_be(piece: Woven) -> None:
    lines = advice(piece).lines_per_cm
    assert (lines.high or 0) / (lines.low or 1) <= WIDEST + 1e-9


def test_36_picks_an_inch_of_krokbragd_ask_for_a_believable_wool() -> None:
    """wildgingerhandweaving.blogspot.com 2021-04: 3-ply rug wool, about 36 picks an inch; 470 to 2,800 tex would do."""
    warp = thread_of_numbers(yarn_numbers("NeC 12/6"))
    fits = []
    for tex in range(100, 6000, 50):
        told = sett_advice(
            warp, thread_of_numbers(yarn_numbers(f"{tex} tex wool")), technique_named("krokbragd"), "firm", 2.4
        )
        if (told.lines_per_cm.low or 0) <= 12 / 2.54 <= (told.lines_per_cm.high or 0):
            fits.append(tex)
    assert 400 <= fits[0] <= 600
    assert 2400 <= fits[-1] <= 3200


@pytest.mark.parametrize("tex, per_cm", [(200, 9.0), (1500, 3.3)])
def test_the_creuse_warps_keep_one_proportion_of_diameter_to_pitch(tex: float, per_cm: float) -> None:
    """craeft.eu course 115: warps of 200 to 1,500 tex at 9.0 to 3.3 ends per cm; ends and gaps about alike."""
    mm = yarn_numbers(f"{tex} tex cotton").diameter.mm.value
    assert 0.44 <= per_cm * mm / 10 <= 0.49
