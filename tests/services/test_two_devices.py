"""Two devices, random changes, undo and redo on stale ground, against a model of sets and lists."""

import random
from collections import Counter
from typing import Any

import pytest

from tests.fakes import fake_services
from tests.pieces import read
from tests.services.two_devices_model import Model, Op, Piece
from weftline.core.piece.commands import Command, command_of
from weftline.core.piece.draft import Node
from weftline.errors import NothingLeftError, PieceError
from weftline.services.answers import Asked, Kept
from weftline.services.requests import Change, reversal_of

INTERLEAVINGS, BATCHES, STEPS = 500, 10, 22
DEVICES = ("laptop", "phone")
FILE = {
    "weftline": 1,
    "name": "Mat",
    "yarns": {"o": {}, "s": {}, "m": {}},
    "sections": [
        {
            "strips": [
                {"ends": 37, "bands": [{"name": f"Band {n}", "lines": ["o o o", "s s s", "m m m"]} for n in "abc"]}
            ]
        }
    ],
}


def looks(draft: Node) -> Any:
    """What can be seen of a piece, as the model sees it."""
    bands = draft.children[0].children[0].children
    return [
        draft.fields["name"],
        [(band.id, band.fields["name"], [(one.id, one.fields["text"]) for one in band.children]) for band in bands],
    ]


def start(draft: Node) -> Piece:
    bands = draft.children[0].children[0].children
    return Piece(
        [band.id for band in bands],
        {band.id: [line.id for line in band.children] for band in bands},
        {line.id: line.fields["text"].split() for band in bands for line in band.children},
        {"piece": draft.fields["name"], **{band.id: band.fields["name"] for band in bands}},
    )


def random_op(rng: random.Random, seen: Piece, fresh: str) -> Op:
    """A change of what this device sees."""
    lines = [line for band in seen.bands for line in seen.lines[band]]
    if not lines:
        return ("name", "piece", fresh)
    verb = rng.choice(("lay",) * 4 + ("write", "name", "put", "put", "drop", "drop", "move", "move", "drop-band"))
    line, band = rng.choice(lines), rng.choice(seen.bands)
    text = " ".join(rng.choice("osm") for _ in range(3))
    if verb == "lay":
        return (verb, line, rng.randint(1, 3), rng.choice("osm"))
    if verb == "write":
        return (verb, line, text)
    if verb == "name":
        return (verb, rng.choice(["piece", band]), fresh)
    if verb == "put":
        return (verb, fresh, band, rng.choice([None, *seen.lines[band]]), text)
    if verb == "move":
        return (verb, line, band, rng.choice([None, *(one for one in seen.lines[band] if one != line)]))
    return ("drop", line) if verb == "drop" or len(seen.bands) < 2 else ("drop-band", band)


def command(op: Op) -> Command:
    """The same change in the program's words."""
    verb, node, *rest = op
    if verb == "lay":
        data = {"op": "lay", "line": node, "pick": rest[0], "token": rest[1]}
    elif verb in ("write", "name"):
        data = {"op": "set", "node": node, "field": "text" if verb == "write" else "name", "value": rest[0]}
    elif verb == "put":
        line = {"id": node, "kind": "line", "fields": {"text": rest[2]}}
        data = {"op": "insert", "parent": rest[0], "after": rest[1], "node": line}
    elif verb == "move":
        data = {"op": "move", "node": node, "parent": rest[0], "after": rest[1]}
    else:
        data = {"op": "remove", "node": node}
    return command_of(data)


class Trial:
    """One interleaving."""

    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)
        self.services = fake_services()
        self.piece = self.services.pieces.create(read(FILE), "loom").stream
        self.model = Model(start(self.services.pieces.open(self.piece).draft))
        self.base = dict.fromkeys(DEVICES, 1)
        self.said: Counter[str] = Counter()
        self.told: list[Any] = []

    def run(self) -> None:
        for number in range(STEPS):
            device = self.rng.choice(DEVICES)
            if self.rng.random() < 0.35:
                self.base[device] = self.model.seq
            if self.rng.random() < 0.4:
                self._take_back(device, self.rng.choice(("undo", "undo", "redo")), f"r{number}")
            else:
                self._change(device, f"c{number}")

    def _change(self, device: str, name: str) -> None:
        base = self.base[device]
        op = random_op(self.rng, self.model.versions[base], f"new {name}")
        change = Change(id=name, device=device, base_seq=base, command=command(op))
        self._compare(
            lambda: self.services.designing.change(self.piece, change), self.model.change(device, base, op), op
        )

    def _take_back(self, device: str, verb: str, name: str) -> None:
        answers = []
        for choice in (None, self.rng.choice(("mine", "theirs")), "theirs"):
            data = {"id": name, "device": device, "choice": choice, "base_seq": self.model.seq}
            reverse = self.services.designing.undo if verb == "undo" else self.services.designing.redo
            expected = self.model.take_back(device, verb, choice)
            self._compare(lambda: reverse(self.piece, reversal_of(data)), expected, (verb, device, choice))  # noqa: B023 - called at once
            answers.append(expected)
            if expected in ("kept", "nothing left"):
                break

    def _compare(self, call: Any, expected: str, what: Any) -> None:
        self.told.append((what, expected))
        try:
            answer = call()
        except PieceError:
            said = "refused"
        except NothingLeftError:
            said = "nothing left"
        else:
            said = {Kept: "kept", Asked: "asked"}[type(answer)]
        self.said[said] += 1
        state = self.services.pieces.open(self.piece)
        assert (said, state.seq) == (expected, self.model.seq), self.told
        assert looks(state.draft) == self.model.now.looks(), self.told


@pytest.mark.parametrize("batch", range(BATCHES))
def test_random_interleavings_end_where_the_model_says(batch: int) -> None:
    said: Counter[str] = Counter()
    for seed in range(batch, INTERLEAVINGS, BATCHES):
        trial = Trial(seed)
        trial.run()
        said += trial.said
    assert said["kept"] > 400
    assert said["asked"] > 40
    assert said["refused"] > 5
