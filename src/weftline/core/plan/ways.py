"""The ways to make a piece longer or shorter from the fell on; each proposes changes of the plan with their length."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from math import exp, hypot, log
from typing import TYPE_CHECKING

from weftline.core.findings import Quantity
from weftline.core.learning import expected
from weftline.core.piece.names import band_name
from weftline.core.piece.written import listed
from weftline.core.plan.bands_ahead import band_mm, bands_ahead, lengthened, parted, repeated, with_bands
from weftline.core.plan.foretold import facts_of
from weftline.core.plan.plan import plan
from weftline.core.weave.line import NOT_THROWN, read_line
from weftline.core.weaving.measures import AIM, Aim

if TYPE_CHECKING:
    from collections.abc import Callable

    from weftline.core.learning.belief import Belief
    from weftline.core.learning.facts import ClothFacts
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.values import Band, Project
    from weftline.core.plan.bands_ahead import BandAhead

    Way = Callable[[Cloth, int, int, tuple[float, float], Belief], list["Change"]]

MOST_REPEATS, MOST_LINES = 4, 2
"""A band is woven at most so many times more or fewer; a band gets at most so many lines more or fewer."""

NEAREST = 40
"""Of the bands ahead so many are looked at, the next first."""

NAMED = 4
"""So many bands are told by name."""

FARTHEST_BEAT = 0.12
"""From firm to soft, or to hard, on the logarithm of lines (``learning``): no weaver beats farther from her own and keeps it."""


@dataclass(frozen=True, slots=True)
class Change:
    """A changed plan.

    Parameters
    ----------
    changed : callable
        Makes the changed piece.
    sentence : str
        What to do.
    ahead_mm : float
        How long the rest will be, about.
    from_line : int
        The first line that may differ, from 0.
    aim : Aim or None
        Where the beat is changed on purpose.
    """

    changed: Callable[[], Project]
    sentence: str
    ahead_mm: float
    from_line: int
    aim: Aim | None = None


def repeats(cloth: Cloth, section: int, woven: int, wish: tuple[float, float], belief: Belief) -> list[Change]:
    """Return the piece with one band ahead woven more or fewer times."""
    ahead, rest = bands_ahead(cloth.sections[section], woven)[:NEAREST], _rest(cloth, section, woven)
    found = []
    for one in ahead:
        band = _band(cloth, section, one)
        for more in (*range(-MOST_REPEATS, 0), *range(1, min(MOST_REPEATS, band.times) + 1)):
            new = None if band.sheds else repeated(band, more)
            if new is None:
                continue
            grown = band_mm(cloth, new) - band_mm(cloth, band)
            there = partial(_in_bands, frozenset([one.place]), partial(repeated, more=more))
            changed = partial(with_bands, cloth.project, section, there)
            times = f"Weave {band_name(band, one.place)} {_times(new.times)} instead of {_times(band.times)}."
            found.append(Change(changed, times, (rest + grown) * wish[1], one.first))
    return found


def lines(cloth: Cloth, section: int, woven: int, wish: tuple[float, float], belief: Belief) -> list[Change]:
    """Return the piece with lines more or fewer in each of the next bands, or in one band of a single line."""
    ahead = [one for one in bands_ahead(cloth.sections[section], woven) if not one.is_begun][:NEAREST]
    rest = _rest(cloth, section, woven)
    found = _plain_lines(cloth, section, woven, wish)
    for more in (-MOST_LINES, -1, 1, MOST_LINES):
        grown, places = 0.0, []
        for one in ahead:
            band = _band(cloth, section, one)
            new = None if band.sheds else lengthened(band, more)
            if new is None:
                continue
            places.append(one)
            grown += band_mm(cloth, new) - band_mm(cloth, band)
            there = partial(_in_bands, frozenset(each.place for each in places), partial(lengthened, more=more))
            changed = partial(with_bands, cloth.project, section, there)
            names = [band_name(_band(cloth, section, each), each.place) for each in places]
            found.append(Change(changed, _lines_said(more, names), (rest + grown) * wish[1], places[0].first))
    return found


def _plain_lines(cloth: Cloth, section: int, woven: int, wish: tuple[float, float]) -> list[Change]:
    """Return the piece with as many lines more or fewer as are wanted in one band that is a single line over and over."""
    cloth = parted(cloth, section, woven)
    rest = _rest(cloth, section, woven)
    found = []
    for one in bands_ahead(cloth.sections[section], woven)[:NEAREST]:
        band = _band(cloth, section, one)
        more = round((wish[0] / wish[1] - rest) / one.line_mm)
        count = one.last - one.first + 1
        if one.is_begun or band.sheds or len(band.lines) > 1 or band.times > 1 or abs(more) <= MOST_LINES:
            continue
        if count + more < 1 or more > count:
            continue
        there = partial(_in_bands, frozenset([one.place]), partial(lengthened, more=more))
        changed = partial(with_bands, cloth.project, section, there)
        said = f"Weave {abs(more)} {'more' if more > 0 else 'fewer'} lines in {band_name(band, one.place)}."
        found.append(Change(changed, said, (rest + more * one.line_mm) * wish[1], one.first))
    return found


def beat(cloth: Cloth, section: int, woven: int, wish: tuple[float, float], belief: Belief) -> list[Change]:
    """Return the piece with the beat that brings it to its length, from the next band on; none where that is too far."""
    cloth = parted(cloth, section, woven)
    ahead = [one for one in bands_ahead(cloth.sections[section], woven) if not one.is_begun]
    wanted, ratio = wish
    free = sum(one.height_mm for one in ahead) * ratio
    bound = _rest(cloth, section, woven) * ratio - free
    if not ahead or wanted <= bound or abs(log((wanted - bound) / free)) > FARTHEST_BEAT:
        return []
    factor = (wanted - bound) / free
    first = ahead[0]
    now, then = (10 / (first.line_mm * ratio * one) for one in (1.0, factor))
    way = "firmer" if factor < 1 else "softer"
    count, over = _counted(cloth, then)
    said = f"Beat {way} from {_from(cloth, section, first)} on: {count} lines over {over} instead of {_counted(cloth, now)[0]}."
    heights = {one.place: one.line_mm * ratio * factor for one in ahead}
    return [Change(partial(_beaten, cloth.project, section, heights), said, wanted, first.first, Aim(first.first))]


def yarn(cloth: Cloth, section: int, woven: int, wish: tuple[float, float], belief: Belief) -> list[Change]:
    """Return the piece with one strand more or fewer in every pick, from one of the next bands on."""
    cloth = parted(cloth, section, woven)
    ahead = [one for one in bands_ahead(cloth.sections[section], woven) if not one.is_begun]
    facts = facts_of(plan(cloth.project), section) if ahead else None
    ratio, rest = wish[1], _rest(cloth, section, woven)
    found = []
    for more in (-1, 1) if facts is not None else ():
        for place, one in enumerate(ahead[:NEAREST]):
            own = _band(cloth, section, one).sheds
            rewound = None if own else _rewound(cloth.project, section, one.place, more)
            if rewound is None or facts is None:
                continue
            project, strands = rewound
            growth, spread = _growth(facts, (strands + more) / strands, belief)
            part = ahead[place:]
            changed = partial(_beaten, project, section, {each.place: each.line_mm * ratio * growth for each in part})
            length = (rest + sum(each.height_mm for each in part) * (growth - 1)) * ratio
            said = _strands_said(cloth, section, one, more, one.line_mm * ratio * growth)
            found.append(Change(changed, said, length, one.first, Aim(one.first, hypot(AIM, spread))))
    return found


def _in_bands(
    places: frozenset[int], change: Callable[[Band], Band | None], place: int, band: Band
) -> tuple[Band, ...]:
    """Return a band changed where its place is among these, else as it is."""
    return ((change(band) if place in places else None) or band,)


WAYS: dict[str, Way] = {"repeats": repeats, "lines": lines, "beat": beat, "yarn": yarn}


def _growth(facts: ClothFacts, factor: float, belief: Belief) -> tuple[float, float]:
    """Return by what lines grow in a weft so many times as heavy, and how unsure that is on the logarithm."""
    weft, thicker = facts.weft, factor**0.5
    size = weft.diameter_mm
    sizes = [None if one is None else one * thicker for one in (size.low, size.high)]
    grown = replace(weft, tex=weft.tex * factor, diameter_mm=Quantity(size.value * thicker, size.basis, *sizes))
    before = expected.lines(replace(facts, yarn=facts.yarn_key))
    after = expected.lines(replace(facts, yarn=facts.yarn_key, weft=grown))
    spreads = belief.covariance([before, after]) * belief.scale
    return exp(before.mean - after.mean), max(0.0, float(spreads[0, 0] + spreads[1, 1] - 2 * spreads[0, 1])) ** 0.5


def _rewound(project: Project, section: int, place: int, more: int) -> tuple[Project, int] | None:
    """Return the piece with every pick from a band on wound with more or fewer strands, and the strands of most picks.

    None where picks of several yarns are wound together, or a single strand would be lost.
    """
    tokens = [
        token
        for strip in project.sections[section].strips
        for band in strip.bands[place:]
        for text in band.lines
        for token in read_line(text).tokens
        if token != NOT_THROWN
    ]
    used = dict.fromkeys(tokens)
    if any("+" in token or project.yarns[token].strands + more < 1 for token in used):
        return None
    yarns, keys = dict(project.yarns), {}
    for key in used:
        keys[key] = new = next(f"{key}{number}" for number in range(1, 1000) if f"{key}{number}" not in yarns)
        own = yarns[key]
        yarns[new] = own.model_copy(update={"strands": own.strands + more, "on_hand_g": None, "pack": None})
    counts = sorted(project.yarns[token].strands for token in tokens)

    def rewind(at: int, band: Band) -> tuple[Band, ...]:
        if at < place:
            return (band,)
        read = [read_line(text) for text in band.lines]
        texts = [replace(one, tokens=tuple(keys.get(token, token) for token in one.tokens)).text() for one in read]
        return (band.model_copy(update={"lines": tuple(texts)}),)

    return with_bands(project.model_copy(update={"yarns": yarns}), section, rewind), counts[len(counts) // 2]


def _beaten(project: Project, section: int, heights_mm: dict[int, float]) -> Project:
    """Return the piece with bands beaten to heights of a line, by their place."""

    def beaten(place: int, band: Band) -> tuple[Band, ...]:
        height = heights_mm.get(place)
        return (band,) if height is None else (band.model_copy(update={"lines_per_cm": round(10 / height, 2)}),)

    return with_bands(project, section, beaten)


def _rest(cloth: Cloth, section: int, woven: int) -> float:
    """Return the planned length ahead of the fell, in mm."""
    picks = max((strip.weaving.picks for strip in cloth.sections[section].strips), key=lambda one: one.height_mm)
    return float(picks.step_mm[picks.line >= woven].sum())


def _band(cloth: Cloth, section: int, one: BandAhead) -> Band:
    strips = cloth.sections[section].strips
    longest = max(strips, key=lambda strip: strip.weaving.picks.height_mm)
    return longest.written.bands[one.place]


def _from(cloth: Cloth, section: int, one: BandAhead) -> str:
    return f"{band_name(_band(cloth, section, one), one.place)}, line {one.first + 1},"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _counted(cloth: Cloth, lines_per_cm: float) -> tuple[int, str]:
    """Return so many lines over a length that a weaver counts them over."""
    if cloth.project.units == "imperial":
        return round(lines_per_cm * 10.16), "4 in"
    return round(lines_per_cm * 10), "10 cm"


def _lines_said(more: int, names: list[str]) -> str:
    count = "one" if abs(more) == 1 else "two"
    word = f"{count} {'more' if more > 0 else 'fewer'} {'line' if abs(more) == 1 else 'lines'}"
    if len(names) == 1:
        return f"Weave {word} in {names[0]}."
    if len(names) <= NAMED:
        return f"Weave {word} in each of {listed(names, 'and')}."
    return f"Weave {word} in each of {len(names)} bands, from {names[0]} to {names[-1]}."


def _strands_said(cloth: Cloth, section: int, one: BandAhead, more: int, line_mm: float) -> str:
    where = _from(cloth, section, one)
    strand = "one strand more" if more > 0 else "one strand fewer"
    count, over = _counted(cloth, 10 / line_mm)
    return f"From {where} wind {strand} into every pick, and beat to {count} lines over {over}."
