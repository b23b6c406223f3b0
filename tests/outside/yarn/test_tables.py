"""Every row of the two tables of yarn numbers; each row carries its own source, printed with a failure."""

import csv
from fractions import Fraction
from pathlib import Path
from typing import Final

import pytest

from weftline.core.yarn import SYSTEMS, m_per_kg, read_size, tex_from_m_per_kg

pytestmark = pytest.mark.outside

DATA: Final = Path(__file__).resolve().parents[2] / "data"
SIX_DIGITS: Final = 6e-6


def table(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def named(row: dict[str, str]) -> str:
    return f"{row.get('label') or row['id']} [{row['source']}; {row['status']}]".encode("ascii", "replace").decode()


SYSTEM_ROWS: Final = table("yarn_systems.csv")
COUNT_ROWS: Final = table("yarn_counts.csv")
COLUMNS: Final = {
    "Nm": "Nm",
    "Ne_cotton": "Ne",
    "Nw_worsted": "Nw",
    "NeL_lea": "lea",
    "run": "run",
    "denier": "den",
    "yd_per_lb": "ypp",
}


def test_the_tables_are_whole_and_hold_every_system_of_ours() -> None:
    assert len(COUNT_ROWS) == 59
    assert {row["id"] for row in SYSTEM_ROWS} == set(SYSTEMS)


@pytest.mark.parametrize("row", SYSTEM_ROWS, ids=named)
def test_a_system_has_the_published_constant(row: dict[str, str]) -> None:
    system = SYSTEMS[row["id"]]
    assert system.kind == row["kind"]
    assert float(system.constant) == pytest.approx(float(row["tex_constant_exact"]), rel=1e-8)
    assert float(system.constant) == pytest.approx(float(row["tex_constant_6sig"]), rel=SIX_DIGITS)


@pytest.mark.parametrize("row", COUNT_ROWS, ids=named)
def test_a_label_reads_as_published(row: dict[str, str]) -> None:
    size = read_size(row["label"])
    assert size.question is None
    assert size.tex == pytest.approx(float(row["tex_resultant"]), rel=SIX_DIGITS)


@pytest.mark.parametrize("row", COUNT_ROWS, ids=named)
def test_the_singles_fold_to_the_published_size(row: dict[str, str]) -> None:
    system = SYSTEMS[row["system"]]
    parts = [part.split("x") for part in row["singles"].split("+")]
    tex = sum(int(ply) * system.tex_from(Fraction(count)) for ply, count in parts)
    assert tex == pytest.approx(float(row["tex_resultant"]), rel=SIX_DIGITS)


@pytest.mark.parametrize("row", COUNT_ROWS, ids=named)
def test_a_size_converts_to_every_other_system(row: dict[str, str]) -> None:
    tex = read_size(row["label"]).likeliest.tex
    found = {column: SYSTEMS[system].number_from(tex) for column, system in COLUMNS.items()}
    found["m_per_kg"] = m_per_kg(tex)
    assert found == pytest.approx({column: float(row[column]) for column in found}, rel=SIX_DIGITS)
    assert tex_from_m_per_kg(float(row["m_per_kg"])) == pytest.approx(tex, rel=SIX_DIGITS)
