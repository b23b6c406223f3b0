"""Whether a cloth hangs together: small weaves whose answer is known, and networkx as second opinion.

Sources: C. R. J. Clapham, When a fabric hangs together, Bull. London Math. Soc. 12 (1980) 161-164;
S. L. Rasmussen, On 3-harness weaving, Electron. J. Combin. 15 (2008) #R1; networkx,
``is_strongly_connected``. The small weaves stand in ``tests/data/hang_together.json``, where 1 means
warp over weft; in Weftline True means that the weft covers the end, so every matrix is turned over
on its way in.
"""

import json
import math
import random
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import combinations, combinations_with_replacement, product
from pathlib import Path
from typing import Any, Final

import networkx as nx  # type: ignore[import-untyped]  # comes without types
import numpy as np
import pytest
from numpy.typing import NDArray

import weftline
from weftline.core.weave.hang import layers

BOOK: Final[dict[str, Any]] = json.loads(
    (Path(__file__).parents[1] / "data" / "hang_together.json").read_text(encoding="utf-8")
)
EXAMPLES: Final[list[dict[str, Any]]] = BOOK["examples"]
GROUPS, A_GROUP = 20, 100

Cloth = NDArray[np.bool_]
"""(picks, ends): True where the weft covers the end."""
Threads = frozenset[str]

every_example = pytest.mark.parametrize(
    "example", [pytest.param(one, id=f"{one['id']}: {one['description']}") for one in EXAMPLES]
)
every_fallen_example = pytest.mark.parametrize(
    "example",
    [
        pytest.param(one, id=f"{one['id']}: {one['description']}")
        for one in EXAMPLES
        if one["layers_top_to_bottom"] is not None
    ],
)
every_group = pytest.mark.parametrize("seed", [pytest.param(n, id=f"hundred number {n + 1}") for n in range(GROUPS)])


def weft_over(example: dict[str, Any]) -> Cloth:
    """Turn a matrix of the book (1 = warp over weft) into ours (True = weft covers the end)."""
    return ~np.array(example["matrix"], dtype=np.bool_)


def alone(threads: Iterable[str]) -> Iterator[Threads]:
    """Wefts alone or warps alone cross nothing of their own kind, so nothing holds them to each other."""
    members = frozenset(threads)
    if len({name[:4] for name in members}) == 1:
        yield from (frozenset({name}) for name in members)
    else:
        yield members


def our_layers(cloth: Cloth) -> list[Threads]:
    """Weftline's layers from the face down, with the book's names for the threads."""
    found: list[Threads] = []
    for layer in layers(cloth):
        found += alone([f"weft{pick + 1}" for pick in layer.picks] + [f"warp{end + 1}" for end in layer.ends])
    return found


def upper_and_lower(cloth: Cloth) -> Iterator[tuple[str, str]]:
    """At every crossing, the thread that lies uppermost and the one under it."""
    for pick, end in product(range(cloth.shape[0]), range(cloth.shape[1])):
        pair = (f"weft{pick + 1}", f"warp{end + 1}")
        yield pair if cloth[pick, end] else (pair[1], pair[0])


def crossings(cloth: Cloth) -> Any:
    """The digraph of the threads, for networkx: an arc from the upper to the lower thread of each crossing."""
    graph = nx.DiGraph()
    graph.add_nodes_from(f"weft{pick + 1}" for pick in range(cloth.shape[0]))
    graph.add_nodes_from(f"warp{end + 1}" for end in range(cloth.shape[1]))
    graph.add_edges_from(upper_and_lower(cloth))
    return graph


def out_of_order(found: list[Threads], cloth: Cloth) -> list[tuple[str, str]]:
    """Crossings at which a thread of a lower layer lies over a thread of a higher one."""
    place = {name: index for index, layer in enumerate(found) for name in layer}
    return [(upper, lower) for upper, lower in upper_and_lower(cloth) if place[upper] > place[lower]]


def project(threading: list[int], shafts: int, sheds: list[list[int]], lines: list[str]) -> weftline.Project:
    """A project with one strip that is one repeat wide."""
    written = {
        "weftline": 1,
        "weave": {"technique": {"shafts": shafts, "threading": threading, "sheds": sheds}},
        "yarns": {"a": {}, "b": {}},
        "sections": [{"strips": [{"ends": len(threading), "bands": [{"lines": lines}]}]}],
    }
    return weftline.loads(json.dumps(written))


def as_project(cloth: Cloth) -> weftline.Project:
    """Every end on a shaft of its own and every pick in a shed of its own; one more shaft carries no end,
    since a shed has to name a shaft even where its pick lies under everything.
    """
    ends = cloth.shape[1]
    sheds = [[int(end) + 1 for end in np.flatnonzero(row)] or [ends + 1] for row in cloth]
    return project(list(range(1, ends + 1)), ends + 1, sheds, [" ".join("a" * len(sheds))])


