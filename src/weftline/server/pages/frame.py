"""What stands around every page of a piece: its name and size, the path, undo and redo, the count of findings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.findings import Basis
from weftline.sheets.figures import Figure, Units

if TYPE_CHECKING:
    from weftline.core.findings import Quantity
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Sheet

STOPS = (
    ("sample", "Sample"),
    ("design", "Design"),
    ("dress", "Dress"),
    ("weave", "Weave"),
    ("finish", "Finish"),
    ("write-up", "Write up"),
)
"""The path of a piece: the last part of the address, and the word."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One word of the path: ``behind``, ``present`` or ``ahead``."""

    word: str
    href: str
    place: str


@dataclass(frozen=True, slots=True)
class Frame:
    """What a page of a piece is set in.

    Parameters
    ----------
    id, name : str
    seq : int
        The entry that the page shows.
    size : Figure or None
        Finished width and length; a bare warp has none.
    stops : tuple of Stop
    number : int
        Which stop this is, from 1.
    findings : int
    undo, redo : str or None
        What would be taken back or done again.
    put_away : bool
    """

    id: str
    name: str
    seq: int
    size: Figure | None
    stops: tuple[Stop, ...]
    number: int
    findings: int
    undo: str | None
    redo: str | None
    put_away: bool

    @property
    def present(self) -> Stop:
        """The stop that this page is."""
        return self.stops[self.number - 1]


def units_of(plan: Plan) -> Units:
    """Return how numbers of a piece are said."""
    return Units(plan.project.units == "imperial")


def line_figure(plan: Plan) -> Figure:
    """Return the height of a line: millimetres to a tenth, hundredths where it was measured."""
    height = plan.settings.line_height_mm
    if plan.project.units == "imperial":
        return Figure(f"{height.value / 25.4:.2f} in", height.basis)
    return Figure(f"{height.value:.{2 if height.basis is Basis.MEASURED else 1}f} mm", height.basis)


def size_figure(units: Units, across: Quantity, along: Quantity) -> Figure:
    """Return ``20 × 150 cm``: width, then length, no finer than either is known."""
    width, length = units.short(across), units.short(along)
    basis = Basis.DEFAULT if Basis.DEFAULT in (width.basis, length.basis) else width.basis
    return Figure(f"{width.text.split()[0]} × {length.text}", basis)


def finished_size(plan: Plan) -> Figure | None:
    """Return the finished size of the first section; None for a bare warp."""
    size = plan.sections[0].size
    if size.lengths.finished_mm.value <= 0:
        return None
    return size_figure(units_of(plan), size.across.finished_mm, size.lengths.finished_mm)


def frame(sheet: Sheet, plan: Plan, stop: str) -> Frame:
    """Return the frame of one stop of a piece."""
    number = [name for name, _ in STOPS].index(stop)
    stops = tuple(
        Stop(word, f"/pieces/{sheet.id}/{name}", "behind" if at < number else "present" if at == number else "ahead")
        for at, (name, word) in enumerate(STOPS)
    )
    return Frame(
        id=sheet.id,
        name=plan.project.name,
        seq=sheet.seq,
        size=finished_size(plan),
        stops=stops,
        number=number + 1,
        findings=len(plan.findings),
        undo=sheet.undo,
        redo=sheet.redo,
        put_away=sheet.put_away,
    )
