"""The shelf of samples: what was woven and measured, and what was read from each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Basis, Quantity
from weftline.sheets.figures import Figure, share

if TYPE_CHECKING:
    from weftline.core.learning.readings import Reading
    from weftline.services.learned import KeptSample, Learned

SHARES = ("draw-in", "take-up", "crimp", "relax width", "relax length", "shrink width", "shrink length")


@dataclass(frozen=True, slots=True)
class SampleRow:
    """A sample on its shelf.

    Parameters
    ----------
    id, name, piece : str
        ``piece`` is empty where the piece is no longer here.
    cloth : str
        Its yarns, sett, weave and beat.
    readings : tuple of (str, Figure)
    doubts : tuple of str
    note, trouble : str
    """

    id: str
    name: str
    piece: str
    cloth: str
    readings: tuple[tuple[str, Figure], ...]
    doubts: tuple[str, ...]
    note: str
    trouble: str


def sample_rows(learned: Learned, pieces: frozenset[str]) -> tuple[SampleRow, ...]:
    """Return the samples, the last kept first."""
    return tuple(_row(one, pieces) for one in reversed(learned.samples))


def _row(one: KeptSample, pieces: frozenset[str]) -> SampleRow:
    cloth = note = ""
    if one.sample is not None:
        facts = one.sample.facts
        beat = f", {facts.beat} beat" if facts.beat else ""
        cloth = (
            f"{facts.technique.name}: {facts.warp.said} at {facts.sett_per_cm:.3g} ends per cm, {facts.weft.said}{beat}"
        )
        note = one.sample.note
    return SampleRow(
        id=one.id,
        name=one.name,
        piece=one.piece if one.piece in pieces else "",
        cloth=cloth,
        readings=tuple((reading.what, reading_figure(reading)) for reading in one.readings),
        doubts=tuple(str(doubt) for doubt in one.doubts),
        note=note,
        trouble=one.trouble,
    )


def reading_figure(reading: Reading) -> Figure:
    """Return what was read, as surely as it was read."""
    value = reading.shown(reading.value)
    if reading.of in SHARES:
        return share(Quantity(value, Basis.MEASURED))
    digits = 0 if value >= 100 else 1 if value >= 10 else 2
    return Figure(f"{value:,.{digits}f}", Basis.MEASURED)
