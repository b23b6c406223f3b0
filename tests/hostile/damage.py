"""Damaged project files, each made anew from its number."""

import json
import random
from collections.abc import Callable, Iterator
from typing import Any, Final

from tests.pieces import ONE_END_SPOTS, PIECES, Piece

MARK: Final = "@damaged@"
"""Stands where a value is put in as raw text, so that it need not be JSON at all."""

NUMBERS: Final = [
    "0",
    "1",
    "2",
    "-1",
    "17",
    "1000",
    "4000",
    "4001",
    "200000",
    "200001",
    "999999999",
    "9999999999999999999999",
    "1e308",
    "-1e308",
    "1e400",
    "-1e400",
    "5e-324",
    "1e-308",
    "1e-9",
    "0.05",
    "0.5",
    "0.9",
    "1.5",
    "9.0",
    "-0.0",
    "NaN",
    "Infinity",
    "-Infinity",
    "0x10",
    "01",
    ".5",
    "1e",
]
WORDS: Final = (
    "", " ", "back", "*", "*0", "*999999999", "-", "- - -", "s o o *999999999", "s o o *0", "o o o back back", "o*2 o o",
    "\u0000", "\n", "a\nb", "\u2028", "\u202e", "\u0301", "٣", "ß", "nan", "None", "krokbragd", "Double Krokbragd", "9/2",
    "0 tex", "1e9 tex", "single", "+", "o+", "o+" * 150 + "o", "o" * 390, "\u0001" * 390, "\u0001" * 79, "🧶" * 4000,
    "x" * 100_000, "o " * 190, "*" + "9" * 390, "bakc", "#12345g", "../../etc/passwd", "<b>", "%s", "{0}",
)  # fmt: skip
NESTS: Final = (
    "null",
    "true",
    "false",
    "[]",
    "{}",
    "[[]]",
    "[[[]]]",
    '{"":{}}',
    "[null]",
    "[0]",
    "[17]",
    "[1,1]",
    "[[1],[]]",
)
SURROGATES: Final = (r'"\ud800"', r'"\udfff o o"', r'"\ud800\ud800"', '{"\\ud800":1}')
DOUBLES: Final = ('{"a":1,"a":2}', '{"\\u0061":1,"a":1}', '[{"":0,"":0}]')
KEYS: Final = (
    "end",
    "Ends",
    "bandz",
    "",
    "\u0000",
    "a\nb",
    "\u2028",
    "constructor",
    "weftline",
    "k" * 5000,
    "__class__",
    "🧶",
)

Rng = random.Random
Path = tuple[str | int, ...]


