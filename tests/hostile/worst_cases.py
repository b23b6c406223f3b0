"""The largest and most awkward files that fit into 4 MB, each by its name."""

import json
import random
from collections.abc import Callable, Mapping
from typing import Any, Final

from tests.pieces import Piece, one_strip, own_technique

ROOM: Final = 3_990_000
"""Bytes of a file just under the limit of 4 MB."""

SIXTEEN: Final = [[shaft] for shaft in range(1, 17)]


def repeat(seed: int | None = None) -> list[int]:
    """A threading of 4,000 ends on 16 shafts: straight, or without any order."""
    rng = random.Random(seed)
    return [place % 16 + 1 if seed is None else rng.randint(1, 16) for place in range(4000)]


def side_by_side(strips: list[Piece], **keys: Any) -> Piece:
    return {"weftline": 1, "yarns": {"o": {}, "s": {}}, "sections": [{"strips": strips}], **keys}


def distinct_sheds(bands: int) -> list[Piece]:
    """Bands of 16 sheds each, no two sheds alike."""

    def shed(mask: int) -> list[int]:
        return [shaft for shaft in range(1, 17) if mask >> (shaft - 1) & 1]

    masks = range(1, 16 * bands + 1)
    return [
        {"sheds": [shed(mask) for mask in masks[16 * band : 16 * band + 16]], "lines": [" ".join("o" * 16)]}
        for band in range(bands)
    ]


def many_yarns() -> Piece:
    return {f"y{number}": {"size": "Nm 6/2"} for number in range(64)}


def windings(first: int, count: int) -> Piece:
    """A band in which every pick winds other yarns together."""
    numbers = range(first, first + count)
    return {"sheds": [[1]], "lines": [f"y{n % 64}+y{n // 64 % 64}+y{n // 4096}" for n in numbers]}