# --- the book ----------------------------------------------------------------------------------------------------


@pytest.mark.outside
@every_example
def test_cloth_hangs_together_as_the_book_says(example: dict[str, Any]) -> None:
    assert weftline.hangs_together(weft_over(example)) is example["hangs_together"]


@pytest.mark.outside
@every_example
def test_cloth_turned_over_hangs_together_just_as_well(example: dict[str, Any]) -> None:
    """Seen from behind, what lay under lies over; a wrong convention must not change the answer."""
    assert weftline.hangs_together(~weft_over(example)) is example["hangs_together"]


@pytest.mark.outside
@every_example
def test_plan_of_the_weave_says_the_same(example: dict[str, Any]) -> None:
    plan = weftline.plan(as_project(weft_over(example)))
    assert plan.sections[0].hangs_together is example["hangs_together"]
    assert any(finding.code == "falls-apart" for finding in plan.findings) is not example["hangs_together"]


@pytest.mark.outside
@every_fallen_example
def test_layers_are_those_of_the_book(example: dict[str, Any]) -> None:
    found = our_layers(weft_over(example))
    assert Counter(found) == Counter(frozenset(layer) for layer in example["layers_top_to_bottom"])
    assert len(found) == example["n_strong_components"]


@pytest.mark.outside
@every_fallen_example
def test_layers_come_from_the_face_down(example: dict[str, Any]) -> None:
    cloth = weft_over(example)
    in_the_book = [frozenset(layer) for layer in example["layers_top_to_bottom"]]
    assert out_of_order(in_the_book, cloth) == [], "the book's own order contradicts its matrix"
    assert out_of_order(our_layers(cloth), cloth) == []


@pytest.mark.outside
@every_example
def test_constant_threads_are_named_and_lie_loose(example: dict[str, Any]) -> None:
    constant = set(example["constant_threads"])
    findings = weftline.plan(as_project(weft_over(example))).findings
    named = {f"warp{finding.where.end}" for finding in findings if finding.code == "constant-end"}
    assert named == {name for name in constant if name.startswith("warp")}
    loose = {name for layer in our_layers(weft_over(example)) if len(layer) == 1 for name in layer}
    assert constant <= loose


# --- counts over every small weave -------------------------------------------------------------------------------


def bodies(rows: list[tuple[int, ...]], count: int) -> Iterator[tuple[Cloth, int]]:
    """Every choice of so many rows without a constant column, and in how many orders it can stand."""
    for chosen in combinations_with_replacement(rows, count):
        cloth = np.array(chosen, dtype=np.bool_)
        if not (cloth.all(axis=0) | ~cloth.any(axis=0)).any():
            yield cloth, math.factorial(count) // math.prod(map(math.factorial, Counter(chosen).values()))


def rows_that_go_over_and_under(ends: int) -> list[tuple[int, ...]]:
    return [row for row in product((0, 1), repeat=ends) if 0 < sum(row) < ends]


@pytest.mark.outside
def test_of_all_four_by_four_weaves_without_a_loose_thread_144_fall_apart() -> None:
    """The count is networkx's, over all 65,536 blocks; the first of them stands in the book."""
    found = {True: 0, False: 0}
    for cloth, orders in bodies(rows_that_go_over_and_under(4), 4):
        found[weftline.hangs_together(cloth)] += orders
    assert sum(found.values()) == BOOK["fourbyfour"]["no_constant_line"]
    assert found[False] == BOOK["fourbyfour"]["fall_apart"]
    assert not weftline.hangs_together(np.array(BOOK["fourbyfour"]["first"]) == 0)


@pytest.mark.outside
def test_no_three_shaft_weave_without_a_loose_thread_falls_apart() -> None:
    """The lemma behind krokbragd: three shafts need no more than that every end and pick goes over and under."""
    checked = 0
    for picks in range(2, 7):
        for cloth, orders in bodies(rows_that_go_over_and_under(3), picks):
            assert weftline.hangs_together(cloth), cloth
            checked += orders
    assert checked == BOOK["lemma_three_lines"]["checked_blocks_3_columns_2to6_rows"]


# --- networkx on random cloth ------------------------------------------------------------------------------------


def random_cloth(rng: random.Random) -> Cloth:
    """Up to nine by nine, from much more warp to much more weft on the face."""
    picks, ends = (max(rng.randint(1, 9), rng.randint(1, 9)) for _ in range(2))
    weft = rng.choice((0.2, 0.4, 0.5, 0.6, 0.8))
    return np.array([[rng.random() < weft for _ in range(ends)] for _ in range(picks)], dtype=np.bool_)


