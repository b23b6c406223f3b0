"""Every row of the table of sleys, and the sleying examples that weavers print; sources stand in the rows."""

import csv
import json
from fractions import Fraction
from pathlib import Path
from typing import Final

import pytest

from weftline.core.looms.densities import density_per_cm, length_cm
from weftline.core.looms.reed import CM_PER_INCH
from weftline.core.looms.sleying import Sleying, StripWanted, ends_for_width, sleying
from weftline.formats.numbers_json import sley_data

pytestmark = pytest.mark.outside

DATA: Final = Path(__file__).resolve().parents[2] / "data" / "sley.csv"
with DATA.open(encoding="utf-8", newline="") as lines:
    ROWS: Final = list(csv.DictReader(lines))

REEDS: Final = {
    "120 dents per 15 cm (1 kvarter)": Fraction(120, 15),
    "Stockport 60 (dents of 2 ends in 2 in)": Fraction(60, 2) / CM_PER_INCH,
    "old imported reed no. 40 (counted per 2 inches)": Fraction(40, 2) / CM_PER_INCH,
}
MISPRINTS: Final = {  # eight cells of one chart are off by more than its rounding
    ("10", "2-2-3"): (24.5, 70 / 3), ("16", "2-2-3"): (38, 112 / 3), ("20", "2-3-3"): (54, 160 / 3),
    ("15", "3-3-3-4"): (48, 48.75), ("10", "3-3-4"): (34, 100 / 3), ("16", "3-3-4"): (54, 160 / 3),
    ("8", "3-4-4"): (30, 88 / 3), ("20", "3-4-4"): (74, 220 / 3),
}  # fmt: skip


def per_cm(reed: str) -> Fraction:
    """The reed of a row, as a weaver would type it."""
    typed = reed.replace("dents/in", "/in")
    return REEDS.get(reed) or density_per_cm(typed if "in" in typed else f"{typed}cm", "reed")


def asked(reed: Fraction, ends: int, dents: int) -> Sleying:
    """What we say to the sett that so many ends in so many dents make."""
    return sleying(reed * ends / dents, reed)


def named(row: dict[str, str]) -> str:
    return f"{row['reed_label']} {row['sequence']} [{row['source'][:40]}]".encode("ascii", "replace").decode()


def is_even(order: tuple[int, ...]) -> bool:
    """Whether every stretch of an order, round and round, holds as many ends as any other of its length, give or take one."""
    twice = order * 2
    for length in range(1, len(order)):
        held = [sum(twice[start : start + length]) for start in range(len(order))]
        if max(held) - min(held) > 1:
            return False
    return True


def test_the_table_is_whole() -> None:
    assert len(ROWS) == 198


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_a_row_s_sett_is_sleyed_exactly_and_evenly(row: dict[str, str]) -> None:
    ends, dents = int(row["ends_in_sequence"]), int(row["dents_in_sequence"])
    printed = tuple(map(int, row["sequence"].split("-")))
    assert (sum(printed), len(printed)) == (ends, dents)
    found = asked(per_cm(row["reed_label"]), ends, dents)
    order, ratio = found.sley.order, Fraction(ends, dents)
    assert found.sley.is_exact
    assert found.deviation == 0
    assert (sum(order), len(order)) == (ratio.numerator, ratio.denominator), "the shortest order"
    assert is_even(order)
    assert float(found.actual_per_cm * CM_PER_INCH) == pytest.approx(float(row["epi_exact"]), abs=6e-5)
    assert float(found.actual_per_cm) == pytest.approx(float(row["ends_per_cm_exact"]), abs=6e-5)
    if is_even(printed) and len(order) == dents:
        turned = [printed[at:] + printed[:at] for at in range(dents)]
        assert order in turned, "the same order, begun elsewhere"


@pytest.mark.parametrize("row", [row for row in ROWS if row["epi_published"]], ids=named)
def test_a_printed_sett_is_ours_to_its_rounding_or_a_known_misprint(row: dict[str, str]) -> None:
    found = asked(per_cm(row["reed_label"]), int(row["ends_in_sequence"]), int(row["dents_in_sequence"]))
    ours, printed = float(found.actual_per_cm * CM_PER_INCH), float(row["epi_published"])
    wrong = MISPRINTS.get((row["reed_label"].split()[0], row["sequence"]))
    if wrong is not None and row["kind"] == "imperial chart":
        assert (printed, ours) == pytest.approx(wrong)
    else:
        assert abs(ours - printed) <= 0.5 + 1e-9


@pytest.mark.parametrize("cell", MISPRINTS)
def test_a_misprinted_cell_is_not_what_we_say(cell: tuple[str, str]) -> None:
    reed, order = cell
    printed, right = MISPRINTS[cell]
    numbers = list(map(int, order.split("-")))
    found = asked(density_per_cm(f"{reed}/in", "reed"), sum(numbers), len(numbers))
    ours = float(found.actual_per_cm * CM_PER_INCH)
    assert ours == pytest.approx(right)
    assert abs(ours - printed) > 0.24


