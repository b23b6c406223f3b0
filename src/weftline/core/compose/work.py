"""A piece on its way to another size: what it was, what it is by now, and what was said on the way."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weftline.core.compose.words import length_words
from weftline.core.findings import Basis, Quantity
from weftline.core.geometry.sizes import lengths, section_size
from weftline.core.piece.cloth import expand
from weftline.core.piece.settings import settings_of

if TYPE_CHECKING:
    from weftline.core.compose.wish import TwoWidths, Wish
    from weftline.core.piece.values import Project


@dataclass(frozen=True, slots=True)
class Finished:
    """A section's finished size, mm."""

    width_mm: float
    length_mm: float


def finished_sizes(project: Project) -> tuple[Finished, ...]:
    """Return the finished size of every section, woven once."""
    settings = settings_of(project)
    sizes = [section_size(section, settings) for section in expand(project).sections]
    return tuple(Finished(one.across.finished_mm.value, one.lengths.finished_mm.value) for one in sizes)


def finished_share(project: Project) -> float:
    """Return the finished length of one mm on the loom."""
    return lengths(Quantity(1.0, Basis.COMPUTED), settings_of(project)).finished_mm.value


@dataclass(slots=True)
class Work:
    """A piece on its way.

    Parameters
    ----------
    before, project : Project
        As it was, and as it is by now.
    wish : Wish
    sizes : tuple of Finished
        Of its sections as it was.
    sections : tuple of int
        Sections that the wish is about: one, or the two widths that it became.
    threads_changed : bool
        Whether sett, beat or yarns changed, which every section feels.
    """

    before: Project
    project: Project
    wish: Wish
    sizes: tuple[Finished, ...]
    sections: tuple[int, ...]
    threads_changed: bool = False
    sett_changed: bool = False
    sentences: list[str] = field(default_factory=list)
    refusals: list[str] = field(default_factory=list)
    two_widths: TwoWidths | None = None
    ends_first: str | None = None

    def say(self, sentence: str) -> None:
        """Note what changed."""
        self.sentences.append(sentence)

    def refuse(self, sentence: str) -> None:
        """Note what of the wish is not met."""
        self.refusals.append(sentence)

    def mm(self, mm: float) -> str:
        """Return a length in the piece's units."""
        return length_words(mm, self.before)
