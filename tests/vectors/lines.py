"""Written lines, good and bad, as Python reads them; and tokens laid into them."""

import random
from typing import Any, Final

from tests.strategies import TOKENS, random_line
from weftline.core.piece.commands import Lay, apply
from weftline.core.piece.draft import Node
from weftline.core.weave.line import LineTextError, read_line
from weftline.errors import PieceError

STRANGE: Final = (
    "",
    "   ",
    "- - -",
    "- - - back *3",
    "back",
    "back back",
    "o back back",
    "o back s",
    "o *2 *3",
    "o *2 s",
    "*2",
    "*2 back",
    "o *0",
    "o *",
    "o **2",
    "o ×4 back",
    "o back ×4",
    "o *1234567890",
    "o *00000002",
    "o *999999999",
    "o *٣",
    "o *2x",
    "o *-1",
    "o * 2",
    "o bak",
    "o bck",
    "o abck",
    "o backk",
    "o Back",
    "o b-ack",
    "o ba-ck",
    "o kcab-",
    "o +",
    "o+",
    "+o",
    "o++s",
    "o+-",
    "-+o",
    "--",
    "a+back",
    "o+s+m+b2 - back *7",
    "2b",
    "b2",
    "b²",
    "é ö ß",
    "ﬀ 𐐀 ⅷx xⅷ x٣",
    "o_1",
    "o.1",
    "o'1 o\"1",
    "'",
    "'\"",
    '"',
    "o\\n",
    "abcdefghijkl",
    "abcdefghijklm",
    "𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀",
    "𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀𐐀",
    "o\ts\no\r\x0b\x0cs",
    "o\x1cs\x1do\x1es\x1fo\x85s",
    "o\xa0s\u1680o\u2003s\u2028o\u2029s\u202fo\u205fs\u3000o",
    "o\ufeffs",
    "o\u200bs",
    "o\u180es",
    "\ufeffo s",
    "o \x00",
    "o \x7f\x80\x9f\xad",
    "o \u0600\u2060\ue000",
    "o \U000e0001",
    "o \ud800",
    "o 😀",
    "😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀",
    "x" * 41,
    "y" * 39 + "-",
    "y" * 40 + "-",
    "y" * 41 + "-",
    "*" * 60,
    "*" + "9" * 60,
    "o " * 200,
    "o " * 200 + "o",
    "𐐀 " * 200,
    "𐐀 " * 201,
    "constructor",
    "toString valueOf",
    "__proto__",
)
LETTERS: Final = "os m+-*×b2back\t'\\é \xa0😀_0"


def _read(text: str) -> dict[str, Any]:
    try:
        line = read_line(text)
    except LineTextError as cause:
        return {"text": text, "error": str(cause)}
    return {"text": text, "tokens": list(line.tokens), "back": line.back, "times": line.times, "written": line.text()}


def _mangled(rng: random.Random, text: str) -> str:
    for _ in range(rng.randint(1, 4)):
        place = rng.randint(0, len(text))
        cut = rng.randint(0, 2)
        text = text[:place] + rng.choice(LETTERS) * rng.randint(0, 2) + text[place + cut :]
    return text


def _laid(text: str, pick: int, token: str) -> dict[str, Any]:
    case: dict[str, Any] = {"text": text, "pick": pick, "token": token}
    try:
        line = Node("l", "line", {"text": text})
        case["laid"] = apply(line, Lay(line="l", pick=pick, token=token))[0].fields["text"]
    except PieceError as cause:
        case["error"] = str(cause)
    return case


def lines() -> dict[str, Any]:
    """Return lines as read or refused, and lines with one token exchanged."""
    rng = random.Random(5)
    good = [random_line(rng, rng.randint(1, 6)) for _ in range(150)]
    bad = [_mangled(rng, text) for text in good for _ in range(2)]
    tokens = [*TOKENS, "o s", " ", "back", "*2", "o back", "x+", "\xa0o", "o\ufeff", "a" * 30, "é'"]
    laid = [
        _laid(rng.choice([text, f"  {text}\t "]), rng.randint(1, 7), rng.choice(tokens))
        for text in (*good, *bad[:60], *STRANGE)
    ]
    return {"read": [_read(text) for text in (*STRANGE, *good, *bad)], "laid": laid}
