"""Random designs: the only place that makes them, drawn by Hypothesis or counted out by a seeded generator.

Both ways share one set of rules. No line is drawn that throws nothing, since such a line is refused.
"""

import random
from collections.abc import Sequence
from typing import Any, Final

from hypothesis import strategies as st

from tests.pieces import Piece
from weftline.core.weave.technique import TECHNIQUES

YARNS: Final[Piece] = {
    "o": {"size": "Nm 6/2", "strands": 2},
    "s": {"m_per_kg": 2400},
    "m": {"name": "Madder", "strands": 3, "pack": {"mass_g": 100, "price": 9.5}, "on_hand_g": 40},
    "b2": {"colour": "#27364a"},
}
STRANDS: Final = {key: yarn.get("strands", 1) for key, yarn in YARNS.items()}
TOKENS: Final = (*YARNS, "-", "o+s", "m+m", "s+o+s", "b2+o")
DENSITIES: Final = (0.7, 2, 3, 3.3, 4.5, 7.25)
MEETINGS: Final = ("single", "double")
MIRRORS: Final = ("none", "lines", "picks")
SHAFTS: Final = 4

Sheds = list[list[int]]
"""Sheds as the project file writes them."""


# --- drawn by Hypothesis ---------------------------------------------------------------------------------------------


def sheds(shafts: int = SHAFTS, most: int = 4) -> st.SearchStrategy[Sheds]:
    """Sheds of a line: each some of the shafts, written in any order; two may be alike."""
    shed = st.lists(st.integers(1, shafts), min_size=1, max_size=shafts, unique=True)
    return st.lists(shed, min_size=1, max_size=most)


@st.composite
def own_techniques(draw: st.DrawFn, shafts: int = SHAFTS) -> Piece:
    """A technique written out: any threading, any sheds, as many shafts as ``shafts`` at most."""
    count = draw(st.integers(1, shafts))
    threading = draw(st.lists(st.integers(1, count), min_size=1, max_size=9))
    return {"shafts": count, "threading": threading, "sheds": draw(sheds(count))}


def techniques() -> st.SearchStrategy[str | Piece]:
    """A technique by its trade name, or one written out."""
    return st.one_of(st.sampled_from([technique.name for technique in TECHNIQUES]), own_techniques())


def shed_count(technique: str | Piece) -> int:
    """How many sheds a line of this technique has."""
    return len(_sheds_of(technique))


def shaft_count(technique: str | Piece) -> int:
    """How many shafts this technique has."""
    if isinstance(technique, str):
        return next(known.shafts for known in TECHNIQUES if known.name == technique)
    return int(technique["shafts"])


def _sheds_of(technique: str | Piece) -> Sheds:
    if isinstance(technique, str):
        return next([list(shed) for shed in known.sheds] for known in TECHNIQUES if known.name == technique)
    found: Sheds = technique["sheds"]
    return found


@st.composite
def lines(draw: st.DrawFn, count: int) -> str:
    """A written line for so many sheds, in any way of writing it that is understood."""
    words = draw(st.lists(st.sampled_from(TOKENS), min_size=count, max_size=count))
    if all(word == "-" for word in words):
        words[draw(st.integers(0, count - 1))] = draw(st.sampled_from(list(YARNS)))
    ending = [*draw(st.sampled_from([[], [], ["back"]])), *draw(st.sampled_from([[], [], ["*2"], ["×3"], ["*1"]]))]
    if draw(st.booleans()):
        ending.reverse()
    return draw(st.sampled_from([" ", " ", "  "])).join([*words, *ending])


@st.composite
def bands(draw: st.DrawFn, technique: str | Piece, mirror: str | None = None, most_lines: int = 4) -> Piece:
    """A band for a technique, with sheds of its own now and then, mirrored, repeated and resumed in every way."""
    own = draw(st.none() | sheds(shaft_count(technique)))
    count = shed_count(technique) if own is None else len(own)
    band: Piece = {"lines": draw(st.lists(lines(count), min_size=1, max_size=most_lines))}
    optional: dict[str, st.SearchStrategy[Any]] = {
        "times": st.integers(1, 4),
        "mirror": st.sampled_from(MIRRORS),
        "middle": st.sampled_from(MEETINGS),
        "joint": st.sampled_from([*MEETINGS, None]),
        "resume": st.booleans(),
        "lines_per_cm": st.sampled_from(DENSITIES),
    }
    for key, values in optional.items():
        if draw(st.booleans()):
            band[key] = draw(values)
    if own is not None:
        band["sheds"] = own
    if mirror is not None:
        band["mirror"] = mirror
    return band


def _rewoven(draw: st.DrawFn, band: Piece) -> Piece:
    """The same band in other yarns: every thrown shed stays thrown, every '-' stays."""
    found = []
    for line in band["lines"]:
        words = line.split()
        turned = [draw(st.sampled_from(["o", "s", "m"])) if word in TOKENS and word != "-" else word for word in words]
        found.append(" ".join(turned))
    return {**band, "lines": found}


