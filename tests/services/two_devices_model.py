"""What must happen when two devices change one piece, in the simplest words: lists, dicts and sets.

It shares nothing with the program. A piece is bands in order, each with lines in order. What merges
and what is asked:

- asked: both changed the same pick, the same name or text, or moved the same line; one laid a pick of
  a line that the other rewrote or moved; one worked in a part that the other took away;
- everything else merges, at the nearest earlier neighbour that is still there;
- undo is asked under the same rule, against whatever others did after the change that it takes back.
"""

import copy
from dataclasses import dataclass, field
from typing import Any

Op = tuple[Any, ...]
"""lay line pick yarn | write line text | name node text | put line band after text | drop line |
move line band after | put-band band after name lines | drop-band band"""


@dataclass
class Piece:
    """Bands in order; lines by band in order; words by line; names of bands and of the piece."""

    bands: list[str]
    lines: dict[str, list[str]]
    words: dict[str, list[str]]
    names: dict[str, str]

    def home(self, line: str) -> str | None:
        return next((band for band in self.bands if line in self.lines[band]), None)

    def looks(self) -> Any:
        """Everything that can be seen of it."""
        return [
            self.names["piece"],
            [
                (band, self.names[band], [(one, " ".join(self.words[one])) for one in self.lines[band]])
                for band in self.bands
            ],
        ]


@dataclass
class Mark:
    """What a change was about."""

    picks: set[tuple[str, int]] = field(default_factory=set)
    written: set[str] = field(default_factory=set)
    named: set[str] = field(default_factory=set)
    moved: set[str] = field(default_factory=set)
    worked: set[str] = field(default_factory=set)
    gone: set[str] = field(default_factory=set)

    def asks(self, other: "Mark") -> bool:
        return bool(
            self.picks & other.picks
            or self.written & other.written
            or self.named & other.named
            or self.moved & other.moved
            or {line for line, _ in self.picks} & (other.written | other.moved)
            or {line for line, _ in other.picks} & (self.written | self.moved)
            or self.worked & other.gone
            or other.worked & self.gone
        )


@dataclass
class Done:
    """A change in the log."""

    seq: int
    device: str
    mark: Mark
    back: Op


@dataclass
class Left:
    """Not taken back but left as it is; taking that back means the change itself again."""

    what: Done


class RefusedError(Exception):
    """The change cannot be made."""


