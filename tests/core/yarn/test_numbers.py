"""What a label tells beyond its size: readings, question, fibre, remarks, wraps; and labels that tell nothing."""

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weftline.core.findings import Basis
from weftline.core.yarn import YarnSizeError, read_size
from weftline.core.yarn.diameter import contact_diameter_mm, diameter_of, mixed, stuff_of
from weftline.core.yarn.numbers import yarn_numbers
from weftline.core.yarn.wraps import Wraps, split_wraps, wraps_in_inch


def test_an_open_label_is_answered_with_all_readings_and_its_question() -> None:
    found = yarn_numbers("8/2")
    assert found.question is not None
    assert [round(way.tex) for way in found.readings] == [148, 250, 413, 221]
    assert found.tex.value == found.readings[0].tex
    assert all(way.means in found.question for way in found.readings)


def test_the_fibre_settles_an_open_label() -> None:
    assert yarn_numbers("8/2", "cotton").question is None
    assert yarn_numbers("8/2", "linen").tex.value > yarn_numbers("8/2", "cotton").tex.value


@pytest.mark.parametrize("label, fibres, basis", [
    ("NeL 8/5", ("linen",), Basis.COMPUTED), ("8/4 cotton", ("cotton",), Basis.COMPUTED),
    ("Nm 6/2", ("wool",), Basis.DEFAULT), ("500 tex", (), Basis.DEFAULT), ("500 tex wool", ("wool",), Basis.COMPUTED),
    ("8/4", ("cotton",), Basis.DEFAULT), ("3 run", ("wool",), Basis.COMPUTED), ("3000 m/kg", (), Basis.DEFAULT),
])  # fmt: skip
def test_a_fibre_is_said_or_supposed(label: str, fibres: tuple[str, ...], basis: Basis) -> None:
    found = yarn_numbers(label)
    assert (found.fibres, found.diameter.mm.basis) == (fibres, basis)
    assert bool(found.remarks and "fibre" in found.remarks[0]) is (basis is Basis.DEFAULT)


def test_a_length_on_the_label_outweighs_its_count() -> None:
    nominal, labelled = yarn_numbers("8/4 cotton"), yarn_numbers("8/4 cotton, 1600 yd/lb")
    assert labelled.tex.value / nominal.tex.value == pytest.approx(1680 / 1600, rel=1e-9)
    assert any("5 to 17 %" in remark for remark in nominal.remarks)
    assert not labelled.remarks


@given(st.floats(5, 80), st.sampled_from(["8/4 cotton", "Nm 6/2 wool", "NeL 8/5", "500 tex"]))
def test_measured_wraps_pull_the_diameter_towards_them_and_narrow_it(wraps: float, label: str) -> None:
    plain, corrected = yarn_numbers(label).diameter, yarn_numbers(label, wraps_per_inch=wraps).diameter
    said = wraps_in_inch(wraps).diameter_mm
    low, high = sorted((plain.mm.value, said))
    assert low * (1 - 1e-9) <= corrected.mm.value <= high * (1 + 1e-9)
    assert corrected.log_sd < plain.log_sd
    assert corrected.mm.basis is Basis.MEASURED
    assert yarn_numbers(label, wraps_per_inch=wraps).tex == yarn_numbers(label).tex


def test_wraps_of_another_yarn_are_remarked_on() -> None:
    assert not any("one yarn" in remark for remark in yarn_numbers("Nm 6/2 wool", wraps_per_inch=22).remarks)
    assert any("one yarn" in remark for remark in yarn_numbers("Nm 6/2 wool", wraps_per_inch=9).remarks)


def test_wraps_alone_are_a_weak_estimate_and_say_so() -> None:
    found = yarn_numbers("12 wraps per inch", "wool")
    assert (found.tex.high or 0) / (found.tex.low or 1) > 3
    assert "factor of two" in found.remarks[0]
    assert found.readings[0].system is None
    assert found.question is None


