"""Lines told once and woven again, threading and sley in words."""

from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pieces import read
from weftline.core.piece.cloth import expand
from weftline.core.weave.threading import thread
from weftline.sheets.lines import Line, Pick, Span, Stretch, as_charted, lines_of, runs_of, spans_of, stretches
from weftline.sheets.sley import sley_of
from weftline.sheets.threading import threading_words


def line(kind: str) -> Line:
    """A line of a kind, told apart by its winding."""
    return Line((Pick(0, 1, (ord(kind),)),), (1,))


def told(text: str) -> list[str]:
    """Lines, a letter each, as stretches: ``2:abcx3`` for abc from line 2, three times."""
    lines = [line(kind) for kind in text]
    return [
        f"{one.first + 1}:{text[one.first : one.first + one.count]}" + (f"x{one.times}" if one.times > 1 else "")
        for one in stretches(lines, 0, len(lines) - 1)
    ]


@pytest.mark.parametrize(
    "text,expected",
    [
        pytest.param("abcd", ["1:abcd"], id="nothing comes again"),
        pytest.param("abcabc", ["1:abcabc"], id="too little to be worth telling"),
        pytest.param("abcabcabcabc", ["1:abcx4"], id="a repeat"),
        pytest.param("xabcabcabcabcy", ["1:x", "2:abcx4", "14:y"], id="with lines before and after"),
        pytest.param("aaaaaaaaaa", ["1:ax10"], id="a run of equal lines"),
        pytest.param(
            "abcdefXbcdefXbcdefXbcdef", ["1:abcdef", "7:Xbcdefx3"], id="later times differ in their first line"
        ),
        pytest.param("aaaabbbbaaaabbbb", ["1:aaaabbbbx2"], id="a repeat outweighs the runs in it"),
    ],
)
def test_what_comes_again_is_told_once(text: str, expected: list[str]) -> None:
    assert told(text) == expected


@given(st.text(alphabet="abc", min_size=1, max_size=60), st.integers(1, 5))
def test_the_stretches_weave_every_line_once_and_in_order(text: str, times: int) -> None:
    lines = [line(kind) for kind in text * times]
    woven: list[Line] = []
    for stretch in stretches(lines, 0, len(lines) - 1):
        assert stretch.first == len(woven)
        unit = lines[stretch.first : stretch.first + stretch.count]
        woven += unit * stretch.times
        runs = list(chain.from_iterable(range(first, last + 1) for first, last in runs_of(lines, stretch)))
        assert runs == list(range(stretch.first, stretch.first + stretch.count))
    assert woven == lines


def test_a_stretch_counts_its_times() -> None:
    stretch = Stretch(10, 3, 4)
    assert (stretch.last, stretch.firsts()) == (21, [10, 13, 16, 19])


PIECE = {
    "weftline": 1,
    "yarns": {"o": {"strands": 2}, "s": {}, "m": {}},
    "sections": [
        {
            "strips": [
                {
                    "ends": 37,
                    "bands": [
                        {"name": "Peak", "lines": ["s o o", "- m s", "o+s m m back"], "mirror": "picks"},
                        {"name": "Hem", "sheds": [[2], [1, 3]], "lines": ["o s+s"]},
                    ],
                }
            ]
        }
    ],
}


def test_lines_stand_beside_the_chart_in_the_order_of_the_sheds() -> None:
    cloth = expand(read(PIECE))
    strips = cloth.sections[0].strips
    lines = lines_of(cloth, strips)
    assert [as_charted(one, cloth.project, cloth.windings) for one in lines] == [
        "s o o", "– m s", "o+s m m *", "– m m", "– m s *", "s o o *", "o s+s",
    ]  # fmt: skip
    assert [one.is_back for one in lines] == [False, False, True, False, True, True, False]
    assert [one.is_incomplete for one in lines] == [False, True, False, True, True, False, False]
    assert [[mask for mask, _ in one.in_order()] for one in (lines[0], lines[5])] == [[1, 2, 4], [4, 2, 1]]
    assert spans_of(strips) == [Span(("Peak",), 0, 5, 0), Span(("Hem",), 6, 6, 1)]


@pytest.mark.parametrize(
    "repeat,ends,start,words",
    [
        ((1, 2, 3, 2), 61, 1, "(1 2 3 2) × 15, then 1"),
        ((1, 2, 3, 2), 4, 1, "1 2 3 2"),
        ((1, 2, 3, 2), 8, 2, "(2 3 2 1) × 2"),
        ((1, 2, 3, 2), 7, 2, "2 3 2 1, then 2 3 2"),
        ((1, 2, 3, 2), 3, 4, "2 1 2"),
    ],
)
def test_threading_in_words(repeat: tuple[int, ...], ends: int, start: int, words: str) -> None:
    assert threading_words(repeat, ends, start) == words


def spelt(words: str) -> list[int]:
    """The shafts that the words of a threading say, end by end."""
    shafts: list[int] = []
    for part in words.replace("then ", "").split(", "):
        group, _, again = part.partition(" × ")
        shafts += [int(shaft) for shaft in group.strip("()").split()] * int(again or 1)
    return shafts


@given(st.lists(st.integers(1, 16), min_size=1, max_size=40), st.integers(1, 200), st.data())
def test_the_words_of_a_threading_say_every_end(repeat: list[int], ends: int, data: st.DataObject) -> None:
    start = data.draw(st.integers(1, len(repeat)))
    assert spelt(threading_words(tuple(repeat), ends, start)) == thread(tuple(repeat), ends, start).tolist()


@pytest.mark.parametrize(
    "sett,dents,order,exact,reach",
    [
        pytest.param(2.4, 24, (1,), True, 61, id="an end in every dent"),
        pytest.param(3.0, 20, (2, 1), True, 41, id="two and one"),
        pytest.param(2.4, 30, (1, 1, 1, 1, 0), True, 76, id="every fifth dent empty"),
        pytest.param(1.2, 24, (1, 0), True, 121, id="every other dent"),
        pytest.param(2.7, 35, (1, 1, 1, 0), False, 81, id="the nearest short order"),
        pytest.param(0.1, 1000, (1, *[0] * 999), False, 60_001, id="hardly an end in the reed"),
    ],
)
def test_ends_are_spread_evenly_in_the_reed(
    sett: float, dents: float, order: tuple[int, ...], exact: bool, reach: int
) -> None:
    sley = sley_of(sett, dents)
    assert (sley.order, sley.is_exact, sley.dents(61)) == (order, exact, reach)