class Model:
    """A piece that two devices change."""

    def __init__(self, piece: Piece) -> None:
        self.versions = [copy.deepcopy(piece)] * 2  # nothing is before the first entry, which made the piece
        self.log: list[Done] = []
        self.undo: dict[str, list[Done | Left]] = {}
        self.redo: dict[str, list[Done | Left]] = {}
        self.left: dict[tuple[str, str], str | None] = {}

    @property
    def seq(self) -> int:
        return len(self.versions) - 1

    @property
    def now(self) -> Piece:
        return self.versions[-1]

    def change(self, device: str, base: int, op: Op) -> str:
        """Answer kept, asked or refused."""
        answer, done = self._try(device, base, op)
        if done is not None:
            self.undo.setdefault(device, []).append(done)
            self.redo[device] = []
        return answer

    def take_back(self, device: str, verb: str, choice: str | None = None) -> str:
        """Answer kept, asked, refused or nothing left."""
        here, there = (self.undo, self.redo) if verb == "undo" else (self.redo, self.undo)
        if not here.get(device):
            return "nothing left"
        target = here[device][-1]
        if isinstance(target, Left) or choice == "theirs":
            self._append(self.now, device, Mark(), ())
            here[device].pop()
            there.setdefault(device, []).append(target.what if isinstance(target, Left) else Left(target))
            return "kept"
        answer, done = self._try(device, self.seq if choice == "mine" else target.seq, target.back)
        if done is not None:
            here[device].pop()
            there.setdefault(device, []).append(done)
        return answer

    def _try(self, device: str, base: int, op: Op) -> tuple[str, Done | None]:
        mark = self._mark(op)
        if any(done.mark.asks(mark) for done in self.log if done.seq > base and done.device != device):
            return "asked", None
        piece, left = copy.deepcopy(self.now), dict(self.left)
        try:
            back = self._do(piece, op)
            if any(not self_lines for self_lines in (piece.lines[band] for band in piece.bands)):
                raise RefusedError
        except RefusedError:
            self.left = left
            return "refused", None
        return "kept", self._append(piece, device, mark, back)

    def _append(self, piece: Piece, device: str, mark: Mark, back: Op) -> Done:
        self.versions.append(piece)
        self.log.append(Done(self.seq, device, mark, back))
        return self.log[-1]

    def _mark(self, op: Op) -> Mark:
        verb, node, *rest = op
        mark = Mark(worked={node})
        if verb == "lay":
            mark.picks = {(node, rest[0])}
        elif verb == "write":
            mark.written = {node}
        elif verb == "name":
            mark.named = {node}
        elif verb == "put":
            mark.worked = {rest[0]}
        elif verb == "put-band":
            mark.worked = set()
        elif verb == "move":
            mark.moved = {node}
            mark.worked = {node, rest[0], self.now.home(node) or node}
        elif verb == "drop":
            mark.gone = {node}
            mark.worked = {node, self.now.home(node) or node}
        elif verb == "drop-band":
            mark.gone = {node, *self.now.lines.get(node, [])} if node in self.now.bands else {node}
        return mark

    def _do(self, piece: Piece, op: Op) -> Op:
        """Do it, and return what takes it back."""
        verb, node, *rest = op
        if verb not in ("put", "put-band") and not (node == "piece" or node in piece.bands or piece.home(node)):
            raise RefusedError
        if verb == "lay":
            old, piece.words[node][rest[0] - 1] = piece.words[node][rest[0] - 1], rest[1]
            return ("lay", node, rest[0], old)
        if verb == "write":
            before, piece.words[node] = " ".join(piece.words[node]), rest[0].split()
            return ("write", node, before)
        if verb == "name":
            old, piece.names[node] = piece.names[node], rest[0]
            return ("name", node, old)
        if verb == "drop":
            band, after = self._take(piece, node)
            return ("put", node, band, after, " ".join(piece.words[node]))
        if verb == "put":
            self._place(piece, node, rest[0], rest[1])
            piece.words[node] = rest[2].split()
            return ("drop", node)
        if verb == "move":
            if rest[0] not in piece.bands:
                raise RefusedError
            band, after = self._take(piece, node)
            self._place(piece, node, rest[0], rest[1])
            return ("move", node, band, after)
        if verb == "drop-band":
            place = piece.bands.index(node)
            before_it = piece.bands[place - 1] if place else None
            self.left["strip", node] = before_it
            piece.bands.remove(node)
            texts = [(line, " ".join(piece.words[line])) for line in piece.lines[node]]
            return ("put-band", node, before_it, piece.names[node], texts)
        after = self._standing("strip", piece.bands, rest[0])
        piece.bands.insert(0 if after is None else piece.bands.index(after) + 1, node)
        piece.names[node] = rest[1]
        piece.lines[node] = [line for line, _ in rest[2]]
        piece.words.update({line: text.split() for line, text in rest[2]})
        return ("drop-band", node)

    def _take(self, piece: Piece, line: str) -> tuple[str, str | None]:
        band = piece.home(line)
        if band is None:
            raise RefusedError
        place = piece.lines[band].index(line)
        after = piece.lines[band][place - 1] if place else None
        piece.lines[band].remove(line)
        self.left[band, line] = after
        return band, after

    def _place(self, piece: Piece, line: str, band: str, after: str | None) -> None:
        if band not in piece.bands:
            raise RefusedError
        after = self._standing(band, piece.lines[band], after)
        piece.lines[band].insert(0 if after is None else piece.lines[band].index(after) + 1, line)

    def _standing(self, band: str, there: list[str], after: str | None) -> str | None:
        seen: set[str] = set()
        while after is not None and after not in there:
            if after in seen or (band, after) not in self.left:
                raise RefusedError
            seen.add(after)
            after = self.left[band, after]
        return after
