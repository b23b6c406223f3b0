"""Pieces as weavers design them: grounds, and bands that grow line by line, repeated and mirrored."""

import random
from collections import Counter
from dataclasses import dataclass, replace

from tests.pieces import Piece, one_strip, read
from weftline.core.piece.cloth import Cloth, expand
from weftline.core.weaving.lines import WovenLine, lines_of_strip

YARNS = "osmbg"
Place = tuple[int, int]
"""A pick by its line and shed."""


def motif(rng: random.Random, lines: int, most: int = 3) -> list[str]:
    """Written lines of two or three yarns, each a pick away from the one before and up to ``most`` times in a row."""
    yarns = rng.sample(YARNS, rng.randint(2, 3))
    line = [rng.choice(yarns)] * 3
    found: list[str] = []
    while len(found) < lines:
        following = [*line]
        following[rng.randrange(3)] = rng.choice(yarns)
        if following != line:
            line, times = following, rng.choice([1, 1, 2, 3][: most + 1])
            found.append(" ".join(line) + (f" *{times}" if times > 1 else ""))
    return found


def patterned_band(rng: random.Random) -> Piece:
    """A ground, or a motif that may be mirrored and repeated."""
    if rng.random() < 0.25:
        yarn = rng.choice(YARNS)
        return {"lines": [f"{yarn} {yarn} {yarn} *{rng.randint(3, 10)}"]}
    band: Piece = {"lines": motif(rng, rng.randint(4, 9))}
    mirror, times = rng.choice(["none", "lines", "picks"]), rng.choice([1, 2, 2, 3, 4, 5])
    if mirror != "none":
        band |= {"mirror": mirror, "middle": rng.choice(["single", "single", "double"])}
        if times > 1 and rng.random() < 0.2:
            band["joint"] = rng.choice(["single", "double"])
    if times > 1:
        band["times"] = times
    return band


def piece_of(*bands: Piece) -> Piece:
    """A piece of one strip in krokbragd with these bands."""
    return one_strip(*bands) | {"yarns": {key: {} for key in YARNS}}


def patterned_piece(rng: random.Random) -> Piece:
    """A piece of one strip with three to nine bands in krokbragd."""
    return piece_of(*(patterned_band(rng) for _ in range(rng.randint(3, 9))))


def once_piece(rng: random.Random) -> Piece:
    """A piece in which no pick has an equal: lines that grow on and on."""
    return piece_of({"lines": motif(rng, rng.randint(30, 90), most=1)})


def twice_piece(rng: random.Random) -> Piece:
    """A piece in which nearly every pick has one equal: bands woven twice, or mirrored once."""
    how: list[Piece] = [{"times": 2}, {"mirror": "lines"}, {"mirror": "picks"}, {"mirror": "picks", "middle": "double"}]
    return piece_of(*({"lines": motif(rng, rng.randint(6, 14), most=1), **rng.choice(how)} for _ in range(5)))


@dataclass(frozen=True)
class Spoilt:
    """A piece with wrong picks.

    Parameters
    ----------
    cloth : Cloth
        As designed.
    clean, woven : list of WovenLine
        As designed, and as woven.
    wrong : dict
        For each wrong pick the yarn that was meant.
    equals : dict
        For each pick how many others come from the same written word.
    in_run_only : set of Place
        Picks of bands that neither repeat nor mirror: their equals lie in the same run of lines.
    outermost : set of Place
        Picks of the first and last lines of bands: beyond them nothing tells a band from its neighbour.
    """

    cloth: Cloth
    clean: list[WovenLine]
    woven: list[WovenLine]
    wrong: dict[Place, str]
    equals: dict[Place, int]
    in_run_only: set[Place]
    outermost: set[Place]


def spoilt(piece: Piece, rng: random.Random, share: float = 0.01) -> Spoilt:
    """Weave a piece with this share of picks in a wrong yarn."""
    cloth = expand(read(piece))
    strip = cloth.sections[0].strips[0]
    picks = strip.weaving.picks
    words = list(zip(picks.band.tolist(), picks.written.tolist(), picks.slot.tolist(), strict=True))
    places: list[Place] = list(zip(picks.line.tolist(), picks.slot.tolist(), strict=True))
    count = Counter(words)
    equals = {place: count[word] - 1 for place, word in zip(places, words, strict=True)}
    numbers, bands = picks.line.tolist(), picks.band.tolist()
    band_of = dict(zip(numbers, bands, strict=True))
    ends = {line for line, band in band_of.items() if band_of.get(line - 1) != band or band_of.get(line + 1) != band}
    plain = {index for index, band in enumerate(strip.written.bands) if band.mirror == "none" and band.times == 1}
    in_run = {place for place, band in zip(places, bands, strict=True) if band in plain}
    outermost = {place for place in places if place[0] in ends}
    clean = lines_of_strip(cloth, strip)
    woven, wrong = [*clean], {}
    for line, slot in places:
        if rng.random() < share:
            tokens = [*woven[line].tokens]
            wrong[line, slot] = tokens[slot]
            tokens[slot] = rng.choice([yarn for yarn in YARNS if yarn != tokens[slot]])
            woven[line] = replace(woven[line], tokens=tuple(tokens))
    return Spoilt(cloth, clean, woven, wrong, equals, in_run, outermost)