def places(value: Any, path: Path = ()) -> Iterator[Path]:
    """Every path inside a piece."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield (*path, key)
        yield from places(inner, (*path, key))


def holder(piece: Any, path: Path) -> Any:
    """The list or object that holds the value at a path."""
    for part in path[:-1]:
        piece = piece[part]
    return piece


def any_piece(rng: Rng) -> Piece:
    """One of the six pieces, or one that says everything."""
    if rng.random() < 0.5:
        return everything()
    piece: Piece = json.loads(json.dumps(rng.choice(list(PIECES.values()))))
    return piece


def everything() -> Piece:
    """A piece that says more numbers than any of the six."""
    piece: Piece = json.loads(json.dumps(ONE_END_SPOTS))
    piece |= {
        "currency": "EUR",
        "loom": {"shafts": 4, "treadles": 6, "waste_cm": 65, "weaving_width_cm": 80, "reed_dents_per_10cm": 25},
        "allowances": {"draw_in": 0.1, "weft_take_up": 0.2, "shrink_length": 0.05, "tail_cm": 6, "sample_cm": 20},
        "limits": {"float_ends": 5, "float_mm": 20},
        "pace": {"picks_per_hour": 100},
    }
    piece["yarns"]["o"] |= {"m_per_kg": 3000, "pack": {"mass_g": 100, "price": 8}, "on_hand_g": 500}
    piece["sections"][0] |= {"pieces": 2}
    return piece


def any_value(rng: Rng) -> str:
    """Raw text for a value that is seldom right."""
    roll = rng.random()
    if roll < 0.35:
        return rng.choice(NUMBERS)
    if roll < 0.65:
        return json.dumps(rng.choice(WORDS))
    if roll < 0.72:
        return f'"{"".join(chr(rng.randrange(0x20, 0x300)) for _ in range(rng.randrange(40)))}"'.replace("\\", "/")
    if roll < 0.75:
        depth = rng.choice((30, 900, 1100, 30_000, 100_000))
        return "[" * depth + "]" * depth if rng.random() < 0.5 else '{"a":' * depth + "0" + "}" * depth
    if roll < 0.77:
        return "1" * rng.choice((30, 31, 5000, 100_000))
    return rng.choice((*NESTS, *SURROGATES, *DOUBLES))


def with_raw(piece: Piece, raw: list[tuple[Path, str]]) -> bytes:
    """The text of a piece in which raw text stands at some places."""
    for number, (path, _) in enumerate(raw):
        holder(piece, path)[path[-1]] = f"{MARK}{number}"
    text = json.dumps(piece)
    for number, (_, value) in enumerate(raw):
        text = text.replace(f'"{MARK}{number}"', value)
    return text.encode("utf-8", "surrogatepass")


def outermost(paths: list[Path]) -> list[Path]:
    """The paths without those that lie inside another."""
    return [path for path in dict.fromkeys(paths) if not any(path[:end] in paths for end in range(len(path)))]


def values(rng: Rng) -> bytes:
    """A piece with one to three values changed."""
    piece = any_piece(rng)
    paths = outermost(rng.choices(list(places(piece)), k=rng.choice((1, 1, 1, 2, 3))))
    return with_raw(piece, [(path, any_value(rng)) for path in paths])


def numeric(piece: Piece) -> list[Path]:
    """The paths of all numbers of a piece."""
    return [path for path in places(piece) if isinstance(holder(piece, path)[path[-1]], int | float)]


def numbers(rng: Rng) -> bytes:
    """A piece with one to three numbers changed for others, extreme ones among them."""
    piece = any_piece(rng)
    paths = rng.sample(numeric(piece), rng.choice((1, 1, 2, 3)))
    return with_raw(piece, [(path, rng.choice(NUMBERS)) for path in paths])


def extremes() -> Iterator[tuple[str, bytes]]:
    """A piece that says everything, with each of its numbers in turn as small or as large as numbers get."""
    for path in numeric(everything()):
        for value in ("5e-324", "1e-308", "1e-9", "1e308", "0"):
            yield f"{value} for {path}", with_raw(everything(), [(path, value)])
    for key in KEYS:
        yield f"a yarn {key[:20]!r} with a wrong key", json.dumps({**everything(), "yarns": {key: {"x": 1}}}).encode()
    for word in WORDS:
        piece = {**everything(), "name": word, "weave": {"technique": word[:80]}}
        yield f"a technique {word[:20]!r}", json.dumps(piece).encode()


def keys(rng: Rng) -> bytes:
    """A piece with a key that is unknown, gone, or at another place."""
    piece = any_piece(rng)
    path = rng.choice([path for path in places(piece) if isinstance(path[-1], str)])
    inside = holder(piece, path)
    value = inside.pop(path[-1])
    if rng.random() < 0.8:
        inside[rng.choice(KEYS)] = value
    return json.dumps(piece, ensure_ascii=rng.random() < 0.5).encode()


def doubled(rng: Rng) -> bytes:
    """A piece in which one key is given twice."""
    text = json.dumps(any_piece(rng))
    place = rng.choice([place for place, letter in enumerate(text) if letter == "{"])
    return f'{text[: place + 1]}"name": "A", "name": "B", {text[place + 1 :]}'.encode()


def octets(rng: Rng) -> bytes:
    """A piece with bytes changed, lost, doubled or put in."""
    data = bytearray(json.dumps(any_piece(rng)).encode())
    for _ in range(rng.choice((1, 1, 2, 5, 30))):
        place = rng.randrange(len(data))
        way = rng.randrange(5)
        if way == 0:
            data[place] = rng.randrange(256)
        elif way == 1:
            del data[place : place + rng.randint(1, 9)]
        elif way == 2:
            data[place:place] = data[place : place + rng.randint(1, 60)]
        elif way == 3:
            data[place:place] = bytes(rng.randrange(256) for _ in range(rng.randint(1, 4)))
        else:
            data[place] = rng.choice(b'{}[]",:0-.eE\\\x00')
    return bytes(data)


def spliced(rng: Rng) -> bytes:
    """The beginning of one piece and the end of another."""
    one, other = (json.dumps(any_piece(rng)) for _ in range(2))
    return (one[: rng.randrange(len(one))] + other[rng.randrange(len(other)) :]).encode()


def encoded(rng: Rng) -> bytes:
    """A piece in another encoding, with a mark before it, or with NULs in it."""
    text = json.dumps({**any_piece(rng), "name": "Rölakan ½"}, ensure_ascii=False)
    cut = rng.randrange(len(text))
    return rng.choice((
        text.encode("utf-16"), text.encode("utf-16-le"), text.encode("utf-32"), text.encode("latin-1"),
        b"\xef\xbb\xbf" + text.encode(), b"\xef\xbb\xbf" * 2 + text.encode(), b"\xff\xfe" + text.encode(),
        text[:cut].encode() + b"\x00" + text[cut:].encode(), b"\x00" * rng.randrange(1, 4000), text.encode()[:cut],
        text.encode() + b"\x1a", text.encode() * 2, b"", b" ", text[:cut].encode() + b"\xed\xa0\x80" + text[cut:].encode(),
    ))  # fmt: skip


def lines(rng: Rng) -> bytes:
    """A piece whose bands hold random words for lines."""
    piece = any_piece(rng)
    words = (
        "o",
        "s",
        "m",
        "w",
        "-",
        "q",
        "back",
        "*2",
        "×3",
        "*0",
        "*200000",
        "*66666",
        "o+s",
        "+",
        "O",
        "o+o+o",
        "bakc",
    )
    for section in piece["sections"]:
        for strip in section["strips"]:
            for band in strip["bands"]:
                count = rng.choice((3, 3, 4, 4, rng.randint(0, 9)))
                band["lines"] = [" ".join(rng.choices(words, k=count)) for _ in range(rng.randint(1, 4))]
                band["times"] = rng.choice((1, 2, 999, 200_000, 999_999_999))
                band["mirror"] = rng.choice(("none", "lines", "picks", "Lines"))
    return json.dumps(piece).encode()


WAYS: Final[tuple[Callable[[Rng], bytes], ...]] = (
    values, values, values, numbers, numbers, keys, doubled, octets, octets, spliced, encoded, lines,
)  # fmt: skip


def damaged(number: int) -> bytes:
    """The damaged file of this number; the same for ever."""
    return WAYS[number % len(WAYS)](random.Random(number))
