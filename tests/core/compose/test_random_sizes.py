"""Random pieces and wishes: ends balanced, sheds intact, motifs whole, sizes met or the sentence why not.

By default 70 of each kind, 210 in all; with ``WEFTLINE_FULL`` set, 2,000.
"""

import json
import os
import random
from collections.abc import Callable
from itertools import groupby, pairwise
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.compose.sized import (
    Token,
    finished,
    has_point,
    line_tokens,
    of_bands,
    once,
    random_wish,
    sized_piece,
    tokens,
)
from tests.core.weaving.patterned import patterned_piece
from tests.pieces import Piece, read
from tests.strategies import pieces, random_project
from weftline.core.compose.resize import resize
from weftline.core.compose.wish import Resized, Wish
from weftline.core.piece.cloth import Cloth, StripCloth, expand
from weftline.core.piece.values import Project
from weftline.formats.native import dumps, loads

COUNT: Final = 2000 if "WEFTLINE_FULL" in os.environ else 70
NEAR: Final = 0.1


class Case:
    """One piece, one wish, and what came of it."""

    def __init__(self, piece: Piece, seed: int) -> None:
        self.project = read(piece)
        self.before = expand(self.project)
        self.width, self.length = finished(self.before, 0)
        self.wish: Wish = random_wish(random.Random(seed), self.project, self.width, self.length)
        self.found: Resized = resize(self.project, self.wish)
        self.after = expand(self.found.project)

    @property
    def threads_change(self) -> bool:
        return bool(self.wish.sett_per_cm or self.wish.lines_per_cm or self.wish.yarns)

    @property
    def asked_width(self) -> float | None:
        other_sett = self.wish.sett_per_cm not in (None, self.project.warp.sett_per_cm or 2.4)
        return self.wish.width_mm or (self.width if other_sett or self.too_wide else None)

    @property
    def too_wide(self) -> bool:
        """Whether the piece as it was is too wide for a loom that is named now."""
        loom = self.wish.loom_width_mm
        strips = self.project.sections[0].strips
        reed = sum(strip.ends for strip in strips) / (self.project.warp.sett_per_cm or 2.4)
        return loom is not None and (reed + sum(strip.gap_after_cm for strip in strips[:-1])) * 10 > loom

    def refused(self, words: str) -> bool:
        return any(words in refusal for refusal in self.found.refusals)


def width_trouble(case: Case) -> str | None:
    """Ends balanced, whole repeats, the nearest number that there is."""
    threading = case.before.technique.threading
    strips = case.after.sections[0].strips
    two = case.found.two_widths
    ends = [strip.weaving.ends.tolist() for strip in strips]
    if two is not None:
        right = case.after.sections[1].strips[0].weaving.ends.tolist()
        if ends[0][-1] == right[0] and len(set(threading)) > 1 and threading[0] != threading[-1]:
            return "a column doubles at the seam"
        ends = [ends[0] + right]
    if case.asked_width is None and two is None:
        return (
            None if ends == [strip.weaving.ends.tolist() for strip in case.before.sections[0].strips] else "ends moved"
        )
    if case.refused("not even one repeat"):
        return None
    for number, run in enumerate(ends):
        if has_point(threading) and run != run[::-1]:
            return f"strip {number} is not balanced: {run}"
        had = len(case.before.sections[0].strips[number].weaving.ends)
        if had >= len(threading) > len(run):
            return f"strip {number} lost its repeat"
        if not has_point(threading) and (len(run) - had) % len(threading):
            return f"strip {number} does not end as before"
    return size_trouble(case, ends)


