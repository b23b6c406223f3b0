"""The written line: what a weaver types for one round of the sheds.

Grammar: one token per shed, in the order of the sheds, then ``back`` and ``*n`` if wanted. A token
is ``-`` (no pick in this shed), a yarn's letter (that yarn with its own strands) or ``a+b`` (each
letter one strand, wound together). ``×n`` is read like ``*n``.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from weftline.errors import quoted

NOT_THROWN = "-"
BACK = "back"
MAX_LINE_TEXT = 400
MAX_YARN_KEY = 12


class LineTextError(ValueError):
    """A written line that cannot be read; the message is one clause without its place."""


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """One written line, read.

    Parameters
    ----------
    tokens : tuple of str
        One a shed: ``-``, a yarn key, or keys joined by ``+``.
    back : bool
        Whether the last shed is thrown first.
    times : int
        How often the line comes in a row.
    """

    tokens: tuple[str, ...]
    back: bool = False
    times: int = 1

    def text(self) -> str:
        """Return the line as a weaver would write it."""
        words = [*self.tokens]
        if self.back:
            words.append(BACK)
        if self.times != 1:
            words.append(f"*{self.times}")
        return " ".join(words)


def is_yarn_key(key: str) -> bool:
    """Return whether a yarn may be called this in written lines: a letter, then letters or digits."""
    return 0 < len(key) <= MAX_YARN_KEY and key[0].isalpha() and key.isalnum() and key != BACK


def _times(word: str) -> int:
    digits = word[1:]
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 9 and int(digits) > 0):
        raise LineTextError(f"{quoted(word)} does not say how often: write *2 for twice")
    return int(digits)


def _token(word: str) -> str:
    if word == BACK:
        raise LineTextError("'back' stands once, after the yarns")
    if word == NOT_THROWN or all(is_yarn_key(key) for key in word.split("+")):
        return word
    if difflib.get_close_matches(word, [BACK], cutoff=0.7):
        raise LineTextError(f"{quoted(word)} is not understood; did you mean 'back'?")
    raise LineTextError(f"{quoted(word)} is neither a yarn nor '-' (not thrown)")


def read_line(text: str) -> WrittenLine:
    """Read one written line.

    Parameters
    ----------
    text : str
        Such as ``s o o *2``, ``- o s`` or ``a+b o o back``.

    Raises
    ------
    LineTextError
        When a word is not understood or stands in the wrong place.

    Examples
    --------
    >>> read_line("s o o *2")
    WrittenLine(tokens=('s', 'o', 'o'), back=False, times=2)
    """
    if len(text) > MAX_LINE_TEXT:
        raise LineTextError(f"a line has at most {MAX_LINE_TEXT} characters, this one has {len(text)}")
    words = text.split()
    back, times = False, None
    while words:
        if words[-1] == BACK and not back:
            back = True
        elif words[-1][0] in "*×" and times is None:
            times = _times(words[-1])
        else:
            break
        words.pop()
    tokens = tuple(_token(word) for word in words)
    if all(token == NOT_THROWN for token in tokens):
        raise LineTextError("no pick is thrown; give at least one shed a yarn")
    return WrittenLine(tokens, back, 1 if times is None else times)


def strands_of(token: str, own_strands: dict[str, int]) -> tuple[tuple[str, int], ...]:
    """Return what one token winds together, as (yarn, strands) in the order of the yarns' keys.

    Parameters
    ----------
    token : str
        A yarn key, or keys joined by ``+``.
    own_strands : dict
        How many strands each yarn has when its letter stands alone.

    Examples
    --------
    >>> strands_of("o", {"o": 2}), strands_of("s+o+s", {"o": 2, "s": 2})
    ((('o', 2),), (('o', 1), ('s', 2)))
    """
    keys = token.split("+")
    if len(keys) == 1:
        return ((token, own_strands[token]),)
    return tuple((key, keys.count(key)) for key in sorted(set(keys)))
