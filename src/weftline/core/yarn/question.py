"""The question that tells the readings of a label apart, in one sentence."""

from collections.abc import Sequence

from weftline.core.yarn.size import Reading, number_words, shown


def question_for(text: str, readings: Sequence[Reading], fibres: Sequence[str]) -> str | None:
    """What to ask about a label whose yarn is of some fibre groups; None when it has one reading.

    >>> ways = [Reading(250.0, "Nm", 8.0, 2, "metric number 8, 2 plies"),
    ...         Reading(221.5, "Nw", 8.0, 2, "worsted count 8, 2 plies")]
    >>> print(question_for("8/2", ways, ["wool"]))
    "8/2" reads several ways, told apart by country: is it metric number 8, 2 plies (250 tex; Scandinavia and \
the continent of Europe) or worsted count 8, 2 plies (221.5 tex; Britain and North America)?
    >>> question_for("Nm 8/2", ways[:1], ["wool"])
    """
    if len(readings) < 2:
        return None
    wool = tuple(fibres) == ("wool",)
    options = [_option(reading, wool) for reading in readings]
    listed = f"{', '.join(options[:-1])} or {options[-1]}"
    return f'"{shown(text)}" reads several ways, told apart by {_difference(readings, fibres)}: is it {listed}?'


_WHERE = {"Nm": "Scandinavia and the continent of Europe", "Nw": "Britain and North America"}


def _option(reading: Reading, wool: bool) -> str:
    """One reading as an answer: its words and its tex, and for wool where it is usual."""
    where = f"; {_WHERE[reading.system]}" if wool and reading.system in _WHERE and reading.ply else ""
    return f"{reading.words} ({number_words(float(f'{reading.tex:.4g}'))} tex{where})"


def _difference(readings: Sequence[Reading], fibres: Sequence[str]) -> str:
    """What tells the readings apart."""
    systems = {reading.system for reading in readings}
    orders = {(reading.system, reading.count, reading.ply) for reading in readings}
    several = len({(system, ply) for system, _, ply in orders}) > len(systems)
    parts = []
    if len(systems) > 1 and any(reading.ply is None for reading in readings):
        parts.append("the unit or count that the label means")
    elif len(systems) > 1 and any(" per " in reading.words for reading in readings):
        parts.append("which of its figures is right")
    elif len(systems) > 1:
        parts.append(_custom(fibres))
    if several:
        parts.append("which number is the ply")
    elif len(systems) == 1 and len(orders) < len(readings):
        parts.append("whether the number is that of each ply or of the finished yarn")
    elif len(systems) == 1:
        parts.append("how its figures are meant")
    return " and ".join(parts)


def _custom(fibres: Sequence[str]) -> str:
    """Whose custom decides between systems."""
    if len(fibres) != 1:
        return "fibre and country"
    return "country" if fibres[0] == "wool" else "the maker's custom"
