"""Words on a page: names made harmless, counts, and what an underline means."""

from __future__ import annotations

import unicodedata

from weftline.core.findings import Basis

BASIS = {
    Basis.MEASURED: "measured",
    Basis.COMPUTED: "computed",
    Basis.DEFAULT: "common practice",
    Basis.LABEL: "as written",
}
HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
JOINERS = "\u200c\u200d"
"""Letters of some scripts need these; they turn nothing around."""


def shown(text: object, most: int = 200) -> str:
    r"""Return a text with everything that cannot be seen named by its number, as ``[U+202E]``.

    Examples
    --------
    >>> shown("Mat\u202e")
    'Mat[U+202E]'
    """
    out = []
    for letter in " ".join(str(text).split()):
        hidden = unicodedata.category(letter) in HIDDEN and letter not in JOINERS
        out.append(f"[U+{ord(letter):04X}]" if hidden else letter)
    said = "".join(out)
    return said if len(said) <= most else f"{said[: most - 1]}…"


def count(number: int, noun: str) -> str:
    """Return ``1 line``, ``12 lines``.

    Examples
    --------
    >>> count(1, "line"), count(1200, "end")
    ('1 line', '1,200 ends')
    """
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def span(first: int, last: int) -> str:
    """Return ``12`` or ``12–15``."""
    return f"{first}" if first == last else f"{first}–{last}"


def listed(words: list[str], last: str = "and") -> str:
    """Return ``1, 2 and 3``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""
