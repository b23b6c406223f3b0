"""Woven lines: what was thrown in each round of the sheds, by the words that a weaver would write."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.piece.settings import DEFAULTS
from weftline.core.weave.line import NOT_THROWN

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.cloth import Cloth, StripCloth
    from weftline.core.piece.values import Band
    from weftline.core.weave.picks import Picks, Winding


@dataclass(frozen=True, slots=True)
class LineKind:
    """What lines of one band have in common.

    Parameters
    ----------
    sheds : tuple of tuple of int
        Shafts covered by each pick of a line, in the order of the line.
    lines_per_cm : float
        Beat of a whole line.
    """

    sheds: tuple[tuple[int, ...], ...]
    lines_per_cm: float


@dataclass(frozen=True, slots=True)
class WovenLine:
    """One woven line.

    Parameters
    ----------
    tokens : tuple of str
        One a shed, as in a written line; ``-`` where nothing was thrown.
    kind : LineKind
    back : bool
        Whether the last shed was thrown first; of no meaning for a single pick.
    """

    tokens: tuple[str, ...]
    kind: LineKind
    back: bool = False

    @property
    def picks(self) -> int:
        """How many picks were thrown."""
        return sum(token != NOT_THROWN for token in self.tokens)


def written_token(winding: Winding, own_strands: Mapping[str, int]) -> str:
    """Return the word for a winding in a written line.

    Raises
    ------
    ValueError
        For one strand of a yarn that a written line always takes with several.

    Examples
    --------
    >>> written_token((("o", 2),), {"o": 2}), written_token((("o", 1), ("s", 2)), {"o": 2, "s": 2})
    ('o', 'o+s+s')
    """
    if len(winding) == 1:
        key, strands = winding[0]
        if strands == own_strands[key]:
            return key
        if strands == 1:
            raise ValueError(
                f"yarn {key} was thrown with one strand, but its letter means {own_strands[key]}; "
                "give the single strand a yarn of its own"
            )
    return "+".join(key for key, strands in winding for _ in range(strands))


def lines_of_picks(picks: Picks, tokens: Sequence[str], kinds: Sequence[LineKind]) -> list[WovenLine]:
    """Return picks as woven lines.

    Parameters
    ----------
    picks : Picks
        As planned or as logged; ``band`` chooses the kind of a pick's line.
    tokens : sequence of str
        The word for each winding.
    kinds : sequence of LineKind
        One for each band.

    Notes
    -----
    A round whose sheds were not thrown in rising or falling order is no line that could be written;
    it is given as several lines, each in one direction.
    """
    found: list[WovenLine] = []
    thrown: list[tuple[int, int]] = []
    here: tuple[int, int] | None = None
    for number, band, slot, wound in zip(
        picks.line.tolist(), picks.band.tolist(), picks.slot.tolist(), picks.wound.tolist(), strict=True
    ):
        if here is not None and ((number, band) != here or not _goes_on([s for s, _ in thrown], slot)):
            found.append(_line(thrown, tokens, kinds[here[1]]))
            thrown = []
        here = number, band
        thrown.append((slot, wound))
    if here is not None:
        found.append(_line(thrown, tokens, kinds[here[1]]))
    return found


def _goes_on(slots: list[int], slot: int) -> bool:
    if len(slots) == 1:
        return slot != slots[0]
    return (slots[1] > slots[0] and slot > slots[-1]) or (slots[1] < slots[0] and slot < slots[-1])


def _line(thrown: list[tuple[int, int]], tokens: Sequence[str], kind: LineKind) -> WovenLine:
    words = [NOT_THROWN] * len(kind.sheds)
    for slot, wound in thrown:
        words[slot] = tokens[wound]
    return WovenLine(tuple(words), kind, len(thrown) > 1 and thrown[1][0] < thrown[0][0])


def whole_kind(cloth: Cloth) -> LineKind:
    """Return the sheds and beat of a band that says nothing of its own."""
    return LineKind(cloth.technique.sheds, float(cloth.project.beat.lines_per_cm or DEFAULTS["lines_per_cm"]))


def kind_of(cloth: Cloth, band: Band) -> LineKind:
    """Return the sheds and beat of a band's lines."""
    whole = whole_kind(cloth)
    return LineKind(
        whole.sheds if band.sheds is None else tuple(tuple(sorted(shed)) for shed in band.sheds),
        whole.lines_per_cm if band.lines_per_cm is None else float(band.lines_per_cm),
    )


def lines_of_strip(cloth: Cloth, strip: StripCloth) -> list[WovenLine]:
    """Return the woven lines of one strip of an expanded piece.

    Raises
    ------
    ValueError
        When a winding has no word of its own.
    """
    own = {key: yarn.strands for key, yarn in cloth.project.yarns.items()}
    kinds = [kind_of(cloth, band) for band in strip.written.bands]
    return lines_of_picks(strip.weaving.picks, [written_token(wound, own) for wound in cloth.windings], kinds)
