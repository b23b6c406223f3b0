"""Laws of drafts and commands: a file comes back as it was, an inverse takes back to the letter."""

import itertools
import json
import random
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.fakes import CountedIds, fake_services
from tests.pieces import Piece, read
from tests.random_commands import random_command
from tests.strategies import pieces, random_project
from weftline.core.piece.commands import apply, command_data, command_of
from weftline.core.piece.draft import Node, draft_of, file_data, tree_data, tree_of, walk
from weftline.core.piece.entries import fold
from weftline.errors import PieceError
from weftline.formats.native import dumps
from weftline.services.requests import Change, Reversal

seeds = st.integers(0, 2**32)


def draft(piece: Piece) -> Node:
    return draft_of(read(piece).model_dump(mode="json", exclude_unset=True), CountedIds().new)


def as_written(node: Node) -> tuple[Any, list[str]]:
    """What the file says, with the order of the yarns, which people see."""
    return tree_data(node), list(node.fields.get("yarns", {}))


@given(pieces())
def test_a_draft_is_the_file_and_comes_back_from_its_tree(piece: Piece) -> None:
    node = draft(piece)
    written = dumps(read(piece))
    assert dumps(type(read(piece)).model_validate(file_data(node))) == written
    assert tree_of(json.loads(json.dumps(tree_data(node)))) == node
    assert len({one.id for one in walk(node)}) == len(walk(node))


@given(pieces(), seeds)
def test_apply_then_inverse_is_as_if_nothing_had_been(piece: Piece, seed: int) -> None:
    rng, node = random.Random(seed), draft(piece)
    for number in range(12):
        command = random_command(rng, node, f"new {number}")
        assert command_of(json.loads(json.dumps(command_data(command)))) == command
        try:
            after, inverse = apply(node, command)
        except PieceError:
            continue
        back, forth = apply(after, inverse)
        assert as_written(back) == as_written(node)
        assert as_written(apply(back, forth)[0])[0] == as_written(after)[0]
        node = after


@pytest.mark.parametrize("seed", range(4))
def test_the_fold_of_a_prefix_is_the_version(seed: int) -> None:
    rng, services = random.Random(seed), fake_services()
    piece = services.pieces.create(read(random_project(rng)), "loom").stream
    for number in itertools.count():
        state = services.pieces.open(piece)
        if state.seq >= 40 or number > 400:
            break
        try:
            if rng.random() < 0.2:
                reverse = rng.choice((services.designing.undo, services.designing.redo))
                reverse(piece, Reversal(id=f"r{number}", device="loom"))
            else:
                command = random_command(rng, state.draft, f"new {number}")
                services.designing.change(
                    piece, Change(id=f"c{number}", device="loom", base_seq=state.seq, command=command)
                )
        except (PieceError, LookupError):
            assert services.pieces.open(piece) == state
    entries = services.pieces.entries_after(piece, 0)
    assert len(entries) > 20
    for seq in range(1, len(entries) + 1):
        version = services.pieces.open(piece, seq)
        assert version == fold(entries[:seq])
        assert services.pieces.export(piece, seq)
    assert replace(services.pieces.open(piece), seq=0) == replace(fold(entries), seq=0)
