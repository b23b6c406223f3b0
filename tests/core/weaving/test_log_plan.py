"""The throws of a plan by place, where places go when it is changed, and the cloth as it was woven."""

from dataclasses import replace
from itertools import count

import numpy as np
import pytest

from tests.pieces import PIECES, SLOTS, TEETH, TWO_STRAPS, Piece, changed, one_strip
from weftline.core.piece.cloth import expand
from weftline.core.piece.commands import Command, Insert, Move, Remove, Set, apply
from weftline.core.piece.draft import Node, draft_of, file_data
from weftline.core.piece.values import Project
from weftline.core.plan.steps import steps
from weftline.core.weaving.account import account_of
from weftline.core.weaving.as_woven import as_woven, woven_cloth
from weftline.core.weaving.bands import find_bands
from weftline.core.weaving.coming import PlannedThrows, moved
from weftline.core.weaving.fold import Stand, Woven
from weftline.core.weaving.lines import lines_of_strip, whole_kind
from weftline.core.weaving.log import Planned, Throw

STRAPS_OF_TWO_LENGTHS = changed(TWO_STRAPS, ("sections", 1, "strips", 1, "bands", 0, "times"), 1)
ALL = {**PIECES, "straps of two lengths": STRAPS_OF_TWO_LENGTHS}


def throws_of(piece: Piece | Node) -> PlannedThrows:
    """The throws of a piece, with ids a, b, c ... where it has none."""
    if isinstance(piece, Node):
        return PlannedThrows(expand(Project.model_validate(file_data(piece))), piece)
    ids = (f"n{number}" for number in count(1))
    return throws_of(draft_of(piece, lambda: next(ids)))


def followed(plan: PlannedThrows, first: int = 1, last: int | None = None, seq: int = 1) -> list[Throw]:
    return [plan.throw(one, seq) for one in range(first, (last or plan.total) + 1)]


@pytest.mark.parametrize("name", ALL)
def test_every_place_is_the_step_of_the_plan(name: str) -> None:
    plan = throws_of(ALL[name])
    expected = list(steps(plan.cloth))
    found = plan.coming(1, 10**6)
    assert [one.ordinal for one in found] == [one.ordinal for one in expected]
    assert plan.total == len(expected)
    for one, other in zip(found, expected, strict=True):
        section = plan.cloth.sections[one.section]
        assert (section.name, one.piece, section.strips[one.strip].name) == (other.section, other.piece, other.strip)
        assert (one.line, one.pick, one.shed, one.strands) == (other.line, other.pick, other.shed, other.strands)
        assert plan.ordinal_of(one.section, one.piece, one.strip, one.index) == one.ordinal
        assert plan.find(plan.address(one.ordinal)) == one.ordinal


def test_a_place_beyond_the_plan_is_told() -> None:
    plan = throws_of(TEETH)
    for ordinal in (0, plan.total + 1):
        with pytest.raises(IndexError, match=f"throws 1 to {plan.total}, not {ordinal}"):
            plan.at(ordinal)
    assert [one.ordinal for one in plan.coming(plan.total, 5)] == [plan.total]
    assert plan.coming(plan.total + 1, 5) == []


def test_places_of_a_thousand_pieces_are_worked_out_and_not_listed() -> None:
    plan = throws_of(changed(TWO_STRAPS, ("sections", 1, "pieces"), 1000))
    assert plan.total == 18 + 1000 * 36
    last = plan.at(plan.total)
    assert (last.section, last.piece, last.strip, last.line, last.pick) == (1, 1000, 1, 6, 3)


BASE = one_strip({"name": "A", "lines": ["o o o", "s o o"]}, {"name": "B", "lines": ["m o o", "o s o"], "times": 2})
# ids: section n1, strip n2, band A n3 with n4 n5, band B n6 with n7 n8; throws 1-3 4-6 | 7-9 10-12 13-15 16-18
NEW = {"id": "new", "kind": "line", "fields": {"text": "s s s"}, "children": []}


@pytest.mark.parametrize(
    "command,ordinal,expected",
    [
        pytest.param(Set(node="n8", field="text", value="m m m"), 8, 8, id="a line above is written anew"),
        pytest.param(Insert(parent="n3", after=None, node=NEW), 8, 11, id="a line is put in at the foot"),
        pytest.param(Insert(parent="n3", after="n4", node=NEW), 4, 4, id="a line is put in at the fell, and is next"),
        pytest.param(Remove(node="n4"), 8, 5, id="a woven line is taken away"),
        pytest.param(Remove(node="n4"), 4, 4, id="all that was woven is taken away: the count is kept"),
        pytest.param(Remove(node="n8"), 8, 8, id="a line above is taken away"),
        pytest.param(Set(node="n6", field="times", value=5), 15, 15, id="more repeats"),
        pytest.param(Set(node="n6", field="times"), 15, 13, id="fewer repeats than were woven: the band is behind"),
        pytest.param(Move(node="n6", parent="n2", after=None), 8, 2, id="the band at the fell is moved to the foot"),
        pytest.param(Set(node="n3", field="times", value=2), 19, 25, id="all was woven, and is still"),
    ],
)
def test_the_next_place_follows_a_change_of_the_plan(command: Command, ordinal: int, expected: int) -> None:
    old = throws_of(BASE)
    new = throws_of(apply(old.draft, command)[0])
    assert moved(old, new, ordinal) == expected


