"""Two hundred strokes undone and redone in random order, over restarts, end where a list says."""

import random
from pathlib import Path

import pytest

from tests.pieces import ONE_END_SPOTS, read
from weftline.core.piece.commands import Lay
from weftline.core.piece.draft import LINE, walk
from weftline.errors import NothingLeftError
from weftline.services.requests import Change, Reversal
from weftline.wiring import Settings, opened

STROKES = 200


@pytest.mark.parametrize("seed", range(2))
def test_strokes_undone_and_redone_over_restarts(tmp_path: Path, seed: int) -> None:
    rng, settings = random.Random(seed), Settings(tmp_path)
    with opened(settings) as services:
        piece = services.pieces.create(read(ONE_END_SPOTS), "loom").stream
        versions = [services.pieces.export(piece)]  # the list: what it looked like, and where in it we are
        lines = [node.id for node in walk(services.pieces.open(piece).draft) if node.kind == LINE]
    here, laid, count = 0, 0, 0
    while laid < STROKES:
        with opened(settings) as services:
            for _ in range(rng.randint(1, 60)):
                count += 1
                name = f"{count}"
                if rng.random() < 0.5:
                    command = Lay(line=rng.choice(lines), pick=rng.randint(1, 3), token=rng.choice("osm"))
                    base = services.pieces.open(piece).seq
                    services.designing.change(piece, Change(id=name, device="phone", base_seq=base, command=command))
                    laid += 1
                    versions[here + 1 :] = [services.pieces.export(piece)]
                    here += 1
                    continue
                verb = rng.choice((services.designing.undo, services.designing.redo))
                there = here + (1 if verb == services.designing.redo else -1)
                if 0 <= there < len(versions):
                    verb(piece, Reversal(id=name, device="phone"))
                    here = there
                else:
                    with pytest.raises(NothingLeftError, match="nothing of this device is left"):
                        verb(piece, Reversal(id=name, device="phone"))
            assert services.pieces.export(piece) == versions[here]
    with opened(settings) as services:
        for number in range(here):
            services.designing.undo(piece, Reversal(id=f"back {number}", device="phone"))
        assert services.pieces.export(piece) == versions[0]
        for number in range(len(versions) - 1):
            services.designing.redo(piece, Reversal(id=f"forth {number}", device="phone"))
        assert services.pieces.export(piece) == versions[-1]