def size_trouble(case: Case, ends: list[list[int]]) -> str | None:
    threading = case.before.technique.threading
    widths = [finished(case.after, place)[0] for place in ((0, 1) if case.found.two_widths else (0,))]
    got, wanted = sum(widths), case.asked_width or case.width
    pitch = (finished(case.after, 0)[0] - _open_gaps(case.after)) / sum(
        len(strip.weaving.ends) for strip in case.after.sections[0].strips
    )
    loom = case.found.project.loom.weaving_width_cm
    if loom is not None:
        sett = case.found.project.warp.sett_per_cm or 2.4
        for section in case.after.sections[: 2 if case.found.two_widths else 1]:
            gaps = sum(strip.written.gap_after_cm for strip in section.strips[:-1])
            reed = sum(len(strip.weaving.ends) for strip in section.strips) / sett + gaps
            if reed > loom + 1e-6:
                return f"{reed} cm in the reed of {loom} cm"
    if abs(got - wanted) <= len(threading) * pitch / 2 + NEAR:
        return None
    if not case.refused("width"):
        return f"{got:.1f} wide, wished {wanted:.1f}, and no word"
    if len(ends) == 1 and loom is None and has_point(threading) and len(ends[0]) >= len(threading):
        doubled = threading * (4000 // len(threading) + 2)
        foot = case.before.sections[0].strips[0].lay.start - 1
        good = [n for n in range(len(threading), 1500) if _reads_alike(doubled[foot : foot + n])]
        best = min(abs(n * pitch - wanted) for n in good if n > 1)
        if abs(got - wanted) > best + NEAR:
            return f"{got:.1f} wide, wished {wanted:.1f}, possible within {best:.1f}"
    return None


def _reads_alike(run: tuple[int, ...]) -> bool:
    return run == run[::-1]


def _open_gaps(cloth: Cloth) -> float:
    return sum(strip.written.gap_after_cm * 10.0 for strip in cloth.sections[0].strips[:-1])


def contains(whole: list[Token], part: list[Token]) -> bool:
    return any(whole[at : at + len(part)] == part for at in range(len(whole) - len(part) + 1))


def motif_trouble(case: Case, number: int) -> str | None:
    """Every band is still there whole, in its order; first and last as they were; nothing else was put in."""
    old, new = case.before.sections[0].strips[number], case.after.sections[0].strips[number]
    units = of_bands(once(case.project, 0).sections[0].strips[number])
    whole = tokens(new)
    for band, unit in enumerate(units):
        resumes = old.written.bands[band].resume
        if not contains(whole, unit) and not (resumes and contains(whole, unit[1:])):
            return f"band {band} of strip {number} is no longer whole"
    were, are = of_bands(old), of_bands(new)
    if len(were) > 2 and (were[0] != are[0] or were[-1] != are[-1]):
        grown_row = len(are) != len(were)
        if not grown_row:
            return f"a border of strip {number} changed"
    twice = of_bands(once(case.project, 0, times=2).sections[0].strips[number])
    copies = {}
    for unit, pair in zip(units, twice, strict=True):
        copies[tuple(unit)] = pair[len(unit) :]
    for band, run in enumerate(are):
        if not any(_is_repeats(run, list(unit), later) for unit, later in copies.items()):
            return f"band {band} of the new strip {number} is no whole number of any motif"
    return None


def _is_repeats(run: list[Token], unit: list[Token], later: list[Token]) -> bool:
    for foot in (unit, unit[1:]):
        if run[: len(foot)] != foot:
            continue
        rest = run[len(foot) :]
        if not rest or (later and len(rest) % len(later) == 0 and later * (len(rest) // len(later)) == rest):
            return True
    return False


def line_trouble(case: Case, number: int) -> str | None:
    """In another sett or beat, every band still has its different lines in their order."""

    def steps(project: Project) -> list[list[object]]:
        strip = once(project, 0, mirrored=False).sections[0].strips[number]
        lines = line_tokens(strip)
        bands = [band for band, _ in groupby(zip(*_line_bands(strip), strict=True))]
        found: list[list[object]] = [[] for _ in strip.written.bands]
        for line, (band, _) in zip(lines, bands, strict=True):
            bare = tuple((shed, tuple(key for key, _ in wound)) for shed, wound, _ in line)
            if not found[band] or found[band][-1] != bare:
                found[band].append(bare)
        return found

    old, new = steps(case.project), steps(case.found.project)
    if any(lines not in old for lines in new) or any(lines not in new for lines in old):
        return f"lines of strip {number} went missing or changed places"
    return None


def _line_bands(strip: StripCloth) -> tuple[list[int], list[int]]:
    picks = strip.weaving.picks
    return picks.band.tolist(), picks.line.tolist()


def shed_trouble(case: Case, number: int) -> str | None:
    """No pick lies in the shed of the pick before it where none of the old cloth did.

    A band whose first two picks share a shed, or that has a single pick, cannot be helped; then it must be told.
    """

    def doubled(cloth: Cloth) -> set[tuple[tuple[int, object], tuple[int, object]]]:
        thrown = [(shed, tuple(key for key, _ in wound)) for shed, wound, _ in tokens(cloth.sections[0].strips[number])]
        return {pair for pair in pairwise(thrown) if pair[0][0] == pair[1][0]}

    fresh = doubled(case.after) - doubled(case.before)
    if not fresh:
        return None
    units = of_bands(once(case.project, 0).sections[0].strips[number])
    unhelped = {one[0][0] for one in units if len(one) < 2 or one[0][0] == one[1][0]}
    if case.refused("fall into one shed") and all(pair[0][0] in unhelped for pair in fresh):
        return None
    return f"strip {number} falls twice into one shed: {fresh}"


def length_trouble(case: Case) -> str | None:
    wanted = case.wish.length_mm or (case.length if case.threads_change else None)
    got = finished(case.after, 0)[1]
    if wanted is None:
        return None if abs(got - case.length) < NEAR else "the length moved"
    if abs(got - wanted) <= half_motif(case) + NEAR or case.refused("length"):
        return None
    return f"{got:.1f} long, wished {wanted:.1f}, half a motif is {half_motif(case):.1f}, and no word"


def half_motif(case: Case) -> float:
    """Half of the tallest band that repeats inside; where none does, of all that lies between the first and the last."""
    along = finished(case.after, 0)[1] / max(sum(token[2] for token in tokens(case.after.sections[0].strips[0])), 1e-9)
    written = case.project.sections[0].strips[0].bands
    inside = range(1, len(written) - 1) if len(written) > 2 else range(len(written))
    new_units = of_bands(once(case.found.project, 0).sections[0].strips[0])
    again = of_bands(once(case.found.project, 0, times=2).sections[0].strips[0])
    tall = [
        sum(token[2] for token in again[at][len(new_units[at]) :])
        for at in inside
        if written[at].times > 1 and len(again[at]) > len(new_units[at])
    ]
    if tall:
        return max(tall) * along / 2
    inner = of_bands(expand(_relined(case)).sections[0].strips[0])
    rows = [inner[at] for at in range(len(inner))]
    return sum(token[2] for row in rows for token in row) * along / 2


def _relined(case: Case) -> Project:
    """The old bands with their new lines: what one run is."""
    data = case.found.project.model_dump(mode="json", exclude_unset=True)
    old = case.project.sections[0].strips[0].bands
    strip = data["sections"][0]["strips"][0]
    strip["bands"] = strip.get("bands", [])[: len(old)]
    return Project.model_validate(data)


def mirror_trouble(case: Case) -> str | None:
    for old, new in zip(case.before.sections[0].strips, case.after.sections[0].strips, strict=True):
        if tokens(old) == tokens(old)[::-1] and tokens(new) != tokens(new)[::-1]:
            return "the whole is no longer its own mirror, pick by pick"
        if line_tokens(old) == line_tokens(old)[::-1] and line_tokens(new) != line_tokens(new)[::-1]:
            return "the whole is no longer its own mirror, line by line"
    return None


def warp_trouble(case: Case) -> str | None:
    """Sections take the same warp, the file can be read again, and no band became a heap of lines."""
    had = {finding.code for finding in case.before.findings}
    fresh = {finding.code for finding in case.after.findings} - had - {"resume-idle"}
    if fresh:
        return f"new findings: {fresh}"
    if loads(dumps(case.found.project)) != case.found.project:
        return "the file does not come back as it was"
    written = {len(band.lines) for strip in case.project.sections[0].strips for band in strip.bands}
    now = {len(band.lines) for strip in case.found.project.sections[0].strips for band in strip.bands}
    return None if now == written else "bands were spelt out or lost"


def troubles(case: Case) -> list[str]:
    found = [width_trouble(case), length_trouble(case), mirror_trouble(case), warp_trouble(case)]
    for number in range(len(case.before.sections[0].strips)):
        if case.before.sections[0].strips[number].written.bands:
            found.append(line_trouble(case, number) if case.threads_change else motif_trouble(case, number))
            found.append(shed_trouble(case, number))
    return [trouble for trouble in found if trouble is not None]


@pytest.mark.parametrize("piece_of, first", [(sized_piece, 0), (patterned_piece, 10_000), (random_project, 20_000)])
def test_every_size_is_whole_and_as_near_as_it_goes(piece_of: Callable[[random.Random], Piece], first: int) -> None:
    wrong, met = [], 0
    for seed in range(first, first + COUNT):
        case = Case(piece_of(random.Random(seed)), seed)
        wrong += [f"{seed}: {trouble}" for trouble in troubles(case)]
        met += not case.found.refusals
        assert case.found.sentences or case.found.refusals
        assert all(sentence.endswith(".") for sentence in (*case.found.sentences, *case.found.refusals))
    assert wrong == []
    assert met > COUNT / 4


@settings(max_examples=COUNT // 2, deadline=None)
@given(pieces(), st.floats(0.2, 5), st.floats(0.2, 5), st.sampled_from(["size", "wool", "loom", "threads"]))
def test_any_piece_at_all_gets_a_piece_that_can_be_followed(
    piece: Piece, wider: float, longer: float, kind: str
) -> None:
    project = read(piece)
    section = len(project.sections) - 1
    width, length = finished(expand(project), section)
    wish = {
        "size": Wish(width_mm=width * wider, length_mm=length * longer, section=section),
        "wool": Wish(from_wool=True, on_hand_g={"o": 200 * longer}, section=section),
        "loom": Wish(as_wide_as_loom=True, loom_width_mm=100 * wider, section=section),
        "threads": Wish(sett_per_cm=2 * wider, lines_per_cm=3 * longer, section=section),
    }[kind]
    found = resize(project, wish)
    fresh = {finding.code for finding in expand(found.project).findings} - {
        one.code for one in expand(project).findings
    }
    assert fresh <= {"resume-idle"}
    assert loads(dumps(found.project)) == found.project
    assert found.sentences or found.refusals


def test_the_size_that_a_piece_has_changes_nothing() -> None:
    for seed in range(50_000, 50_000 + COUNT // 4):
        project = read(sized_piece(random.Random(seed)))
        length = finished(expand(project), 0)[1]
        found = resize(project, Wish(length_mm=length))
        assert found.project == project, (seed, json.dumps(found.sentences))