def test_wraps_printed_beside_a_size_change_nothing() -> None:
    assert yarn_numbers("Nm 6/2 wool, 14 wpi").diameter == yarn_numbers("Nm 6/2 wool").diameter
    assert read_size("Nm 6/2 wool, 14 wpi").tex == read_size("Nm 6/2 wool").tex


def test_a_size_to_weigh_with_is_no_count_of_wraps() -> None:
    with pytest.raises(YarnSizeError, match="counts wraps, which tell a weight only within a factor of two"):
        read_size("12 wpi")


@pytest.mark.parametrize("text, per_inch", [
    ("12 wpi", 12), ("12wpi", 12), ("14 wraps per inch", 14), ("14 wraps/inch", 14), ("5 wraps per cm", 12.7), ("10 wraps", 10),
    ("12,5 WPI", 12.5), ("1 wrap in an inch", 1),
])  # fmt: skip
def test_wraps_are_read_as_they_are_said(text: str, per_inch: float) -> None:
    rest, wraps = split_wraps(text)
    assert rest.strip() == ""
    assert wraps is not None
    assert wraps.per_inch == pytest.approx(per_inch)


@given(st.lists(st.tuples(st.floats(20, 3000), st.sampled_from(["wool", "cotton", "linen"])), min_size=1, max_size=5))
def test_sections_of_strands_add(parts: list[tuple[float, str]]) -> None:
    threads = [(tex, stuff_of([fibre])) for tex, fibre in parts]
    whole = mixed(threads)
    together = contact_diameter_mm(sum(tex for tex, _ in threads), whole.density_g_cm3, whole.packing)
    apart = math.hypot(*(contact_diameter_mm(tex, one.density_g_cm3, one.packing) for tex, one in threads))
    assert together == pytest.approx(apart, rel=1e-9)


@given(st.floats(1, 5000), st.integers(1, 40))
def test_strands_alike_widen_by_the_root_of_their_number(tex: float, number: int) -> None:
    one, all_of_them = diameter_of(tex, stuff_of(["wool"])), diameter_of(tex * number, stuff_of(["wool"]))
    assert all_of_them.mm.value == pytest.approx(one.mm.value * math.sqrt(number), rel=1e-9)


@pytest.mark.parametrize("label, says", [
    ("", "The size is empty"), ("rug wool", "has no number"), ("100 strands of Nm 6/2", "between 1 and 40"),
    ("0 wpi", "is no yarn; count between"), ("Nm 0/2", "has a 0"), ("x" * 300, "is too long for a label"),
])  # fmt: skip
def test_a_label_that_tells_nothing_gets_one_sentence(label: str, says: str) -> None:
    with pytest.raises(YarnSizeError, match=says) as caught:
        yarn_numbers(label)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("wraps", [0.0, -3.0, float("nan"), float("inf"), 1e9])
def test_wraps_that_nobody_can_count_are_refused(wraps: float) -> None:
    with pytest.raises(YarnSizeError, match=r"is no yarn; count between 0\.5 and 1016"):
        yarn_numbers("8/2 cotton", wraps_per_inch=wraps)


def test_strands_and_fibres_that_are_none_are_refused() -> None:
    with pytest.raises(YarnSizeError, match="0 strands cannot be woven as one; give 1 to 40"):
        yarn_numbers("8/2 cotton", strands=0)
    with pytest.raises(YarnSizeError, match="is no fibre known here; write one of wool"):
        yarn_numbers("8/2", "plastic")
    with pytest.raises(YarnSizeError, match="is no yarn"):
        Wraps(0)


@given(st.text(max_size=60))
def test_any_text_ends_in_numbers_or_one_sentence(text: str) -> None:
    with contextlib.suppress(YarnSizeError):
        found = yarn_numbers(text)
        assert found.tex.value > 0
        assert found.readings[0].tex == found.tex.value
