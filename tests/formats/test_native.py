"""The project file: refusals in one sentence, writing stable to the byte."""

import json
import re

import pytest

from weftline.errors import PieceError, PieceTooLargeError
from weftline.formats.native import dumps, loads

BAND = '{"lines": ["o s o"]}'
STRIP = '{"ends": 37, "bands": [%s]}' % BAND  # noqa: UP031
WHOLE = '{"weftline": 1, "yarns": {"o": {}, "s": {}}, "sections": [{"strips": [%s]}]}'


def piece(strip: str = STRIP, more: str = "") -> str:
    text = WHOLE % strip
    return text[:-1] + more + "}"


@pytest.mark.parametrize(
    "text, says",
    [
        ("", "line 1, column 1 is not JSON: expecting value"),
        ("[1]", "a project file holds one object, this one a list"),
        ("{}", 'weftline: the version is missing; a project file begins with "weftline": 1'),
        ('{"weftline": 2}', "weftline: this file is of version 2, this program reads version 1; a newer Weftline"),
        ('{"weftline": true}', "weftline: the version must be 1 but is true"),
        ('{"weftline": 1, "weftline": 1}', 'the key "weftline" is given twice in one object; keep one of them'),
        ('{"weftline": NaN}', "NaN is not a number that a piece can have"),
        ('{"weftline": 1, "a": -Infinity}', "-Infinity is not a number that a piece can have"),
        ('{"weftline": 1, "a": 1%s}' % ("0" * 5000), "100000000000... is not a number that a piece can have"),
        ("[" * 100_000, "it nests too deep; a project file needs fewer than ten levels"),
        (piece(more=', "colour": 1'), 'the key "colour" is not known; it may hold weftline, name,'),
        (piece(more=', "nmae": "x"'), "the key \"nmae\" is not known; did you mean 'name'?"),
        (piece().replace('"bands"', '"band"'), 'sections[0].strips[0]: the key "band" is not known; did you mean \'ba'),
        (piece().replace("37", "37.5"), "sections[0].strips[0].ends: must be a whole number, but it is 37.5"),
        (piece().replace("37", "-3"), "sections[0].strips[0].ends: must be 1 or more, but it is -3"),
        (piece().replace("37", "1e308"), "sections[0].strips[0].ends: must be a whole number, but it is 1e+308"),
        (piece().replace("37", '"37"'), 'sections[0].strips[0].ends: must be a whole number, but it is "37"'),
        (piece().replace("o s o", "o s"), "lines[0]: 'o s' gives 2 yarns for 3 sheds; give each shed a yarn or '-'"),
        (piece().replace("o s o", "o x o"), "sections[0].strips[0].bands[0].lines[0]: no yarn is called x; use o or s"),
        (piece().replace("o s o", "- - -"), "lines[0]: no pick is thrown; give at least one shed a yarn"),
        (piece().replace("o s o", "o s o *0"), "lines[0]: '*0' does not say how often: write *2 for twice"),
        (piece().replace("o s o", "o s o bak"), "lines[0]: 'o s o bak' gives 4 yarns for 3 sheds"),
        (piece(more=', "ground": "z"'), "ground: no yarn is called 'z'; use o or s"),
        (piece(more=', "warp": {"sett_per_cm": 1e999}'), "warp.sett_per_cm: must be a number that a piece can have"),
        (piece(more=', "beat": {"lines_per_cm": "3"}'), 'beat.lines_per_cm: must be a number, but it is "3"'),
        (
            piece(more=', "warp": {"edge": "hem"}'),
            "warp.edge: must be 'none', 'floating' or 'doubled', but it is \"hem",
        ),
        (
            piece(more=', "weave": {"technique": "Double Krokbragd"}'),
            "weavers use the name 'Double Krokbragd' for more",
        ),
    ],
)
def test_it_says_what_is_wrong_where_and_what_would_be_right(text: str, says: str) -> None:
    with pytest.raises(PieceError, match=re.escape(says)) as refused:
        loads(text)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    "text, says",
    [
        (" " * 4_000_001, "a project file has at most 4 MB, this one 4.0 MB"),
        (piece().replace("37", "4000").replace('"sections"', '"warp": {"ends": 4000}, "sections"'), ""),
        (piece(",".join([STRIP] * 13)), "sections[0].strips: has at most 12 entries; this is more"),
        (piece(",".join([STRIP.replace("37", "2001")] * 2)), "sections: a warp has at most 4,000 ends, this one 4,002"),
        (
            piece().replace("o s o", "o s o *66667"),
            "a piece has at most 200,000 picks, this makes 200,001; repeat less",
        ),
        (piece().replace("o s o", "o s o *999999999"), "a piece has at most 200,000 picks, this makes 999,999,999"),
    ],
)
def test_the_limits_of_a_piece(text: str, says: str) -> None:
    if not says:
        assert loads(text).sections[0].strips[0].ends == 4000
        return
    with pytest.raises(PieceTooLargeError, match=re.escape(says)):
        loads(text)


def test_bytes_that_are_not_utf8_are_told() -> None:
    with pytest.raises(PieceError, match="byte 0 is not UTF-8 text; save the file as UTF-8"):
        loads(b"\xff\xfe{")


def test_writing_is_stable_and_says_no_more_than_was_written() -> None:
    text = dumps(loads(piece(more=', "warp": {"edge": {"kind": "floating", "ends": 2}}')))
    assert dumps(loads(text)) == text
    assert json.loads(text) == {
        "weftline": 1,
        "yarns": {"o": {}, "s": {}},
        "warp": {"edge": {"kind": "floating", "ends": 2}},
        "sections": [{"strips": [{"ends": 37, "bands": [{"lines": ["o s o"]}]}]}],
    }


def test_whole_and_broken_numbers_stay_as_they_were() -> None:
    text = dumps(loads(piece(more=', "warp": {"sett_per_cm": 2}, "beat": {"lines_per_cm": 3.0}')))
    assert '"sett_per_cm": 2\n' in text
    assert '"lines_per_cm": 3.0\n' in text