@pytest.mark.parametrize("sett, reed, order, source", [
    ("20/in", "12-dent", (2, 2, 1), "one everywhere, a second in two dents of three"),
    ("16/in", "12-dent", (2, 1, 1), "2-1-1"),
    ("16/in", "10-dent", (2, 2, 1, 2, 1), "ten dents printed: the same twice over"),
    ("10/in", "8-dent", (2, 1, 1, 1), "1-1-1-2"),
    ("12.5/in", "10-dent", (2, 1, 1, 1), "1-1-1-2"),
    ("6/in", "8/in", (1, 1, 1, 0), "three in four dents"),
    ("4/in", "8-dent", (1, 0), "every other dent"),
    ("4/in", "12-dent", (1, 0, 0), "slot, skip two places"),
    ("5/in", "10-dent", (1, 0), "every second pair"),
    ("2.5/cm", "25/10cm", (1,), "one in every dent"),
    ("3/cm", "30/10cm", (1,), "one in every dent"),
])  # fmt: skip
def test_a_printed_order_is_ours(sett: str, reed: str, order: tuple[int, ...], source: str) -> None:
    found = sleying(density_per_cm(sett, "sett"), density_per_cm(reed, "reed"))
    assert found.sley.order == order, source
    assert found.deviation == 0


@pytest.mark.parametrize(
    "metric, inch", [(20, 5.08), (25, 6.35), (30, 7.62), (40, 10.16), (45, 11.43), (50, 12.70), (60, 15.24)]
)
def test_a_metric_reed_is_not_the_inch_reed_that_it_is_sold_as(metric: int, inch: float) -> None:
    assert float(density_per_cm(f"{metric}/10cm", "reed") * CM_PER_INCH) == pytest.approx(inch, abs=1e-9)


@pytest.mark.parametrize("width, sett, ends", [
    ("82 cm", "3/cm", 246), ("50 cm", "8/cm", 400), ("21 in", "4/in", 84), ("36 in", "12/in", 432), ("84.8 cm", "2.5/cm", 212),
    ("120 cm", "2/cm", 240), ("80 cm", "2/cm", 160), ("86.8 cm", "2.5/cm", 217), ("22 in", "24/in", 528), ("9 in", "6/in", 54),
    ("9 in", "8/in", 72), ("48 in", "48/in", 2304), ("21 in", "6/in", 126), ("27 in", "8/in", 216), ("90 cm", "2/cm", 180),
])  # fmt: skip
def test_ends_for_a_width_as_weavers_reckon(width: str, sett: str, ends: int) -> None:
    assert ends_for_width(length_cm(width, "width"), density_per_cm(sett, "sett")) == ends


def test_72_ends_are_not_six_an_inch_over_21_inches() -> None:
    """A page prints 72, which is 6 times 12."""
    assert ends_for_width(21 * CM_PER_INCH, 6 / CM_PER_INCH) != 72


def test_pairs_with_a_dent_between_are_eight_an_inch_not_four() -> None:
    """A page calls two ends in a dent, the next one empty, in an 8-dent reed 4 an inch; that counts pairs."""
    reed = density_per_cm("8-dent", "reed")
    assert float(asked(reed, 2, 2).actual_per_cm * CM_PER_INCH) == pytest.approx(8)


@pytest.mark.parametrize("ends, dents", [(888, 30), (250, 30), (84, 12)])
def test_a_warp_of_so_many_ends_fills_so_many_dents(ends: int, dents: int) -> None:
    """At one in a dent: 246 and 4 edge ends over 82 cm of a 30/10 reed (sunnano.se); and by count."""
    reed = Fraction(dents, 10)
    found = sleying(reed, reed, [StripWanted("Warp", ends)])
    assert found.strips[0].dents == ends


def test_the_exact_answer_is_that_of_fractions_for_any_sett() -> None:
    """An independent count: every order of up to 12 dents, by brute force, nearest first."""
    reed = Fraction(8)
    for tenths in range(5, 400, 7):
        wanted = Fraction(tenths, 10)
        found = sleying(wanted, reed)
        ratio = wanted / reed
        exact = [n for n in range(1, 13) if (ratio * n).denominator == 1]
        if exact:
            assert len(found.sley.order) == exact[0]
            assert found.deviation == 0
        else:
            orders = {Fraction(round(ratio * n), n) for n in range(1, 5)} - {Fraction(0)}
            nearest = min((abs(order - ratio) for order in orders), default=ratio)
            assert abs(found.sley.per_dent - ratio) <= nearest


def test_the_answer_in_data_is_not_rounded() -> None:
    found = sley_data(sleying(density_per_cm("6/in", "sett"), density_per_cm("8/in", "reed")))
    assert json.loads(json.dumps(found))["actual_per_inch"] == 6.0
