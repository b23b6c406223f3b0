"""A piece in another size, sett, beat or yarn, with a sentence for each change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.core.compose.lengthening import change_length
from weftline.core.compose.looks import doubled_sheds
from weftline.core.compose.threads import change_threads
from weftline.core.compose.widening import change_width, check_marks
from weftline.core.compose.wish import NOTHING, Resized, Wish, check_wish, with_section
from weftline.core.compose.words import counted
from weftline.core.compose.work import Work, finished_sizes
from weftline.core.piece.cloth import expand
from weftline.core.piece.written import listed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.piece.values import Project


def resize(project: Project, wish: Wish) -> Resized:
    """Return the piece that comes nearest to a wish.

    Parameters
    ----------
    project : Project
        As written; it stays as it is.
    wish : Wish

    Returns
    -------
    Resized
        Ends are whole repeats and what balances them, motifs whole, first and last bands kept; what
        of the wish cannot be met is told in its refusals.

    Raises
    ------
    PieceError
        For a piece that cannot be followed, or a wish that no loom could meet.

    Examples
    --------
    >>> from weftline.core.piece.values import Project
    >>> bands = [{"lines": ["o o o *2"]}, {"name": "Teeth", "lines": ["s o o", "s s o"], "times": 8}, {"lines": ["o o o *2"]}]
    >>> piece = Project.model_validate({"weftline": 1, "yarns": {"o": {}, "s": {}}, "beat": {"lines_per_cm": 4},
    ...     "warp": {"sett_per_cm": 2.4}, "sections": [{"strips": [{"ends": 37, "bands": bands}]}]})
    >>> found = resize(piece, Wish(width_mm=200, length_mm=100))
    >>> found.project.sections[0].strips[0].ends, found.project.sections[0].strips[0].bands[1].times
    (57, 19)
    """
    check_wish(project, wish)
    work = Work(project, project, wish, finished_sizes(project), (wish.section,))
    if wish.pieces is not None:
        _take_pieces(work, wish.pieces)
    change_threads(work)
    change_width(work)
    change_length(work)
    check_marks(work)
    _look_at_sheds(work)
    if not work.sentences and not work.refusals:
        work.say("Nothing changes: the piece is as wished already.")
    return Resized(work.project, tuple(work.sentences), tuple(work.refusals), work.two_widths, work.ends_first)


def _take_pieces(work: Work, pieces: int) -> None:
    section = work.project.sections[work.wish.section]
    if section.pieces == pieces:
        return
    work.say(f"{counted(pieces, 'piece')} on one warp instead of {section.pieces}.")
    work.project = with_section(work.project, work.wish.section, section.model_copy(update={"pieces": pieces}))


def _look_at_sheds(work: Work) -> None:
    """Say where two picks now lie in one shed that did not: no resume could part them."""
    fresh = doubled_sheds(expand(work.project)) - doubled_sheds(expand(work.before))
    if fresh:
        yarns = listed(sorted({"+".join(second) for _, _, second in fresh}), "and")
        work.refuse(
            f"Where bands come again, two picks now fall into one shed ({yarns}); beat between them, or drop one of the two."
        )


def as_wide_as(project: Project, loom_width_mm: float | None = None) -> Resized:
    """Return the piece as wide as a loom weaves; the piece's own loom where no width is given."""
    return resize(project, Wish(as_wide_as_loom=True, loom_width_mm=loom_width_mm))


def longest_from_wool(project: Project, on_hand_g: Mapping[str, float] = NOTHING) -> Resized:
    """Return the piece as long as the wool reaches; grams that are not given are those that the piece says."""
    return resize(project, Wish(from_wool=True, on_hand_g=on_hand_g))
