"""Read a size as a yarn label prints it."""

from functools import lru_cache

from weftline.core.yarn.customs import fibre_groups
from weftline.core.yarn.label import Label, label_of
from weftline.core.yarn.marks import LONGEST, Style, open_styles
from weftline.core.yarn.question import question_for
from weftline.core.yarn.readings import label_readings
from weftline.core.yarn.size import Reading, Size, YarnSizeError, number_words, shown
from weftline.core.yarn.systems import THICKEST_TEX, THINNEST_TEX
from weftline.core.yarn.words import fibres_in, likely_slip
from weftline.core.yarn.wraps import refuse_wraps_alone, split_wraps

_LIKE = 'write it as on the label, like "8/2 cotton", "Nm 6/2" or "800 yd/lb"'
_ROPE_TEX = 50_000
"""Thicker than this (50 g a metre) nothing is sold as yarn: decides how digits group, refuses nothing."""


@lru_cache(maxsize=1024)
def read_size(text: str, fibre: str | None = None) -> Size:
    """Read a yarn size such as "Nm 6/2", "8/4 cotton", "R 60 tex / 2" or "100 m / 50 g".

    A length with a mass is the label's own word and outweighs its count. A label that reads several
    ways gives all readings and a question, never a guess.

    Parameters
    ----------
    text : the size as printed, at most 80 characters
    fibre : the fibre of the yarn in words, if known; words that name none are passed over

    Raises
    ------
    YarnSizeError : no system reads the text, or the yarn would lie outside 0.01 to 1 000 000 tex.

    Notes
    -----
    Nominal sizes: no allowance for ply take-up, finish or damp. Sources stand at each system in
    ``SYSTEMS`` and in ``folding``.

    >>> read_size("8/4 cotton").likeliest.words
    'cotton count 8, 4 plies'
    >>> round(read_size("Nm 6/2").tex or 0, 1)
    333.3
    >>> read_size("8/2", fibre="wool").tex is None
    True
    """
    if len(text) > LONGEST:
        raise YarnSizeError(
            f'A size of {len(text)} characters is too long ("{shown(text)}"); a label needs at most {LONGEST}.',
            text=text,
        )
    refuse_wraps_alone(text)
    printed, (text, _) = text, split_wraps(text)
    fibres = fibres_in(fibre or "")
    label = label_of(text, Style())
    if not label.systems and not (label.lengths and label.masses):
        _refuse_slip(label)
    readings = _ways(text, fibres)
    if not readings:
        raise _unreadable(label)
    return Size(printed, tuple(readings), question_for(text, readings, fibre_groups(label, fibres)))


def _ways(text: str, fibres: tuple[str, ...]) -> list[Reading]:
    """The readings, where "1,600" or "1.600" may group thousands or divide.

    A comma is asked about where both ways give a yarn; a point groups only where dividing gives a rope.
    """
    base, *others = open_styles(text)
    plain = label_readings(label_of(text, base), fibres)
    if not others:
        return plain
    kept = _not_ropes(plain)
    for style in others:
        if style.comma_groups and kept:
            continue
        try:
            kept += _not_ropes(label_readings(label_of(text, style), fibres))
        except YarnSizeError:
            continue
    return list({(r.system, r.count, r.tex, r.ply): r for r in kept or plain}.values())


def _not_ropes(readings: list[Reading]) -> list[Reading]:
    """The readings that can be a yarn on a bobbin."""
    return [reading for reading in readings if reading.tex <= _ROPE_TEX]


def _refuse_slip(label: Label) -> None:
    """A word beside a number that is one slip from a known one is a slip, not a name."""
    for word in label.strange:
        meant = likely_slip(word)
        if meant:
            repaired = shown(label.text).casefold().replace(word, meant)
            raise YarnSizeError(
                f'"{shown(word)}" in "{shown(label.text)}" is no yarn number or unit; did you mean "{repaired}"?',
                text=label.text,
                hint=f'Write "{repaired}".',
            )


def _unreadable(label: Label) -> YarnSizeError:
    """Why a label has no reading."""
    text, quoted = label.text, shown(label.text)
    numbers = [number for folds in label.statements for fold in folds for number in fold.numbers]
    sizes = [quantity.size for quantity in (*label.lengths, *label.masses)]
    if not text.strip():
        message = f"The size is empty; {_LIKE}."
    elif 0 in (*numbers, *sizes, label.plies):
        message = f'"{quoted}" has a 0, and a yarn number is above 0; {_LIKE}.'
    elif bool(label.lengths) != bool(label.masses):
        kind, needed = ("length", "mass") if label.lengths else ("mass", "length")
        message = f'"{quoted}" gives a {kind} without a {needed}; write both, like "125 m / 50 g".'
    elif not numbers and not sizes:
        message = f'"{quoted}" has no number that tells a size; {_LIKE}.'
    else:
        low, high = number_words(float(THINNEST_TEX)), number_words(float(THICKEST_TEX))
        message = f'"{quoted}" is no yarn between {low} and {high} tex; {_LIKE}.'
    return YarnSizeError(message, text=text)
