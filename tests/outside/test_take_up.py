"""Change of dimension, crimp and take-up as the standards count them, read from plans.

Sources: ISO 5077 and AATCC 135 for change of dimension; ASTM D3883 for crimp, 100 (D - F) / F, and
take-up, 100 (D - F) / D, where F lies in the fabric and D is the same yarn straightened.
"""

from dataclasses import dataclass
from typing import Literal

import pytest

from tests.outside.printed_example import CM, EXACT, METRE, Example, cases

# --- change of dimension -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Change:
    """A dimension before and after, and the change that a standard's formula makes of it."""

    says: str
    before: float
    after: float
    change: float
    by: Literal["relax", "shrink"]


CHANGES = [
    Change("ISO 5077: from 36 to 34 is 5.5556 % less, relaxing", 36, 34, 0.055556, "relax"),
    Change("ISO 5077: from 36 to 34 is 5.5556 % less, washing", 36, 34, 0.055556, "shrink"),
    Change("ISO 5077: from 500 to 485 is 3 % less, relaxing", 500, 485, 0.03, "relax"),
    Change("ISO 5077: from 500 to 485 is 3 % less, washing", 500, 485, 0.03, "shrink"),
]


@pytest.mark.outside
@cases(CHANGES)
def test_dimensions_change_as_by_iso_5077(row: Change) -> None:
    """The change is (after - before) / before, both ways of the cloth (ISO 5077; AATCC 135)."""
    relax, shrink = (row.change, 0.0) if row.by == "relax" else (0.0, row.change)
    size = (
        Example(
            ends=90,
            a_mm=90 / row.before,
            woven_mm=row.before,
            relax_width=relax,
            relax_length=relax,
            shrink_width=shrink,
            shrink_length=shrink,
        )
        .plan()
        .sections[0]
        .size
    )
    assert size.across.finished_mm.value == pytest.approx(row.after, rel=1e-6)
    assert size.lengths.finished_mm.value == pytest.approx(row.after, rel=1e-6)
    assert size.across.on_loom_mm.value == pytest.approx(row.before, rel=EXACT)


# --- crimp and take-up -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Crimp:
    """A length in the cloth and the same yarn straightened: crimp counts from the cloth, take-up from the yarn."""

    in_cloth: float
    straight: float
    crimp: float
    take_up: float

    @property
    def says(self) -> str:
        """The row as a sentence."""
        return f"ASTM D3883: {self.in_cloth:g} in the cloth are {self.straight:g} straightened: crimp {self.crimp:.4%}"


CRIMPS = [
    Crimp(200, 224, 0.12, 0.107143),
    Crimp(8, 8.6, 0.075, 0.069767),
    Crimp(100, 105, 0.05, 0.047619),
    Crimp(250, 300, 0.20, 0.166667),
]
every_crimp = cases(CRIMPS)


@pytest.mark.outside
@every_crimp
def test_warp_take_up_counts_from_the_cloth_as_astm_d3883_counts_crimp(row: Crimp) -> None:
    """L (1 + u): what Weftline calls take-up is what the standard calls crimp."""
    plan = Example(woven_mm=row.in_cloth * CM, warp_take_up=row.crimp).plan()
    assert plan.warp.length_mm.value == pytest.approx(row.straight * CM, rel=EXACT)


@pytest.mark.outside
@every_crimp
def test_weft_take_up_counts_from_the_width_as_astm_d3883_counts_crimp(row: Crimp) -> None:
    plan = Example(ends=48, a_mm=48 / (row.in_cloth * CM), picks=2, weft_take_up=row.crimp).plan()
    assert plan.weft["f"].length_mm.value == pytest.approx(2 * row.straight * CM, rel=EXACT)


@pytest.mark.outside
@every_crimp
def test_take_up_of_the_standard_put_in_its_place_comes_out_short(row: Crimp) -> None:
    """Take-up = crimp / (1 + crimp); L (1 + that) is not enough, L / (1 - that) would be."""
    short = Example(woven_mm=row.in_cloth * CM, warp_take_up=row.take_up).plan().warp.length_mm.value
    assert short < row.straight * CM - 1e-3 * row.in_cloth * CM
    assert row.in_cloth * CM / (1 - row.take_up) == pytest.approx(row.straight * CM, rel=1e-6)


@pytest.mark.outside
def test_twenty_percent_of_take_up_needs_1_20_of_the_length_and_not_1_25() -> None:
    plan = Example(woven_mm=METRE, warp_take_up=0.20).plan()
    assert plan.warp.length_mm.value == pytest.approx(1.20 * METRE, rel=EXACT)
    assert plan.warp.length_mm.value != pytest.approx(1.25 * METRE, rel=0.03)


def test_crimps_of_the_table_keep_the_identity_between_crimp_and_take_up() -> None:
    """The table itself: take-up = crimp / (1 + crimp)."""
    assert [row.crimp / (1 + row.crimp) for row in CRIMPS] == pytest.approx([row.take_up for row in CRIMPS], rel=1e-5)
