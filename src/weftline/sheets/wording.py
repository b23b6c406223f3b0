"""Words on the page: a weaver's names made safe to print, numbers in words, lists."""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING

from weftline.sheets.fonts import known_letters

if TYPE_CHECKING:
    from collections.abc import Sequence

LONG_WORD = 18
"""Longer words may be broken anywhere, so that they cannot run off the page."""

BREAK = "\u200b"
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def visible(text: str) -> str:
    """Return a text with everything that cannot be seen or set written out, as ``[U+202E]``.

    Controls of direction, of lines and of joining, and letters that no font here has, are named by
    their number; any white space is one space.
    """
    letters = known_letters()
    out = []
    for letter in " ".join(unicodedata.normalize("NFC", text).split()):
        hidden = unicodedata.category(letter).startswith(("C", "Zl", "Zp")) or ord(letter) not in letters
        out.append(f"[U+{ord(letter):04X}]" if hidden else letter)
    return "".join(out)


def printable(text: str) -> str:
    """Return a visible text in which long words may be broken."""
    return " ".join(_breakable(word) for word in visible(text).split(" "))


def _breakable(word: str) -> str:
    if len(word) <= LONG_WORD:
        return word
    return BREAK.join(word[place : place + 6] for place in range(0, len(word), 6))


def count(number: int, noun: str) -> str:
    """Return ``1 line``, ``12 lines``."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def in_words(number: int) -> str:
    """Return ``three``, or figures from 13 on."""
    return NUMBERS[number] if number < len(NUMBERS) else f"{number:,}"


def times(number: int) -> str:
    """Return ``once``, ``twice``, ``three times``, ``13 times``."""
    if number <= 2:
        return ("never", "once", "twice")[number]
    return f"{NUMBERS[number] if number < len(NUMBERS) else f'{number:,}'} times"


def span(first: int, last: int) -> str:
    """Return ``12`` or ``12–15``."""
    return f"{first}" if first == last else f"{first}–{last}"


def lines_words(first: int, last: int) -> str:
    """Return ``line 12`` or ``lines 12–15``."""
    return f"line{'' if first == last else 's'} {span(first, last)}"


def listed(words: Sequence[str]) -> str:
    """Return words as a sentence lists them: ``1, 2 and 3``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def shafts_words(shafts: tuple[int, ...]) -> str:
    """Return ``shaft 2``, ``shafts 1+3`` or ``no shaft``."""
    if not shafts:
        return "no shaft"
    return f"shaft{'s' if len(shafts) > 1 else ''} {'+'.join(map(str, shafts))}"
