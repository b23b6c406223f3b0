"""The cloth as it was woven: throws of the log to picks, lines and a project, for the band finder and for pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.settings import line_height
from weftline.core.piece.values import Project, Yarn
from weftline.core.weave.picks import NO_PICKS, Picks, Weaving
from weftline.core.weave.technique import shed_mask
from weftline.core.weaving.bands import find_bands
from weftline.core.weaving.lines import LineKind, kind_of, lines_of_picks, whole_kind, written_token

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.values import Section, Strip
    from weftline.core.weave.picks import Winding
    from weftline.core.weaving.coming import PlannedThrow, PlannedThrows
    from weftline.core.weaving.lines import WovenLine
    from weftline.core.weaving.log import Throw


@dataclass(frozen=True, eq=False)
class WovenStrip:
    """One strip as woven.

    Parameters
    ----------
    weaving : Weaving
        Its ends, its picks (``band`` is the kind of a pick's line, ``written`` is 0) and the windings.
    kinds : tuple of LineKind
        Sheds and beat, for each ``band``.
    """

    weaving: Weaving
    kinds: tuple[LineKind, ...]

    def lines(self, tokens: Sequence[str]) -> list[WovenLine]:
        """Return its woven lines, by the word for each winding, as the band finder takes them."""
        return lines_of_picks(self.weaving.picks, tokens, self.kinds)


@dataclass(frozen=True, eq=False)
class WovenPiece:
    """One piece of one section as woven: its strips side by side, also those where nothing was thrown.

    Parameters
    ----------
    section : int
        From 0.
    piece : int
        Which of the section's pieces, from 1.
    strips : tuple of WovenStrip
    """

    section: int
    piece: int
    strips: tuple[WovenStrip, ...]

    @property
    def line_count(self) -> int:
        """How many lines its longest strip has, the one that is being woven too."""
        return max(strip.weaving.picks.line_count for strip in self.strips)

    @property
    def height_mm(self) -> float:
        """Its woven length at the beat of the plan."""
        return max(strip.weaving.picks.height_mm for strip in self.strips)


@dataclass(frozen=True, eq=False)
class WovenCloth:
    """Everything that was woven.

    Parameters
    ----------
    windings : tuple of Winding
        What every strip's picks point into.
    pieces : tuple of WovenPiece
        In weaving order, only those that were begun.
    stray : int
        How many throws lie in strips that the plan has no longer.
    """

    windings: tuple[Winding, ...]
    pieces: tuple[WovenPiece, ...]
    stray: int

    @property
    def line_count(self) -> int:
        """How many lines are woven, all pieces together."""
        return sum(piece.line_count for piece in self.pieces)

    @property
    def height_mm(self) -> float:
        """How much is woven, all pieces one after the other."""
        return sum(piece.height_mm for piece in self.pieces)


def woven_cloth(
    throws: Iterable[Throw], now: PlannedThrows, version: Callable[[int], PlannedThrows | None] = lambda seq: None
) -> WovenCloth:
    """Return the cloth that was woven.

    Parameters
    ----------
    throws : iterable of Throw
        In the order thrown.
    now : PlannedThrows
        The plan as it is: what its strips are threaded on.
    version : callable, optional
        Returns an earlier version of the plan by its ``seq``; without it lines are told by their sheds alone.
    """
    places = {strip: (section, number) for section, ids in enumerate(now.strips) for number, strip in enumerate(ids)}
    windings: dict[Winding, int] = {}
    runs: dict[tuple[int, int], dict[int, _Run]] = {}
    stray = 0
    for throw in throws:
        place = places.get(throw.strip)
        if place is None:
            stray += 1
            continue
        section, strip = place
        run = runs.setdefault((section, throw.piece), {}).setdefault(strip, _Run(now.cloth, section, strip))
        plan = None if throw.plan is None else version(throw.plan.seq)
        wound = windings.setdefault(throw.strands, len(windings))
        run.add(throw, wound, _planned(plan, throw), plan)
    every = tuple(windings)
    pieces = tuple(
        WovenPiece(
            section, piece, tuple(_strip(now.cloth, section, number, run, every) for number in _numbers(now, section))
        )
        for (section, piece), run in sorted(runs.items())
    )
    return WovenCloth(every, pieces, stray)


def _numbers(now: PlannedThrows, section: int) -> range:
    return range(len(now.cloth.sections[section].strips))


def _strip(cloth: Cloth, section: int, number: int, runs: dict[int, _Run], windings: tuple[Winding, ...]) -> WovenStrip:
    ends = cloth.sections[section].strips[number].weaving.ends
    run = runs.get(number)
    picks, kinds = (NO_PICKS, ()) if run is None else (run.picks(), tuple(run.kinds))
    return WovenStrip(Weaving(ends, picks, windings), kinds)


def _planned(plan: PlannedThrows | None, throw: Throw) -> PlannedThrow | None:
    if plan is None or throw.plan is None or not 1 <= throw.plan.ordinal <= plan.total:
        return None
    return plan.at(throw.plan.ordinal)


def _slot(kind: LineKind, shed: tuple[int, ...]) -> int | None:
    """Return the place of a shed in the order of a line, None where the line has no such shed."""
    return next((slot for slot, one in enumerate(kind.sheds) if sorted(one) == list(shed)), None)


class _Run:
    """The throws of one strip of one piece, gathered to lines as they come."""

    def __init__(self, cloth: Cloth, section: int, strip: int) -> None:
        self.whole = whole_kind(cloth)
        self.known = [
            self.whole,
            *(kind_of(cloth, band) for band in cloth.sections[section].strips[strip].written.bands),
        ]
        self.kinds: list[LineKind] = []
        self.rows: list[tuple[int, int, int, int, int, float]] = []
        self.slots: list[int] = []
        self.line = -1
        self.before: tuple[int, int] | None = None

    def add(self, throw: Throw, wound: int, planned: PlannedThrow | None, plan: PlannedThrows | None) -> None:
        """Lay one throw on those that are there."""
        kind, slot = self._kind(throw, planned, plan)
        if kind not in self.kinds:
            self.kinds.append(kind)
        band = self.kinds.index(kind)
        here = None if planned is None or throw.plan is None else (throw.plan.seq, planned.line)
        if self._begins(throw, here, band, slot):
            self.line += 1
            self.slots = []
        self.slots.append(slot)
        self.before = here
        height = line_height(kind.lines_per_cm, None).value / len(kind.sheds)
        self.rows.append((shed_mask(throw.shed), wound, self.line, slot, band, height))

    def _kind(self, throw: Throw, planned: PlannedThrow | None, plan: PlannedThrows | None) -> tuple[LineKind, int]:
        """Return the planned line's kind, else that of the line below, else any with such a shed; and its place there."""
        kinds = list(self.known)
        if self.rows:
            kinds.insert(0, self.kinds[self.rows[-1][4]])
        if planned is not None and plan is not None:
            strip = plan.cloth.sections[planned.section].strips[planned.strip]
            band = strip.written.bands[int(strip.weaving.picks.band[planned.index])]
            kinds.insert(0, kind_of(plan.cloth, band))
        for kind in kinds:
            slot = _slot(kind, throw.shed)
            if slot is not None:
                return kind, slot
        return LineKind((throw.shed,), self.whole.lines_per_cm * len(self.whole.sheds)), 0

    def _begins(self, throw: Throw, here: tuple[int, int] | None, band: int, slot: int) -> bool:
        """Return whether a throw begins a line."""
        if not self.rows or band != self.rows[-1][4] or slot in self.slots:
            return True
        if throw.begins_line is not None:
            return throw.begins_line
        if here is not None and self.before is not None and here[0] == self.before[0]:
            return here[1] != self.before[1]
        if (here is None) != (self.before is None):
            return True
        rising = len(self.slots) < 2 or self.slots[1] > self.slots[0]
        return not (slot > self.slots[-1] if rising else slot < self.slots[-1]) and len(self.slots) > 1

    def picks(self) -> Picks:
        """Return the picks."""
        shed, wound, line, slot, band, step = zip(*self.rows, strict=True)
        return Picks(
            shed=np.array(shed, dtype=np.uint16),
            wound=np.array(wound, dtype=np.int32),
            line=np.array(line, dtype=np.int32),
            slot=np.array(slot, dtype=np.int16),
            band=np.array(band, dtype=np.int16),
            written=np.zeros(len(line), dtype=np.int32),
            step_mm=np.array(step, dtype=np.float64),
        )


def as_woven(cloth: WovenCloth, plan: Cloth) -> tuple[Project, ...]:
    """Return the piece as it was woven: the bands that the band finder sees, in place of those planned.

    Returns
    -------
    tuple of Project
        Where sections share the warp, one project, every piece a section of its own; else a project for
        each piece that was begun. Expanded, they give exactly the picks of the log.

    Notes
    -----
    A yarn that was thrown with strands of its own that no line could write gets a letter of its own.
    """
    tokens, yarns = _tokens(cloth.windings, plan.project)
    sections = [_section(plan, piece, tokens) for piece in cloth.pieces]
    project = plan.project.model_copy(update={"yarns": yarns})
    if not sections:
        return ()
    groups = [sections] if len(project.sections) > 1 else [[one] for one in sections]
    return tuple(project.model_copy(update={"sections": tuple(group)}) for group in groups)


def _section(plan: Cloth, piece: WovenPiece, tokens: Sequence[str]) -> Section:
    section, whole = plan.sections[piece.section], whole_kind(plan)
    strips: list[Strip] = []
    for strip, woven in zip(section.strips, piece.strips, strict=True):
        bands = find_bands(woven.lines(tokens), whole, slips=False).bands
        strips.append(strip.written.model_copy(update={"bands": bands, "start": strip.lay.start}))
    return section.written.model_copy(update={"pieces": 1, "strips": tuple(strips)})


def _tokens(windings: Sequence[Winding], project: Project) -> tuple[list[str], dict[str, Yarn]]:
    """Return the word for each winding, and the yarns with those that had to be added."""
    yarns = dict(project.yarns)
    for key in (key for winding in windings for key, _ in winding):
        yarns.setdefault(key, Yarn())
    tokens = []
    for winding in windings:
        own = {key: yarn.strands for key, yarn in yarns.items()}
        try:
            tokens.append(written_token(winding, own))
        except ValueError:
            (key, strands), free = winding[0], 1
            while f"{key}{free}" in yarns:
                free += 1
            yarns[f"{key}{free}"] = yarns[key].model_copy(update={"strands": strands})
            tokens.append(f"{key}{free}")
    return tokens, yarns
