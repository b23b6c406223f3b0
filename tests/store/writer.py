"""Writes to a store until it is killed: prints the id and place of every change once it was acknowledged.

Run as a program: data folder, piece, a word for its ids, ids that every writer sends.
"""

import sys
from pathlib import Path

from weftline.core.piece.commands import Lay
from weftline.core.piece.draft import LINE, walk
from weftline.services.answers import Kept
from weftline.services.requests import Change
from weftline.wiring import Settings, opened


def write(data: Path, piece: str, word: str, shared: list[str]) -> None:
    """Lay picks, one change after another, and say each that was kept."""
    with opened(Settings(data)) as services:
        lines = [node.id for node in walk(services.pieces.open(piece).draft) if node.kind == LINE]
        ids = iter([*shared, *(f"{word}.{number}" for number in range(100_000))])
        for number, one in enumerate(ids):
            command = Lay(line=lines[number % len(lines)], pick=number % 3 + 1, token="os"[number // 3 % 2])
            base = services.pieces.open(piece).seq
            kept = services.designing.change(piece, Change(id=one, device="one hand", base_seq=base, command=command))
            if isinstance(kept, Kept):
                print(kept.seq, one, flush=True)


if __name__ == "__main__":
    write(Path(sys.argv[1]), sys.argv[2], sys.argv[3], sys.argv[4:])
