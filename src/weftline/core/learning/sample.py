"""A sample: a cloth with what was read from it. Every reading is optional; a weaver measures what she has time for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weftline.errors import WeftlineError

if TYPE_CHECKING:
    from weftline.core.learning.facts import ClothFacts


class SampleError(WeftlineError, ValueError):
    """Something in a sample that no cloth can have."""

    code = "sample"


class State(StrEnum):
    """Where a cloth was when it was read."""

    TENSION = "under tension"
    SLACK = "slack on the loom"
    OFF = "off the loom"
    WASHED = "washed"


class Verdict(StrEnum):
    """What a weaver says of a sett, with the cloth in her hand."""

    HELD = "held"
    OPEN = "too open"
    SHOWS = "warp shows"


@dataclass(frozen=True, slots=True)
class Count:
    """Lines counted over a length; several counts over the same length elsewhere in the cloth make it surer."""

    lines: tuple[float, ...]
    over_mm: float
    state: State = State.SLACK


@dataclass(frozen=True, slots=True)
class Width:
    """Widths of one piece, mm; those that were read. The width in the reed is from first to last end."""

    in_reed_mm: float | None = None
    on_loom_mm: float | None = None
    off_loom_mm: float | None = None
    washed_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Length:
    """Lengths of one piece, mm: slack on the loom, off it, and washed."""

    on_loom_mm: float | None = None
    off_loom_mm: float | None = None
    washed_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Weighed:
    """Grams of a piece of cloth of a known area, warp and weft, without fringe."""

    grams: float
    area_mm2: float
    state: State = State.OFF


@dataclass(frozen=True, slots=True)
class Marks:
    """A length of warp marked before weaving, and how far apart its marks are in the slack cloth, mm."""

    warp_mm: float
    woven_mm: float


@dataclass(frozen=True, slots=True)
class WeftLaid:
    """Weft that went into one pick, or unravelled and straightened, and the width of slack cloth that it crossed, mm.

    ``shed`` counts from 1; nothing stands for the mean of a whole line.
    """

    weft_mm: float
    over_mm: float
    shed: int | None = None


@dataclass(frozen=True, slots=True)
class Sample:
    """A cloth that was woven and measured.

    Parameters
    ----------
    key : str
        What tells it from others.
    facts : ClothFacts
        Yarns, sett, weave, beat, loom and weaver.
    counted, width, length, weighed, marks : optional
        Readings; see each.
    thickness_mm : float, optional
    laid : tuple of WeftLaid
    verdict : Verdict, optional
    date, note : str
        As the weaver wrote them; nothing is reckoned from them.

    Raises
    ------
    SampleError
        Where a figure is not above nothing, or a shed is not one of the weave's.
    """

    key: str
    facts: ClothFacts
    counted: Count | None = None
    width: Width = Width()
    length: Length = Length()
    weighed: Weighed | None = None
    thickness_mm: float | None = None
    marks: Marks | None = None
    laid: tuple[WeftLaid, ...] = ()
    verdict: Verdict | None = None
    date: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse what no cloth can have."""
        if self.counted is not None:
            if not self.counted.lines:
                raise SampleError(f"Sample {self.key!r}: a count needs at least one number of lines.")
            for count in self.counted.lines:
                self._above_nothing("lines", count)
        for name, value in self._figures():
            self._above_nothing(name, value)
        sheds = len(self.facts.technique.sheds)
        for laid in self.laid:
            if laid.shed is not None and not 1 <= laid.shed <= sheds:
                raise SampleError(f"Sample {self.key!r}: shed {laid.shed}, where a line has sheds 1 to {sheds}.")

    def _figures(self) -> list[tuple[str, float | None]]:
        found = [("thickness in mm", self.thickness_mm)]
        found += [(f"width in mm, {name}", getattr(self.width, name)) for name in Width.__slots__]
        found += [(f"length in mm, {name}", getattr(self.length, name)) for name in Length.__slots__]
        if self.counted is not None:
            found.append(("length counted over, in mm", self.counted.over_mm))
        if self.weighed is not None:
            found += [("grams", self.weighed.grams), ("area in mm2", self.weighed.area_mm2)]
        if self.marks is not None:
            found += [("mm between marks on the warp", self.marks.warp_mm)]
            found += [("mm between marks in the cloth", self.marks.woven_mm)]
        for laid in self.laid:
            found += [("mm of weft", laid.weft_mm), ("mm of cloth that the weft crossed", laid.over_mm)]
        return found

    def _above_nothing(self, name: str, value: float | None) -> None:
        if value is not None and not 0 < value < float("inf"):
            raise SampleError(
                f"Sample {self.key!r}: {value:g} as {name.replace('_mm', '').replace('_', ' ')}; it is more than 0."
            )
