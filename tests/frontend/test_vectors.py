"""Python still gives what the pages' scripts are checked against."""

import json
from typing import Any

import pytest

from tests.vectors.make import FOLDER, VECTORS, text_of

MOST_BYTES = 300_000


@pytest.mark.parametrize("name", VECTORS)
def test_python_still_gives_the_vectors(name: str) -> None:
    kept: dict[str, list[Any]] = json.loads((FOLDER / f"{name}.json").read_text(encoding="ascii"))
    made: dict[str, list[Any]] = json.loads(text_of(VECTORS[name]()))
    assert kept.keys() == made.keys()
    for group, cases in made.items():
        assert len(kept[group]) == len(cases)
        for place, (old, new) in enumerate(zip(kept[group], cases, strict=True)):
            assert old == new, f"{group} {place}: write them anew with python -m tests.vectors.make"


@pytest.mark.parametrize("name", VECTORS)
def test_vectors_stay_small(name: str) -> None:
    assert (FOLDER / f"{name}.json").stat().st_size <= MOST_BYTES
