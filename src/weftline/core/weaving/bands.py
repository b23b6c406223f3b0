"""The band finder: woven lines to the shortest description as bands that weaves exactly the same picks.

Length of a description, in words that a weaver writes: 2 for each band (its name, and that it
begins); 1 for each setting (``times``, ``mirror``, a double ``middle``, a ``joint`` unlike the
middle, ``resume``); for each written line 1 a shed, 1 for ``back`` and 1 for ``*n``; 1 for a beat
and 1 for each shaft of sheds of a band's own.

Notes
-----
Exact over bands that are plain, repeated, mirrored by lines or by picks, with single and double
middles and joints, and resumed; but repeats and mirrored halves of more than 2,000 lines are not
looked for. Slips are of yarn: a pick that is missing, or in another shed, makes another line.

References
----------
Minimum description length: J. Rissanen, Modeling by shortest data description, Automatica 14
(1978) 465-471.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from weftline.core.piece.values import Band
from weftline.core.weave.line import NOT_THROWN, WrittenLine
from weftline.core.weave.technique import shed_mask
from weftline.core.weaving.candidates import Survey
from weftline.core.weaving.found import Found
from weftline.core.weaving.shapes import BAND_WORDS, Shape
from weftline.core.weaving.shortest import Shortest
from weftline.core.weaving.slips import Doubt, meant_by
from weftline.core.weaving.stretch import Stretch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.weaving.lines import LineKind, WovenLine


@dataclass(frozen=True, slots=True)
class Slip:
    """A pick that breaks a symmetry.

    Parameters
    ----------
    line, shed : int
        Where, counted from 0.
    thrown, meant : str
        Word of the yarn that lies there and of that which symmetry says; ``-`` for none.
    agreeing : int
        How many picks that symmetry, or the same line beside it, makes its equals say so.
    other : tuple of int or None
        Line and shed of the pick that answers it, where there is just one: then either may be the slip.
    """

    line: int
    shed: int
    thrown: str
    meant: str
    agreeing: int
    other: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class FoundBands:
    """What the band finder says about woven lines.

    Parameters
    ----------
    bands : tuple of Band
        The shortest description of the cloth as woven: expanded, it gives exactly its picks.
    first_lines : tuple of int
        Woven line that each band begins with, from 0.
    slips : tuple of Slip
        From the foot up.
    meant : tuple of Band
        The same for the cloth with every slip as symmetry says; ``bands`` where there is none.
    """

    bands: tuple[Band, ...]
    first_lines: tuple[int, ...]
    slips: tuple[Slip, ...]
    meant: tuple[Band, ...]


def find_bands(lines: Sequence[WovenLine], whole: LineKind, *, slips: bool = True) -> FoundBands:
    """Return the shortest description of woven lines, and the slips in them.

    Parameters
    ----------
    lines : sequence of WovenLine
        From the foot up.
    whole : LineKind
        Sheds and beat of a band that says nothing of its own.
    slips : bool
        Whether to look for slips; without, ``meant`` is ``bands``.

    Examples
    --------
    >>> from weftline.core.weaving.lines import LineKind, WovenLine
    >>> kind = LineKind(((1,), (2,), (3,)), 4.0)
    >>> found = find_bands([WovenLine(tuple(word), kind) for word in ["soo", "oso", "oos"] * 4], kind)
    >>> [(band.lines, band.times) for band in found.bands]
    [(('s o o', 'o s o', 'o o s'), 4)]
    """
    finding = _Finding(whole)
    for kind, group in groupby(lines, key=lambda line: line.kind):
        finding.add(kind, list(group), slips)
    return FoundBands(tuple(finding.bands), tuple(finding.first_lines), tuple(finding.slips), tuple(finding.meant))


class _Finding:
    """Collects the bands of one stretch after the other."""

    def __init__(self, whole: LineKind) -> None:
        self.whole = whole
        self.bands: list[Band] = []
        self.first_lines: list[int] = []
        self.slips: list[Slip] = []
        self.meant: list[Band] = []
        self.words: list[str] = []
        self.codes: dict[str, int] = {NOT_THROWN: -1}
        self.foot = 0
        self.before: int | None = None

    def add(self, kind: LineKind, lines: list[WovenLine], slips: bool) -> None:
        """Find the bands of lines of one kind that follow those before."""
        stretch = self._stretch(kind, lines)
        exact = Shortest(Survey(stretch)).bands()
        for band in exact:
            self.bands.append(self._band(stretch, band, kind, len(self.bands)))
            self.first_lines.append(self.foot + band.start)
        if slips:
            meant = meant_by(stretch, exact)
            self.slips.extend(self._slip(stretch, doubt) for doubt in meant.doubts)
            exact, stretch = list(meant.bands), meant.stretch
        for band in exact:
            self.meant.append(self._band(stretch, band, kind, len(self.meant)))
        self.foot += len(lines)

    def _stretch(self, kind: LineKind, lines: list[WovenLine]) -> Stretch:
        for line in lines:
            for token in line.tokens:
                if token not in self.codes:
                    self.codes[token] = len(self.words)
                    self.words.append(token)
        codes = self.codes
        tokens = np.array([[codes[token] for token in line.tokens] for line in lines], dtype=np.int32)
        direction = np.array([0 if line.picks == 1 else -1 if line.back else 1 for line in lines], dtype=np.int8)
        masks = tuple(shed_mask(shed) for shed in kind.sheds)
        stretch = Stretch(tokens, direction, masks, self.before, self._kind_words(kind))
        last = stretch.alphabet.order(int(stretch.ids[-1]))[-1]
        self.before = masks[last]
        return stretch

    def _kind_words(self, kind: LineKind) -> int:
        own = sum(len(shed) for shed in kind.sheds) if kind.sheds != self.whole.sheds else 0
        return own + (kind.lines_per_cm != self.whole.lines_per_cm)

    def _band(self, stretch: Stretch, band: Found, kind: LineKind, place: int) -> Band:
        shape = band.shape
        settings: dict[str, object] = {"name": f"Band {place + 1}"}
        if kind.sheds != self.whole.sheds:
            settings["sheds"] = kind.sheds
        settings["lines"] = self._written(stretch, band)
        settings.update(_settings(shape))
        if kind.lines_per_cm != self.whole.lines_per_cm:
            settings["lines_per_cm"] = kind.lines_per_cm
        return Band.model_validate(settings)

    def _written(self, stretch: Stretch, band: Found) -> tuple[str, ...]:
        found = []
        for number, run in groupby(band.written(stretch.ids)):
            direction, tokens = stretch.alphabet.lines[number]
            words = tuple(NOT_THROWN if token < 0 else self.words[token] for token in tokens)
            found.append(WrittenLine(words, direction < 0, sum(1 for _ in run)).text())
        return tuple(found)

    def _slip(self, stretch: Stretch, doubt: Doubt) -> Slip:
        line, shed = doubt.place
        thrown, meant = (
            NOT_THROWN if token < 0 else self.words[token] for token in (int(stretch.tokens[line, shed]), doubt.meant)
        )
        other = None if doubt.other is None else (doubt.other[0] + self.foot, doubt.other[1])
        return Slip(self.foot + line, shed, thrown, meant, doubt.agreeing, other)


def _settings(shape: Shape) -> dict[str, object]:
    """Return the settings of a shape that are not the usual ones, by their keys in the project file."""
    found: dict[str, object] = {}
    if shape.times > 1:
        found["times"] = shape.times
    if shape.mirror != "none":
        found["mirror"] = shape.mirror
        if shape.middle == "double":
            found["middle"] = shape.middle
        if shape.times > 1 and shape.joint != shape.middle:
            found["joint"] = shape.joint
    if shape.resume:
        found["resume"] = True
    return found


def words_of(bands: Sequence[Band]) -> int:
    """Return the length of a description in words, as told at the head of this module.

    Examples
    --------
    >>> words_of([Band(lines=("s o o *2", "o s o"), times=4)])
    10
    """
    return sum(_words(band) for band in bands)


def _words(band: Band) -> int:
    mirrored = band.mirror != "none"
    settings = (
        band.times > 1,
        mirrored,
        mirrored and band.middle == "double",
        mirrored and band.times > 1 and (band.joint or band.middle) != band.middle,
        band.resume,
        band.lines_per_cm is not None,
    )
    own = sum(len(shed) for shed in band.sheds or ())
    return BAND_WORDS + sum(settings) + own + sum(len(line.split()) for line in band.lines)
