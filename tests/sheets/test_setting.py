"""How the pages are set: what keeps together, what is set lower or wider, and figures in the units of the page."""

from __future__ import annotations

import re

import pytest

from tests.pieces import one_strip, own_technique
from tests.sheets.documents import DEMO_YARNS, made


def narrow(units: str) -> list[str]:
    """The findings of a piece with long floats, little yarn and a narrow loom, as they are printed."""
    piece = {
        **one_strip({"name": "3 mm; 80 g here.", "lines": ["o o o", "s o o", "o o o"], "times": 40}, ends=121),
        "yarns": {
            "o": {"name": "Wool, 9 g needed", "size": "Nm 6/2", "strands": 3, "on_hand_g": 7},
            "s": {"name": "Silk", "size": "Nm 6/2", "strands": 3, "on_hand_g": 1, "pack": {"mass_g": 50}},
        },
        "loom": {"weaving_width_cm": 40},
        "weave": own_technique(3, [1, 2] + [3] * 15, [[1, 2], [1, 3], [2, 3]]),
    }
    return [f"{one['message']} {one['remedy']}" for one in made(piece, units=units).data["cover"]["findings"]]


def test_findings_are_in_the_units_of_the_page() -> None:
    metric, imperial = narrow("metric"), narrow("imperial")
    ours = [re.sub(r"Wool, 9 g needed:?", "", one) for one in imperial]
    assert not [one for one in ours if re.search(r"\d (?:mm|cm|g)\b", one)]
    for words in (
        "float over the limit of",
        "g needed, 7 g here. Get",
        "needed, 1 g here. Buy",
        "cm wider in the reed",
    ):
        assert any(words in one for one in metric), words
    inches = [float(one) for one in re.findall(r"([\d.]+) in\b", " ".join(ours))]
    said_mm = [float(one) for one in re.findall(r"([\d.]+) mm\b", " ".join(metric))]
    said_cm = [float(one) for one in re.findall(r"([\d.]+) cm\b", " ".join(metric))]
    assert sorted(inches) == pytest.approx(
        sorted([one / 25.4 for one in said_mm] + [one / 2.54 for one in said_cm]), abs=0.06
    )
    grams = [float(one) for one in re.findall(r"([\d.]+) g\b", re.sub("Wool, 9 g", "", " ".join(metric)))]
    ounces = [float(one) for one in re.findall(r"([\d.]+) oz\b", " ".join(ours))]
    assert ounces == pytest.approx([one / 28.35 for one in grams], abs=0.07)


def test_numbers_take_the_room_that_the_picks_leave() -> None:
    lines = ["o o s *3", "s o o *2"]
    section = made({**one_strip({"lines": lines}, {"lines": lines, "times": 30}), "yarns": DEMO_YARNS}).data[
        "sections"
    ][0]
    bands = section["steps"]["bands"]
    assert len({band["number_mm"] for band in bands}) == 1
    assert 34.0 <= bands[0]["number_mm"] <= 40.5
    four = own_technique(4, [1, 2, 3, 4, 3, 2], [[1], [2], [3], [4]])
    dense = made({**one_strip({"lines": ["o o s s *3"]}), "yarns": DEMO_YARNS, "weave": four}).data["sections"][0]
    assert dense["steps"]["bands"][0]["number_mm"] < 34.0


def test_a_chart_is_set_lower_where_that_saves_a_page() -> None:
    lines = [f"{a} {b} {c}" for a in ("o", "s", "o+s", "s+s") for b in "os" for c in "os"]
    bands = [{"name": f"Band {place}", "lines": lines} for place in range(6)]
    low = made({**one_strip(*bands), "yarns": DEMO_YARNS}, paper="letter").data["sections"][0]["charts"][0]
    high = made({**one_strip(*bands[:4]), "yarns": DEMO_YARNS}, paper="letter").data["sections"][0]["charts"][0]
    assert (high["line_mm"], len(high["pages"])) == (4.6, 1)
    assert low["line_mm"] < 4.6
    assert len(low["pages"]) == 1


@pytest.mark.parametrize("rows, stays", [(2, True), (8, False)])
def test_only_a_low_last_band_stays_with_the_one_before(rows: int, stays: bool) -> None:
    lines = [f"{a} {b} {c}" for a in "os" for b in "os" for c in "os"][:rows]
    piece = {**one_strip({"name": "First", "lines": lines[:2]}, {"name": "Last", "lines": lines}), "yarns": DEMO_YARNS}
    first, last = made(piece).data["sections"][0]["steps"]["bands"]
    assert (first["with_next"], last["whole"]) == (stays, True)


def test_lines_that_come_again_are_named_for_the_pages_that_they_go_on_to() -> None:
    lines = ["o o s", "s o o", "s s o", "o s s"]
    bands = made({**one_strip({"lines": lines, "times": 5}), "yarns": DEMO_YARNS}).data["sections"][0]["steps"]["bands"]
    assert bands[0]["parts"][0]["repeat"]["still"] == "lines 1–4, five times in all"
