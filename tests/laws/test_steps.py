"""Laws of the steps: every throw in the order in which it is made, and the sums that follow from it."""

from itertools import groupby

from hypothesis import given

from tests.pieces import Piece, read
from tests.strategies import pieces
from weftline.core.plan.plan import plan as plan_of
from weftline.core.weave.technique import mask_shafts


@given(pieces())
def test_steps_are_counted_from_one_to_the_last_throw(piece: Piece) -> None:
    plan = plan_of(read(piece))
    ordinals = [step.ordinal for step in plan.steps()]
    assert ordinals == list(range(1, plan.throws + 1))


@given(pieces())
def test_each_shed_is_thrown_on_every_strip_before_it_changes(piece: Piece) -> None:
    plan = plan_of(read(piece))
    steps = list(plan.steps())
    for section in plan.cloth.sections:
        names = [strip.name for strip in section.strips]
        of_section = [step for step in steps if step.section == section.name]
        for start in range(0, len(of_section), len(names)):
            throws = of_section[start : start + len(names)]
            assert [step.strip for step in throws] == names
            assert len({(step.piece, step.line, step.pick, step.shed, step.lift) for step in throws}) == 1


@given(pieces())
def test_steps_of_a_piece_are_its_picks_in_order(piece: Piece) -> None:
    plan = plan_of(read(piece))
    steps = list(plan.steps())
    for section in plan.cloth.sections:
        for strip in section.strips:
            picks, windings = strip.weaving.picks, strip.weaving.windings
            once = [
                (strip.bands[band], line + 1, mask_shafts(shed), windings[wound])
                for band, line, shed, wound in zip(
                    picks.band.tolist(), picks.line.tolist(), picks.shed.tolist(), picks.wound.tolist(), strict=True
                )
            ]
            mine = [step for step in steps if (step.section, step.strip) == (section.name, strip.name)]
            for number in range(1, section.written.pieces + 1):
                found = [(step.band, step.line, step.shed, step.strands) for step in mine if step.piece == number]
                assert found == once


@given(pieces())
def test_picks_of_a_line_are_counted_from_one(piece: Piece) -> None:
    plan = plan_of(read(piece))
    for _, line in groupby(plan.steps(), key=lambda step: (step.section, step.piece, step.line)):
        counted = [pick for pick, _ in groupby(step.pick for step in line)]
        assert counted == list(range(1, len(counted) + 1))


@given(pieces())
def test_strips_that_agree_are_never_said_to_differ(piece: Piece) -> None:
    assert "strips-differ" not in {finding.code for finding in plan_of(read(piece)).findings}


@given(pieces())
def test_the_woven_length_is_the_sum_of_the_picks_of_any_strip(piece: Piece) -> None:
    plan = plan_of(read(piece))
    for section, facts in zip(plan.cloth.sections, plan.sections, strict=True):
        for strip in section.strips:
            assert abs(sum(strip.weaving.picks.step_mm.tolist()) - facts.size.lengths.woven_mm.value) <= 1e-9


@given(pieces())
def test_passes_of_the_weft_are_the_strands_of_all_throws(piece: Piece) -> None:
    plan = plan_of(read(piece))
    strands: dict[str, int] = {}
    for step in plan.steps():
        for key, count in step.strands:
            strands[key] = strands.get(key, 0) + count
    assert {key: amount.passes for key, amount in plan.weft.items()} == strands
