"""The numbers of a piece: each default says that it is one, each number written says that too."""

from typing import Any

import pytest

from tests.pieces import PLAIN_GROUND, changed, read
from weftline.core.findings import Basis
from weftline.core.piece.settings import DEFAULTS, line_height, settings_of

FIELDS = [
    ("sett_per_mm", 0.24, ("warp", "sett_per_cm"), 3, 0.3),
    ("line_height_mm", 10 / 3.75, ("beat", "lines_per_cm"), 4, 2.5),
    ("draw_in", 0.10, ("allowances", "draw_in"), 0.2, 0.2),
    ("weft_take_up", 0.15, ("allowances", "weft_take_up"), 0.3, 0.3),
    ("warp_take_up", 0.08, ("allowances", "warp_take_up"), 0.01, 0.01),
    ("relax_width", 0.02, ("allowances", "relax_width"), 0.03, 0.03),
    ("relax_length", 0.01, ("allowances", "relax_length"), 0.04, 0.04),
    ("shrink_width", 0.03, ("allowances", "shrink_width"), 0.05, 0.05),
    ("shrink_length", 0.04, ("allowances", "shrink_length"), 0.06, 0.06),
    ("between_pieces_mm", 100, ("allowances", "between_pieces_cm"), 12.5, 125),
    ("sample_mm", 250, ("allowances", "sample_cm"), 30, 300),
    ("tail_mm", 80, ("allowances", "tail_cm"), 5, 50),
    ("heading_mm", 40, ("allowances", "heading_cm"), 3, 30),
    ("fringe_each_end_mm", 150, ("allowances", "fringe_each_end_cm"), 10, 100),
    ("waste_mm", 650, ("loom", "waste_cm"), 75, 750),
    ("float_ends", 7, ("limits", "float_ends"), 9, 9),
    ("float_mm", 30, ("limits", "float_mm"), 40, 40),
    ("picks_per_hour", 120, ("pace", "picks_per_hour"), 200, 200),
]


@pytest.mark.parametrize("name,default,path,written,value", FIELDS, ids=[field[0] for field in FIELDS])
def test_a_number_left_out_is_a_default_and_a_number_written_is_not(
    name: str, default: float, path: tuple[str, str], written: Any, value: float
) -> None:
    without = getattr(settings_of(read(PLAIN_GROUND)), name)
    assert without.value == pytest.approx(default)
    assert without.basis is Basis.DEFAULT
    given = getattr(settings_of(read(changed(PLAIN_GROUND, path, written))), name)
    assert given.value == pytest.approx(value)
    assert given.basis is Basis.LABEL


@pytest.mark.parametrize("name,default,path,written,value", FIELDS, ids=[field[0] for field in FIELDS])
def test_a_number_written_as_null_is_a_default(
    name: str, default: float, path: tuple[str, str], written: Any, value: float
) -> None:
    found = getattr(settings_of(read(changed(PLAIN_GROUND, path, None))), name)
    assert found.basis is Basis.DEFAULT
    assert found.value == pytest.approx(default)


@pytest.mark.parametrize(
    "path", [field[2] for field in FIELDS if field[2][0] == "allowances"], ids=lambda path: path[1]
)
def test_nothing_is_a_number_too(path: tuple[str, str]) -> None:
    settings = settings_of(read(changed(PLAIN_GROUND, path, 0)))
    found = getattr(settings, path[1].replace("_cm", "_mm"))
    assert (found.value, found.basis) == (0, Basis.LABEL)


def test_every_default_stands_for_one_number_of_the_settings() -> None:
    assert {path[1] for _, _, path, _, _ in FIELDS} == set(DEFAULTS)


@pytest.mark.parametrize(
    "lines_per_cm,basis,height,found",
    [
        pytest.param(None, None, 10 / 3.75, Basis.DEFAULT, id="nothing written is a default"),
        pytest.param(None, "measured", 10 / 3.75, Basis.DEFAULT, id="a basis without a number is a default"),
        pytest.param(4, None, 2.5, Basis.LABEL, id="a number without a basis is as written"),
        pytest.param(4, "measured", 2.5, Basis.MEASURED, id="a number measured"),
        pytest.param(4, "computed", 2.5, Basis.COMPUTED, id="a number computed"),
        pytest.param(4, "default", 2.5, Basis.DEFAULT, id="a number said to be a default"),
        pytest.param(4, "label", 2.5, Basis.LABEL, id="a number from a label"),
    ],
)
def test_the_height_of_a_line(lines_per_cm: float | None, basis: str | None, height: float, found: Basis) -> None:
    quantity = line_height(lines_per_cm, basis)
    assert quantity.value == pytest.approx(height)
    assert quantity.basis is found