@pytest.mark.parametrize("name", ALL)
def test_a_plan_that_was_followed_is_woven_as_planned(name: str) -> None:
    plan = throws_of(ALL[name])
    cloth = woven_cloth(followed(plan), plan, lambda seq: plan)
    assert cloth.stray == 0
    assert len(cloth.pieces) == sum(section.written.pieces for section in plan.cloth.sections)
    for piece in cloth.pieces:
        for planned, woven in zip(plan.cloth.sections[piece.section].strips, piece.strips, strict=True):
            mine, theirs = woven.weaving.picks, planned.weaving.picks
            for array in ("shed", "line", "slot"):
                assert np.array_equal(getattr(mine, array), getattr(theirs, array)), array
            assert mine.top_mm == pytest.approx(theirs.top_mm)
            assert np.array_equal(woven.weaving.ends, planned.weaving.ends)
            wound = [woven.weaving.windings[one] for one in mine.wound]
            assert wound == [planned.weaving.windings[one] for one in theirs.wound]


@pytest.mark.parametrize("name", ALL)
def test_as_woven_is_a_project_of_the_same_picks(name: str) -> None:
    plan = throws_of(ALL[name])
    projects = as_woven(woven_cloth(followed(plan), plan, lambda seq: plan), plan.cloth)
    found = [section for project in projects for section in expand(project).sections]
    expected = [section for section in plan.cloth.sections for _ in range(section.written.pieces)]
    for section, planned in zip(found, expected, strict=True):
        for woven, other in zip(section.strips, planned.strips, strict=True):
            assert np.array_equal(woven.weaving.picks.shed, other.weaving.picks.shed)
            assert np.array_equal(woven.weaving.ends, other.weaving.ends)
            assert woven.weaving.picks.height_mm == pytest.approx(other.weaving.picks.height_mm)


def test_the_band_finder_sees_the_plan_again_in_what_was_woven() -> None:
    plan = throws_of(TEETH)
    cloth = woven_cloth(followed(plan), plan, lambda seq: plan)
    (project,) = as_woven(cloth, plan.cloth)
    strip = plan.cloth.sections[0].strips[0]
    expected = find_bands(lines_of_strip(plan.cloth, strip), whole_kind(plan.cloth), slips=False).bands
    assert project.sections[0].strips[0].bands == expected


def test_without_the_plan_lines_are_told_by_their_sheds() -> None:
    plan = throws_of(TEETH)
    cloth = woven_cloth(followed(plan, 1, 30), plan)
    planned = plan.cloth.sections[0].strips[0].weaving.picks
    picks = cloth.pieces[0].strips[0].weaving.picks
    assert np.array_equal(picks.shed, planned.shed[:30])
    assert picks.line_count == int(planned.line[29]) + 1


def test_extra_lines_strange_sheds_and_strands_are_woven_as_thrown() -> None:
    plan = throws_of(SLOTS)
    strip = plan.strips[0][0]
    own = [
        Throw(strip, 1, (1,), (("o", 1),)),
        Throw(strip, 1, (2,), (("o", 3),)),
        Throw(strip, 1, (1, 2, 3), (("z", 2), ("m", 1))),
        Throw("gone", 1, (1,), (("o", 1),)),
    ]
    cloth = woven_cloth([*followed(plan, 1, 4), *own], plan, lambda seq: plan)
    assert cloth.stray == 1
    (project,) = as_woven(cloth, plan.cloth)
    woven = expand(project)
    weaving = woven.sections[0].strips[0].weaving
    assert weaving.picks.shed.tolist()[4:] == [0b1, 0b10, 0b111]
    wound = [dict(weaving.windings[one]) for one in weaving.picks.wound[4:]]
    assert wound == [{"o1": 1}, {"o": 3}, {"z": 2, "m": 1}]
    assert project.yarns["o1"].name == "Oat"


def test_a_weaver_says_where_a_line_begins() -> None:
    plan = throws_of(one_strip({"lines": ["o o o"]}))
    strip = plan.strips[0][0]
    sheds = [((2,), True), ((1,), True), ((2,), False), ((3,), False)]
    said = [Throw(strip, 1, shed, (("o", 2),), begins_line=begins) for shed, begins in sheds]
    picks = woven_cloth(said, plan).pieces[0].strips[0].weaving.picks
    assert picks.line.tolist() == [0, 1, 1, 1]
    extra = Throw(strip, 1, (3,), (("m", 1),), begins_line=False)
    for one, lines in ((extra, [0, 0, 0]), (replace(extra, begins_line=None), [0, 0, 1])):
        woven = woven_cloth([*followed(plan, 1, 2), one], plan, lambda seq: plan)
        assert woven.pieces[0].strips[0].weaving.picks.line.tolist() == lines


def test_the_account_of_nothing_woven_names_the_first_throw() -> None:
    account = account_of(Woven(), throws_of(TEETH), Stand())
    assert (account.woven_picks, account.lines, account.length_mm.value) == (0, 0, 0)
    assert account.next is not None
    assert account.next.ordinal == 1
    assert as_woven(woven_cloth([], account.plan), account.plan.cloth) == ()
    left = account_of(Woven(), account.plan, Stand(Planned(1, 1), True))
    assert left.next is None
