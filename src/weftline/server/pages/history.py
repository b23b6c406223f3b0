"""What happened to a piece, the last first, each version as a picture."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.server.desk import Sheet
    from weftline.services.answers import HistoryLine

SHOWN = 60
"""Entries on one page."""
PICTURE_PX = 72


@dataclass(frozen=True, slots=True)
class Version:
    """One entry: its place, when it was, what it was called, its picture; whether it is the piece as it is."""

    seq: int
    when: str
    name: str
    src: str
    is_now: bool


@dataclass(frozen=True, slots=True)
class HistoryView:
    """The page; ``before`` is where the next page begins, 0 where there is none."""

    versions: tuple[Version, ...]
    width: int
    before: int


def history_view(sheet: Sheet, lines: Sequence[HistoryLine], before: int) -> HistoryView:
    """Return the entries up to a place, the last first; 0 means all."""
    wanted = [line for line in lines if not before or line.seq < before][::-1]
    versions = tuple(
        Version(
            line.seq, _when(line.at), line.name, f"/pieces/{sheet.id}/then.webp?seq={line.seq}", line.seq == sheet.seq
        )
        for line in wanted[:SHOWN]
    )
    return HistoryView(versions, PICTURE_PX, versions[-1].seq if len(wanted) > SHOWN else 0)


def _when(at: str) -> str:
    """Return a moment as people write it, in this machine's own time: ``25 November, 14:03``."""
    moment = datetime.fromisoformat(at).astimezone()
    return f"{moment.day} {moment:%B}, {moment:%H:%M}"