@st.composite
def strips(draw: st.DrawFn, technique: str | Piece, count: int = 1) -> list[Piece]:
    """Strips side by side that agree pick for pick in shed, line and height."""
    first = draw(st.lists(bands(technique), min_size=1, max_size=3))
    found = []
    for place in range(count):
        strip: Piece = {
            "ends": draw(st.integers(1, 40)),
            "bands": first if place == 0 else [_rewoven(draw, band) for band in first],
        }
        if draw(st.booleans()):
            strip["idle_after"] = draw(st.integers(0, 3))
        found.append(strip)
    return found


@st.composite
def pieces(draw: st.DrawFn, sections: int = 2, most_strips: int = 3) -> Piece:
    """A whole piece that can be followed; findings are welcome."""
    technique = draw(techniques())
    stretches = []
    for _ in range(draw(st.integers(1, sections))):
        stretch: Piece = {"strips": draw(strips(technique, draw(st.integers(1, most_strips))))}
        if draw(st.booleans()):
            stretch["pieces"] = draw(st.integers(1, 3))
        stretches.append(stretch)
    piece: Piece = {
        "weftline": 1,
        "yarns": YARNS,
        "weave": {"technique": technique, "face": draw(st.sampled_from(["up", "down"]))},
        "warp": {"yarn": "s", "edge": draw(st.sampled_from(["none", "doubled", {"kind": "floating", "ends": 2}]))},
        "sections": stretches,
    }
    optional: dict[str, st.SearchStrategy[Any]] = {
        "name": st.text(st.characters(exclude_categories=["Cs"]), max_size=12),
        "units": st.sampled_from(["metric", "imperial"]),
        "ground": st.sampled_from([*YARNS, None]),
        "beat": st.fixed_dictionaries({"lines_per_cm": st.sampled_from(DENSITIES)}),
        "loom": st.fixed_dictionaries({"shed": st.sampled_from(["rising", "sinking"]), "treadles": st.integers(0, 9)}),
        "allowances": st.fixed_dictionaries({"draw_in": st.floats(0, 0.9), "tail_cm": st.integers(0, 200)}),
        "limits": st.fixed_dictionaries({"float_ends": st.integers(1, 9)}),
    }
    for key, values in optional.items():
        if draw(st.booleans()):
            piece[key] = draw(values)
    return piece


# --- counted out by a seeded generator -------------------------------------------------------------------------------


def random_sheds(rng: random.Random, shafts: int = SHAFTS) -> Sheds:
    """Sheds of a line, some of them alike."""
    return [rng.sample(range(1, shafts + 1), rng.randint(1, shafts)) for _ in range(rng.randint(1, 4))]


def random_line(rng: random.Random, count: int) -> str:
    """A written line for so many sheds."""
    words = [rng.choice(TOKENS) for _ in range(count)]
    if all(word == "-" for word in words):
        words[rng.randrange(count)] = rng.choice(list(YARNS))
    ending = [*rng.choice(([], [], ["back"])), *rng.choice(([], [], [f"*{rng.randint(1, 4)}"], ["×2"]))]
    rng.shuffle(ending)
    return " ".join([*words, *ending])


def random_band(rng: random.Random, technique_sheds: Sequence[Sequence[int]]) -> Piece:
    """A band for a technique with these sheds."""
    band: Piece = {}
    if rng.random() < 0.3:
        band["sheds"] = random_sheds(rng)
    count = len(band.get("sheds", technique_sheds))
    band["lines"] = [random_line(rng, count) for _ in range(rng.randint(1, 5))]
    for key, values in (
        ("times", (1, 2, 3, 5)),
        ("mirror", MIRRORS),
        ("middle", MEETINGS),
        ("joint", MEETINGS),
        ("resume", (True, True, False)),
        ("lines_per_cm", DENSITIES),
    ):
        if rng.random() < 0.6:
            band[key] = rng.choice(values)
    return band


def random_project(rng: random.Random) -> Piece:
    """A piece of one strip with one to five bands, in a technique that is written out."""
    own = random_sheds(rng)
    technique = {
        "shafts": SHAFTS,
        "threading": [rng.randint(1, SHAFTS) for _ in range(rng.randint(1, 8))],
        "sheds": own,
    }
    return {
        "weftline": 1,
        "yarns": YARNS,
        "weave": {"technique": technique},
        "beat": {"lines_per_cm": rng.choice(DENSITIES)},
        "sections": [
            {
                "strips": [
                    {
                        "ends": rng.randint(1, 60),
                        "bands": [random_band(rng, own) for _ in range(rng.randint(1, 5))],
                    }
                ]
            }
        ],
    }