def full(entry: str, open_with: str, close_with: str) -> str:
    """A text just under 4 MB of one entry again and again."""
    return open_with + ",".join([entry] * ((ROOM - len(open_with) - len(close_with)) // (len(entry) + 1))) + close_with


def numbered(entry: str, open_with: str, close_with: str) -> str:
    """The same with another number in each entry, for keys that must differ."""
    count = (ROOM - len(open_with) - len(close_with)) // (len(entry.format(100_000)) + 1)
    return open_with + ",".join(entry.format(100_000 + number) for number in range(count)) + close_with


HEAD: Final = '{"weftline":1,"yarns":{"o":{},"s":{}},'
STRIPS: Final = HEAD + '"sections":[{"strips":['
BANDS: Final = STRIPS + '{"ends":37,"bands":['
LINES: Final = BANDS + '{"lines":['

PIECES: Final[Mapping[str, Callable[[], Piece]]] = {
    "4,000 ends by 200,000 picks": lambda: one_strip({"lines": ["s o o *66666"]}, ends=4000),
    "4,000 ends by 200,000 picks on a repeat of 4,000": lambda: one_strip(
        {"lines": [" ".join("o" * 16) + " *12500"]}, ends=4000, weave=own_technique(16, repeat(), SIXTEEN)
    ),
    "a repeat of 4,000 ends in no order, twelve strips": lambda: side_by_side(
        [{"ends": 4000, "bands": [{"lines": ["o s"]}]}] * 12,
        weave=own_technique(16, repeat(3), [[1], [2]]),
        warp={"ends": 4000},
    ),
    "a repeat of 4,000 ends in no order, 288 strips": lambda: {
        **side_by_side([], weave=own_technique(16, repeat(3), [[1], [2]]), warp={"ends": 4000}),
        "sections": [{"strips": [{"ends": 3999, "bands": [{"lines": ["o s"]}]}] * 12}] * 24,
    },
    "twelve strips of 4,000 ends by 200,000 picks": lambda: side_by_side(
        [{"ends": 4000, "bands": [{"lines": ["s o o *66666"]}]}] * 12, warp={"ends": 4000}
    ),
    "twelve strips of 200,000 lines with one pick each": lambda: side_by_side(
        [{"ends": 333, "bands": [{"lines": ["- " * 15 + "o *200000"]}]}] * 12,
        weave=own_technique(16, range(1, 17), SIXTEEN),
    ),
    "24 sections of twelve strips": lambda: {
        **side_by_side([], warp={"ends": 4000}),
        "sections": [{"strips": [{"ends": 4000, "bands": [{"lines": ["s o o *2700"]}]}] * 12}] * 24,
    },
    "64 yarns, all used": lambda: {
        **one_strip({"sheds": [[1]], "lines": [f"y{number} *3125" for number in range(64)]}, ends=4000),
        "yarns": many_yarns(),
    },
    "2,000 bands": lambda: one_strip(
        *[{"lines": ["s o o *3"], "mirror": "picks", "times": 4, "resume": True}] * 2000, ends=61
    ),
    "66,666 written lines": lambda: one_strip({"lines": ["s o o"] * 66_666}),
    "199,999 written lines, many unlike": lambda: one_strip(
        {"sheds": [[1]], "lines": ["o *1" + " " * (number % 9) for number in range(199_999)]}
    ),
    "150,000 windings, all unlike": lambda: {**one_strip(windings(0, 150_000)), "yarns": many_yarns()},
    "180,000 windings over twelve strips": lambda: {
        **side_by_side([{"ends": 30, "bands": [windings(15_000 * strip, 15_000)]} for strip in range(12)]),
        "yarns": many_yarns(),
    },
    "4,000 sheds, all unlike": lambda: one_strip(
        *distinct_sheds(250), ends=4000, weave=own_technique(16, repeat(), SIXTEEN)
    ),
    "32,000 sheds, all unlike": lambda: one_strip(
        *distinct_sheds(2000), ends=4000, weave=own_technique(16, repeat(), SIXTEEN)
    ),
    "an unreadable line at the end of 190,000": lambda: one_strip(
        {"sheds": [[1]], "lines": ["o"] * 190_000 + ["?"]}, ends=4000
    ),
}
"""Pieces that are as large as a piece may be."""

TEXTS: Final[Mapping[str, Callable[[], str | bytes]]] = {
    "4 MB of [": lambda: "[" * ROOM,
    "4 MB of nested objects": lambda: '{"a":' * (ROOM // 5),
    "closed lists 100,000 deep": lambda: HEAD + '"sections":' + "[" * 100_000 + "]" * 100_000 + "}",
    "lists 900 deep in a shed": lambda: BANDS + '{"sheds":' + "[" * 900 + "]" * 900 + "}]}]}]}",
    "4 MB of bands": lambda: full('{"lines":["o o o"]}', BANDS, "]}]}]}"),
    "4 MB of lines": lambda: full('"o o o"', LINES, "]}]}]}]}"),
    "4 MB of strips": lambda: full('{"ends":9,"bands":[{"lines":["o o o"]}]}', STRIPS, "]}]}"),
    "4 MB of sections": lambda: full('{"strips":[]}', HEAD + '"sections":[', "]}"),
    "4 MB of yarns": lambda: numbered('"y{}":{{}}', '{"weftline":1,"yarns":{', '},"sections":[]}'),
    "4 MB of yarns, all wrong": lambda: numbered('"y{}":0', '{"weftline":1,"yarns":{', '},"sections":[]}'),
    "4 MB of unknown keys": lambda: numbered('"k{}":0', HEAD, "}"),
    "64 yarns with 900 unknown keys each": lambda: json.dumps(
        {
            **one_strip({"lines": ["y0 y0 y0"]}),
            "yarns": {f"y{n}": {f"k{key}": 0 for key in range(900)} for n in range(64)},
        }
    ),
    "4 MB of wrong lines": lambda: full("0", LINES, "]}]}]}]}"),
    "4 MB of wrong sheds": lambda: full("[[]]", BANDS + '{"sheds":[', "]}]}]}]}"),
    "4 MB of empty objects": lambda: full("{}", HEAD + '"x":[', "]}"),
    "4 MB of small objects": lambda: full('{"":0}', HEAD + '"x":[', "]}"),
    "4 MB of digits": lambda: '{"weftline":' + "1" * ROOM + "}",
    "4 MB of decimals": lambda: '{"weftline":0.' + "1" * ROOM + "}",
    "4 MB of escapes": lambda: HEAD + '"name":"' + "\\u0001" * (ROOM // 6 - 100) + '"}',
    "4 MB of yarn balls": lambda: (HEAD + '"name":"' + "🧶" * (ROOM // 4 - 100) + '"}').encode(),
    "4 MB of one word": lambda: LINES + '"' + "o" * (ROOM - 200) + '"]}]}]}]}',
    "4 MB of NUL": lambda: b"\x00" * ROOM,
    "more than 4 MB": lambda: b" " * 4_000_001,
}
"""Files that are as large as a file may be, or nest without end."""


def worst_case(name: str) -> bytes:
    """The file of this name."""
    found = json.dumps(PIECES[name]()) if name in PIECES else TEXTS[name]()
    return found.encode() if isinstance(found, str) else found
