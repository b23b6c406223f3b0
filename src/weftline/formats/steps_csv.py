"""The steps of a piece as CSV (RFC 4180) and as plain data."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weftline.core.plan.steps import Step

COLUMNS = ("ordinal", "section", "piece", "strip", "band", "line", "pick", "shed", "lift", "weft")


def strands_words(strands: Iterable[tuple[str, int]]) -> str:
    """Return what a shuttle carries: ``o x2`` for two strands of o, ``o+s`` for one of each."""
    return " + ".join(key if count == 1 else f"{key} x{count}" for key, count in strands)


def step_data(step: Step) -> dict[str, Any]:
    """Return one step as plain data."""
    return {
        "ordinal": step.ordinal,
        "section": step.section,
        "piece": step.piece,
        "strip": step.strip,
        "band": step.band,
        "line": step.line,
        "pick": step.pick,
        "shed": list(step.shed),
        "lift": {"verb": step.lift.verb, "shafts": list(step.lift.shafts)},
        "strands": [{"yarn": key, "strands": count} for key, count in step.strands],
    }


def csv_lines(steps: Iterable[Step]) -> Iterator[str]:
    """Yield the table line by line, header first."""
    out = io.StringIO()
    writer = csv.writer(out)

    def line(cells: Iterable[object]) -> str:
        out.seek(0)
        out.truncate()
        writer.writerow(cells)
        return out.getvalue()

    yield line(COLUMNS)
    for step in steps:
        shed = "+".join(map(str, step.shed))
        cells = (step.ordinal, step.section, step.piece, step.strip, step.band, step.line, step.pick, shed)
        yield line([*(_harmless(cell) for cell in cells), step.lift.words(), strands_words(step.strands)])


def _harmless(cell: object) -> object:
    """Return a cell that no spreadsheet takes for a formula."""
    if isinstance(cell, str) and cell[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return "'" + cell
    return cell
