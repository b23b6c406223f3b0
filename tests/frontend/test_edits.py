"""What the pages' scripts mean to do: Python's commands give the same draft, and the cloth is what was meant."""

import itertools
import json
import random
from collections import Counter
from functools import cache
from typing import Any, Final

import numpy as np

from tests.frontend.scripts import evaluated, told
from tests.strategies import random_project
from tests.vectors.strips import draft, facts
from weftline.core.piece.cloth import StripCloth, expand
from weftline.core.piece.commands import apply, command_data, command_of
from weftline.core.piece.draft import Node, file_data, path_to, tree_data, tree_of, walk
from weftline.core.piece.values import Project
from weftline.core.weave.technique import TECHNIQUES
from weftline.errors import PieceError

RUNS: Final = 100
STEPS: Final = 24

Step = tuple[Node, dict[str, Any], Node]
"""The draft before, what was said of the step, the draft after."""


@cache
def steps() -> tuple[Step, ...]:
    rng = random.Random(17)
    runs = []
    for seed in range(1, RUNS + 1):
        piece = random_project(rng)
        runs.append({"tree": tree_data(draft(piece)), "facts": facts(piece), "steps": STEPS, "seed": seed})
    found: list[Step] = []
    for run, said in zip(runs, told("edit_batch.js", runs), strict=True):
        before = tree_of(run["tree"])
        for step in said:
            after = tree_of(step["after"]) if "after" in step else before
            found.append((before, step, after))
            before = after
    return tuple(found)


def woven(tree: Node) -> StripCloth | None:
    """The first strip of a draft as cloth, or nothing where it cannot be followed."""
    project = Project.model_validate(json.loads(json.dumps(file_data(tree))))
    try:
        return expand(project).sections[0].strips[0]
    except PieceError:
        return None


def cloth_of(tree: Node) -> dict[str, Any]:
    """Everything that is seen of a cloth: sheds, strands, lines, order and heights."""
    strip = woven(tree)
    assert strip is not None
    picks, windings = strip.weaving.picks, strip.weaving.windings
    return {
        "shed": picks.shed.tolist(),
        "wound": [windings[wound] for wound in picks.wound],
        "line": picks.line.tolist(),
        "slot": picks.slot.tolist(),
        "step": picks.step_mm.tolist(),
    }


def of_type(kind: str) -> list[Step]:
    return [step for step in steps() if step[1]["said"]["type"] == kind and step[1].get("command")]


def test_the_commands_give_in_python_what_they_gave_on_the_page() -> None:
    for before, step, after in steps():
        command = step.get("command")
        if command is None:
            assert before == after
            continue
        parsed = command_of(command)
        changed, inverse = apply(before, parsed)
        assert changed == after
        assert changed != before
        assert apply(changed, inverse)[0] == before
        assert command_data(parsed)["op"] == command["op"]


def test_everything_that_can_be_meant_was_meant_often_and_seldom_refused() -> None:
    done = Counter(step["said"]["type"] for _, step, _ in steps() if step.get("command"))
    refused = Counter(step["error"] for _, step, _ in steps() if "error" in step)
    assert len(done) == 16
    assert min(done.values()) >= 15, done
    assert sum(refused.values()) < len(steps()) / 5, refused
    assert all(says and not says.startswith("some of these lines") for says in refused)


def test_a_piece_stays_a_piece() -> None:
    for _, _, after in steps():
        assert all(node.children for node in walk(after) if node.kind == "band")
        Project.model_validate(json.loads(json.dumps(file_data(after))))


def test_unlinking_leaves_the_cloth_and_makes_one_line_its_own() -> None:
    count = 0
    for before, step, after in of_type("unlink"):
        if woven(before) is None:
            continue
        count += 1
        assert cloth_of(after) == cloth_of(before)
        strip = woven(after)
        assert strip is not None
        picks, line = strip.weaving.picks, step["said"]["line"]
        own = int(np.flatnonzero(picks.line == line)[0])
        alike = (picks.band == picks.band[own]) & (picks.written == picks.written[own])
        assert set(picks.line[alike].tolist()) == {line}
    assert count >= 120


def test_lines_become_a_band_of_their_own_and_the_cloth_stays() -> None:
    count = 0
    for before, step, after in of_type("bandFrom"):
        if woven(before) is None:
            continue
        count += 1
        assert cloth_of(after) == cloth_of(before)
        strip = woven(after)
        assert strip is not None
        picks, said = strip.weaving.picks, step["said"]
        inside = (picks.line >= said["from"]) & (picks.line <= said["to"])
        bands = set(picks.band[inside].tolist())
        assert len(bands) == 1
        assert set(picks.line[picks.band == bands.pop()].tolist()) == set(range(said["from"], said["to"] + 1))
    assert count >= 120


def test_what_is_moved_or_taken_away_is_just_that() -> None:
    for before, _, after in of_type("move"):
        assert Counter(line.id for line in lines_of(before)) == Counter(line.id for line in lines_of(after))
        texts = {line.id: line.fields for line in lines_of(before)}
        assert all(texts[line.id] == line.fields for line in lines_of(after))
    for before, step, after in of_type("remove"):
        gone = {id for asked in step["said"]["nodes"] for id in (node.id for node in walk(path_to(before, asked)[-1]))}
        assert [line for line in lines_of(before) if line.id not in gone] == lines_of(after)
    for before, step, after in of_type("double"):
        known = {line.id for line in lines_of(before)}
        added = [line.fields for line in lines_of(after) if line.id not in known]
        asked = [line.fields for node in step["said"]["nodes"] for line in lines_of(path_to(before, node)[-1])]
        assert added == asked
        assert [line for line in lines_of(after) if line.id in known] == lines_of(before)


def lines_of(tree: Node) -> list[Node]:
    return [node for node in walk(tree) if node.kind == "line"]


def test_a_yarn_that_was_swapped_everywhere_is_nowhere() -> None:
    for _, step, after in of_type("swapYarn"):
        said = step["said"]
        if said["lines"] is None and said["from"] != said["to"]:
            keys = itertools.chain(
                *(word.split("+") for line in lines_of(after) for word in line.fields["text"].split())
            )
            assert said["from"] not in set(keys)
            assert after.fields.get("ground") != said["from"]


def test_the_techniques_that_are_known_by_name_have_the_same_sheds() -> None:
    path = "./src/weftline/server/static/js/model/shedding.js"
    script = f"import('{path}').then(({{ KNOWN }}) => console.log(JSON.stringify([...KNOWN])))"
    assert evaluated(script) == [[known.name.replace("-", " "), len(known.sheds)] for known in TECHNIQUES]
