"""Slips: named where equals speak for them, never flattened, never claimed where nothing speaks for them.

By default 150 random pieces with one pick in a hundred wrong; with ``WEFTLINE_FULL`` set, 1,500.
"""

import os
import random
from collections import Counter
from collections.abc import Callable

from tests.core.weaving.patterned import once_piece, patterned_piece, spoilt, twice_piece
from tests.pieces import Piece
from weftline.core.piece.values import Band
from weftline.core.weaving.bands import FoundBands, find_bands
from weftline.core.weaving.lines import LineKind, WovenLine, whole_kind
from weftline.core.weaving.motifs import written_out

COUNT = 1500 if "WEFTLINE_FULL" in os.environ else 150
KIND = LineKind(((1,), (2,), (3,)), 3.75)


def lines(*texts: str) -> list[WovenLine]:
    return [WovenLine(tuple(text.split()), KIND) for text in texts]


def told(found: FoundBands) -> list[tuple[tuple[str, ...], int, str]]:
    return [(band.lines, band.times, band.mirror) for band in found.meant]


UNIT = ("o o s", "o s s", "m s s", "m m s", "m m o", "s m o")


def test_a_wrong_pick_in_a_repeat_is_named_with_the_equals_that_speak_for_it() -> None:
    woven = lines(*UNIT * 4)
    woven[8] = lines("m o s")[0]
    found = find_bands(woven, KIND)
    assert [(slip.line, slip.shed, slip.thrown, slip.meant, slip.agreeing) for slip in found.slips] == [
        (8, 1, "o", "s", 3)
    ]
    assert told(found) == [(UNIT, 4, "none")]
    assert sum(len(band.lines) for band in found.bands) > len(UNIT)  # as woven, the slip is in it


def test_of_two_that_a_mirror_makes_equal_either_may_be_the_slip() -> None:
    half = ("o o s", "b s s", "m s b", "b m s", "m b o", "s m o", "g m b", "g g o")
    woven = lines(*half, *half[-2::-1])
    woven[12] = lines("m s g")[0]
    found = find_bands(woven, KIND)
    assert [(slip.line, slip.shed, slip.agreeing, slip.other) for slip in found.slips] == [(12, 2, 1, (2, 2))]


def test_where_nothing_repeats_nothing_is_claimed() -> None:
    rng = random.Random(4)
    for yarns in ("osmbg", "os"):
        woven = [WovenLine(tuple(rng.choice(yarns) for _ in range(3)), KIND) for _ in range(400)]
        claimed = len(find_bands(woven, KIND).slips)
        print(f"random picks of {len(yarns)} yarns: {claimed} slips claimed in 1,200 picks")
        assert claimed <= 2


def test_a_dotted_line_is_no_slip() -> None:
    assert find_bands(lines("o o o", "o o o", "o s o", "o o o", "o o o"), KIND).slips == ()


def shape_of(band: Band) -> tuple[int, str, str, str | None, int]:
    """Return how a band is built, whatever its yarns."""
    return len(written_out(band)), band.mirror, band.middle, band.joint, band.times


def counted(piece_of: Callable[[random.Random], Piece], pieces: int) -> Counter[str]:
    """Weave pieces with wrong picks and count what is said of them."""
    seen: Counter[str] = Counter()
    for seed in range(pieces):
        rng = random.Random(seed)
        case = spoilt(piece_of(rng), rng)
        whole = whole_kind(case.cloth)
        found, clean = find_bands(case.woven, whole), find_bands(case.clean, whole)
        named = {(slip.line, slip.shed): slip for slip in found.slips}
        paired = {slip.other for slip in found.slips} | named.keys()
        for place, meant in case.wrong.items():
            equals = case.equals[place]
            right = place in named and named[place].meant == meant
            kind = "no equal" if not equals else "one equal" if equals == 1 else "more equals"
            kind += ", in a run" if place in case.in_run_only and equals else ""
            kind += ", in an outermost line" if equals == 1 and place in case.outermost else ""
            seen[kind] += 1
            seen[f"{kind}: named"] += (place in paired) if equals < 2 else right
        wrongly = [slip for place, slip in named.items() if {place, slip.other}.isdisjoint(case.wrong)]
        seen["claimed of right picks"] += len(wrongly)
        seen["claimed of cloth without wrong picks"] += len(clean.slips)
        seen["picks"] += len(case.equals)
        meant_bands = [band.model_dump(exclude_unset=True, exclude={"name"}) for band in found.meant]
        meant_shapes = [shape_of(band) for band in found.meant]
        for band in clean.bands:
            if band.mirror != "none" or band.times > 1:
                seen["bands that repeat or mirror"] += 1
                again = band.model_dump(exclude_unset=True, exclude={"name"})
                seen["bands that repeat or mirror: found"] += again in meant_bands
                seen["bands that repeat or mirror: found, but for a yarn"] += shape_of(band) in meant_shapes
    print(f"{pieces} pieces")
    for what in sorted(seen):
        print(f"  {what}: {seen[what]:,}")
    return seen


def test_of_wrong_picks_with_equals_nearly_all_are_named_and_the_bands_still_found() -> None:
    seen = counted(patterned_piece, COUNT)
    many, runs = seen["more equals"], seen["more equals, in a run"]
    assert many > 3 * COUNT
    assert seen["more equals: named"] >= 0.95 * many
    assert seen["more equals: named"] + seen["more equals, in a run: named"] >= 0.95 * (many + runs)
    assert seen["bands that repeat or mirror: found"] >= 0.9 * seen["bands that repeat or mirror"]
    assert seen["claimed of right picks"] < 0.001 * seen["picks"]


def test_of_wrong_picks_with_one_equal_the_pair_is_named() -> None:
    seen = counted(twice_piece, COUNT)
    inner, outer = seen["one equal"], seen["one equal, in an outermost line"]
    assert inner > COUNT
    assert seen["one equal: named"] >= 0.95 * inner
    assert seen["one equal: named"] + seen["one equal, in an outermost line: named"] >= 0.95 * (inner + outer)
    assert seen["claimed of right picks"] < 0.001 * seen["picks"]


def test_of_wrong_picks_without_an_equal_next_to_nothing_is_claimed() -> None:
    """Two or three yarns in lines that grow by a pick mirror by chance now and then; that is all that may be claimed."""
    seen = counted(once_piece, COUNT)
    assert seen["no equal"] > COUNT
    assert seen["no equal: named"] <= 0.02 * seen["no equal"]