def random_pair_of_cloths(rng: random.Random) -> Cloth:
    """Two cloths one over the other, their threads shuffled: no thread need be constant, and still it falls apart;
    or, one time in three, tied together at one crossing.
    """
    high, low = ((rng.randint(2, 4), rng.randint(2, 4)) for _ in range(2))
    cloth = np.zeros((high[0] + low[0], high[1] + low[1]), dtype=np.bool_)
    cloth[: high[0], high[1] :] = True
    for pick, end in [
        *product(range(high[0]), range(high[1])),
        *product(range(high[0], len(cloth)), range(high[1], cloth.shape[1])),
    ]:
        cloth[pick, end] = (pick + end) % 2 == 0 if rng.random() < 0.7 else rng.random() < 0.5
    if rng.random() < 1 / 3:
        cloth[rng.randrange(high[0]), high[1] + rng.randrange(low[1])] = False
    picks, ends = list(range(len(cloth))), list(range(cloth.shape[1]))
    rng.shuffle(picks)
    rng.shuffle(ends)
    return cloth[picks][:, ends]


@pytest.mark.outside
@every_group
def test_networkx_agrees_on_random_cloth(seed: int) -> None:
    rng = random.Random(f"cloth {seed}")
    answers = Counter[bool]()
    for number in range(A_GROUP):
        cloth = random_pair_of_cloths(rng) if number % 3 == 0 else random_cloth(rng)
        expected = bool(nx.is_strongly_connected(crossings(cloth)))
        assert weftline.hangs_together(cloth) is expected, cloth
        answers[expected] += 1
    assert min(answers[True], answers[False]) >= 10, "a group that hardly asks one of the questions says little"


@pytest.mark.outside
@every_group
def test_networkx_finds_the_same_layers_in_random_cloth(seed: int) -> None:
    rng = random.Random(f"layers {seed}")
    for number in range(A_GROUP):
        cloth = random_pair_of_cloths(rng) if number % 2 == 0 else random_cloth(rng)
        expected = Counter(frozenset(part) for part in nx.strongly_connected_components(crossings(cloth)))
        found = our_layers(cloth)
        assert Counter(found) == expected, cloth
        assert out_of_order(found, cloth) == [], cloth


# --- networkx on random weaves, written as projects --------------------------------------------------------------


def random_sheds(rng: random.Random, threading: list[int], shafts: int) -> list[list[int]]:
    """Sheds of any shafts; or those of two cloths in two levels, where a pick of the upper one covers all of the
    lower one's ends and a pick of the lower one none of the upper one's.
    """
    everything = [list(some) for size in range(1, shafts + 1) for some in combinations(range(1, shafts + 1), size)]
    used = sorted(set(threading))
    if len(used) < 4 or rng.random() < 0.8:
        return rng.sample(everything, min(len(everything), rng.randint(2, 9)))
    level = rng.randint(2, len(used) - 2)
    rng.shuffle(used)
    upper, lower = used[:level], used[level:]
    sheds = []
    for _ in range(rng.randint(2, 4)):
        sheds.append(rng.sample(upper, rng.randint(1, len(upper) - 1)) + lower)
        sheds.append(rng.sample(lower, rng.randint(1, len(lower) - 1)))
    return sheds


def random_line(rng: random.Random, sheds: int) -> tuple[str, list[int]]:
    """A written line, and which sheds it throws one after another."""
    thrown = sorted(rng.sample(range(sheds), rng.randint((sheds + 1) // 2, sheds)))
    words = [rng.choice("ab") if shed in thrown else "-" for shed in range(sheds)]
    order, times = list(thrown), rng.choice((1, 1, 2, 3))
    if rng.random() < 0.3:
        words.append("back")
        order.reverse()
    if times > 1:
        words.append(f"*{times}")
    return " ".join(words), order * times


@pytest.mark.outside
@every_group
def test_networkx_agrees_on_random_weaves_through_the_plan(seed: int) -> None:
    rng = random.Random(f"weave {seed}")
    answers = Counter[bool]()
    for _ in range(A_GROUP):
        shafts = rng.randint(2, 8)
        threading = [rng.randint(1, shafts) for _ in range(rng.randint(2, 16))]
        sheds = random_sheds(rng, threading, shafts)
        written, orders = zip(*(random_line(rng, len(sheds)) for _ in range(rng.randint(1, 6))), strict=True)
        cloth = np.array(
            [[shaft in sheds[shed] for shaft in threading] for order in orders for shed in order], dtype=np.bool_
        )
        plan = weftline.plan(project(threading, shafts, sheds, list(written)))
        assert np.array_equal(weftline.drawdown(plan.cloth.sections[0].strips[0].weaving), cloth), written
        expected = bool(nx.is_strongly_connected(crossings(cloth)))
        assert plan.sections[0].hangs_together is expected, (threading, sheds, written)
        answers[expected] += 1
    assert min(answers[True], answers[False]) >= 10, "a group that hardly asks one of the questions says little"
