"""Techniques: threadings, sheds, and the names that find them."""

import pytest

from weftline.core.weave.technique import (
    MAX_SHAFTS,
    TECHNIQUES,
    UNCONFIRMED,
    Technique,
    find_technique,
    is_unconfirmed,
    mask_shafts,
    shed_mask,
)


@pytest.mark.parametrize(
    "name,threading,sheds",
    [
        pytest.param("krokbragd", (1, 2, 3, 2), ((1,), (2,), (3,)), id="krokbragd is a three-shaft point"),
        pytest.param(
            "boundweave",
            (1, 2, 3, 4, 3, 2),
            ((1,), (2,), (3,), (4,)),
            id="boundweave is a four-shaft point, one shaft covered at a time",
        ),
        pytest.param(
            "boundweave on opposites",
            (1, 2, 3, 4, 3, 2),
            ((1, 2), (3, 4), (2, 3), (1, 4)),
            id="on opposites each shed is followed by its opposite",
        ),
        pytest.param(
            "two against two",
            (1, 2, 3, 4, 3, 2),
            ((1, 2), (2, 3), (3, 4), (1, 4)),
            id="two against two walks round the shafts",
        ),
        pytest.param("weft-faced plain weave", (1, 2), ((1,), (2,)), id="plain weave has two of each"),
    ],
)
def test_each_trade_name_stands_for(name: str, threading: tuple[int, ...], sheds: tuple[tuple[int, ...], ...]) -> None:
    found = find_technique(name)
    assert found is not None
    assert (found.name, found.threading, found.sheds) == (name, threading, sheds)


@pytest.mark.parametrize("technique", TECHNIQUES, ids=lambda technique: technique.name)
def test_every_technique_names_a_source_and_uses_just_its_own_shafts(technique: Technique) -> None:
    assert technique.source
    assert set(technique.threading) == set(range(1, technique.shafts + 1))
    assert {shaft for shed in technique.sheds for shaft in shed} == set(range(1, technique.shafts + 1))
    assert technique.shed_masks() == tuple(shed_mask(shed) for shed in technique.sheds)


@pytest.mark.parametrize(
    "written,name",
    [
        pytest.param("Krokbragd", "krokbragd", id="capitals do not matter"),
        pytest.param("WEFT FACED plain-weave", "weft-faced plain weave", id="hyphens do not matter"),
        pytest.param("two_against_two", "two against two", id="underscores do not matter"),
        pytest.param("  boundweave \t on  opposites", "boundweave on opposites", id="spaces do not matter"),
    ],
)
def test_a_name_is_found_however_it_is_written(written: str, name: str) -> None:
    found = find_technique(written)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize("written", ["", "krok", "twill", "krokbragd 3", "double krokbragd"])
def test_a_name_that_is_not_known_finds_nothing(written: str) -> None:
    assert find_technique(written) is None


@pytest.mark.parametrize("name", [*UNCONFIRMED, "Double_Krokbragd", "V-POINT", "v point"])
def test_a_name_without_one_threading_is_unconfirmed(name: str) -> None:
    assert is_unconfirmed(name)
    assert find_technique(name) is None


def test_a_confirmed_name_is_not_unconfirmed() -> None:
    assert not any(is_unconfirmed(technique.name) for technique in TECHNIQUES)


@pytest.mark.parametrize(
    "shed,mask",
    [
        pytest.param((), 0, id="no shaft"),
        pytest.param((1,), 1, id="the first shaft"),
        pytest.param((3, 1), 0b101, id="two shafts in any order"),
        pytest.param((16,), 0x8000, id="the last shaft"),
        pytest.param(tuple(range(1, MAX_SHAFTS + 1)), 0xFFFF, id="every shaft"),
    ],
)
def test_a_shed_is_kept_as_a_mask_of(shed: tuple[int, ...], mask: int) -> None:
    assert shed_mask(shed) == mask
    assert mask_shafts(mask) == tuple(sorted(shed))
