"""Pieces and wishes for other sizes, counted out by a seeded generator, and what a cloth is, read from its arrays alone."""

import copy
import random
from itertools import groupby
from typing import Any, Final

from tests.core.weaving.patterned import motif
from tests.pieces import Piece, own_technique
from weftline.core.compose.wish import Wish
from weftline.core.piece.cloth import Cloth, StripCloth, expand
from weftline.core.piece.values import Project, Yarn

KEYS: Final = "osmbg"
THREADINGS: Final[tuple[tuple[int, ...], ...]] = (
    (1, 2, 3, 2),
    (2, 3, 2, 1),
    (1, 2, 3, 2, 1, 2),
    (3, 2, 1, 2, 1, 2),
    (1, 2, 3),
)
"""With a point somewhere, and one without."""

Token = tuple[int, tuple[tuple[str, int], ...], float]
"""Shed, what is wound, height added."""


def band_of(rng: random.Random) -> Piece:
    """A ground or a motif, mirrored and repeated or not; now and then in sheds or a beat of its own."""
    if rng.random() < 0.3:
        yarn = rng.choice(KEYS)
        return {"lines": [f"{yarn} {yarn} {yarn} *{rng.randint(2, 8)}"]}
    band: Piece = {"lines": motif(rng, rng.randint(2, 7))}
    if rng.random() < 0.15:
        band = {"sheds": [[2], [1, 3]], "lines": [" ".join(rng.choices(KEYS, k=2)) for _ in range(rng.randint(1, 3))]}
    if rng.random() < 0.15:
        band["lines_per_cm"] = rng.choice([3, 5.5])
    if rng.random() < 0.5:
        band |= {"mirror": rng.choice(["lines", "picks"]), "middle": rng.choice(["single", "single", "double"])}
    if rng.random() < 0.45:
        band["times"] = rng.randint(2, 6)
    if rng.random() < 0.2:
        band["resume"] = True
    return band


def mirrored_whole(rng: random.Random) -> list[Piece]:
    """Bands that come back treadled backwards: lines from the head, each thrown from its last shed."""
    ground = {"lines": ["o o o *3"], "mirror": "picks"}
    half: list[Piece] = [
        {"lines": motif(rng, rng.randint(2, 4), most=1), "times": rng.choice([1, 1, 3])} for _ in range(2)
    ]
    home = [one | {"lines": [f"{line} back" for line in reversed(one["lines"])]} for one in reversed(half)]
    centre: Piece = {"lines": motif(rng, 3, most=1), "mirror": "picks"}
    if rng.random() < 0.5:
        centre["times"] = rng.randint(2, 4)
    return [ground, *half, centre, *home, ground]


def sized_piece(rng: random.Random) -> Piece:
    """A piece of one or more strips and sections, on a loom or not, with wool at hand or not."""
    threading = rng.choice(THREADINGS)
    bands = mirrored_whole(rng) if rng.random() < 0.25 else [band_of(rng) for _ in range(rng.randint(1, 7))]
    if rng.random() < 0.15:
        bands = [*bands[:1], *[band_of(rng), band_of(rng)] * 2, *bands[:1]]
    start = rng.randint(1, len(threading))
    sections: list[Piece] = [{"strips": [{"ends": rng.randint(8, 90), "start": start, "bands": bands}]}]
    if rng.random() < 0.25:
        more = [{"ends": rng.choice([13, 21]), "gap_after_cm": 2, "bands": copy.deepcopy(bands)} for _ in range(2)]
        sections[0]["strips"] = [*more, sections[0]["strips"][0]]
    if rng.random() < 0.2:
        ends = sum(strip["ends"] for strip in sections[0]["strips"])
        narrow: Piece = {"ends": ends // 2, "bands": [band_of(rng)]}
        sections.append({"strips": [narrow | {"idle_after": ends - ends // 2}], "pieces": 2})
    piece: Piece = {
        "weftline": 1,
        "weave": own_technique(3, threading, [[1], [2], [3]]),
        "yarns": {key: {"size": rng.choice(["Nm 6/2", "Nm 4/2"])} for key in KEYS},
        "warp": {"yarn": "g", "sett_per_cm": rng.choice([2.0, 2.4, 3.1])},
        "beat": {"lines_per_cm": rng.choice([3, 3.6, 4.5])},
        "sections": sections,
    }
    if rng.random() < 0.3:
        piece["loom"] = {"weaving_width_cm": rng.choice([40, 60, 90])}
    return piece


def random_wish(rng: random.Random, project: Project, width_mm: float, length_mm: float) -> Wish:
    """A wish: a width, a length, a sett, a beat, a yarn, or several of them."""
    chosen: dict[str, Any] = {}
    if rng.random() < 0.6:
        chosen["width_mm"] = width_mm * rng.uniform(0.2, 4)
    if rng.random() < 0.6 and length_mm:
        chosen["length_mm"] = length_mm * rng.uniform(0.2, 6)
    if rng.random() < 0.15:
        chosen["sett_per_cm"] = rng.choice([1.6, 2.4, 3.3, 4.0])
    if rng.random() < 0.15:
        chosen["lines_per_cm"] = rng.choice([2.0, 3.0, 6.0])
    if rng.random() < 0.1:
        chosen["yarns"] = {rng.choice(list(project.yarns)): Yarn(size="Nm 3/2")}
    if rng.random() < 0.2:
        chosen["pieces"] = rng.randint(1, 4)
    if rng.random() < 0.2:
        chosen["loom_width_mm"] = rng.uniform(150, 900)
    return Wish(**chosen)


def tokens(strip: StripCloth) -> list[Token]:
    """Every pick of a strip, spelt out."""
    picks = strip.weaving.picks
    windings = strip.weaving.windings
    return [
        (shed, windings[wound], round(step, 9))
        for shed, wound, step in zip(picks.shed.tolist(), picks.wound.tolist(), picks.step_mm.tolist(), strict=True)
    ]


def line_tokens(strip: StripCloth) -> list[tuple[Token, ...]]:
    """Every line of a strip, spelt out."""
    lines = strip.weaving.picks.line.tolist()
    both = zip(lines, tokens(strip), strict=True)
    return [tuple(token for _, token in group) for _, group in groupby(both, key=lambda one: one[0])]


def of_bands(strip: StripCloth) -> list[list[Token]]:
    """The picks of each band as it lies in the strip."""
    bands = strip.weaving.picks.band.tolist()
    found: list[list[Token]] = [[] for _ in strip.written.bands]
    for band, token in zip(bands, tokens(strip), strict=True):
        found[band].append(token)
    return found


def once(project: Project, section: int, times: int = 1, mirrored: bool = True) -> Cloth:
    """The cloth with every band of a section so often, without any resume, and unmirrored if wanted."""
    plain = {"times": times, "resume": False} | ({} if mirrored else {"mirror": "none"})
    data = project.model_dump(mode="json", exclude_unset=True)
    for strip in data["sections"][section]["strips"]:
        strip["bands"] = [band | plain for band in strip.get("bands", [])]
    return expand(Project.model_validate(data))


def has_point(threading: tuple[int, ...]) -> bool:
    """Whether a threading, going on for ever, reads the same backwards: its reverse lies in two of its repeats."""
    length = len(threading)
    return any((threading * 2)[at : at + length] == threading[::-1] for at in range(length))


def finished(cloth: Cloth, section: int) -> tuple[float, float]:
    """Finished width and length in mm, reckoned with plain numbers."""
    data = cloth.project
    shares = data.allowances

    def left(name: str, common: float) -> float:
        value = getattr(shares, name)
        return 1 - (common if value is None else value)

    across = left("draw_in", 0.10) * left("relax_width", 0.02) * left("shrink_width", 0.03)
    along = left("relax_length", 0.01) * left("shrink_length", 0.04)
    strips = cloth.sections[section].strips
    ends = sum(len(strip.weaving.ends) for strip in strips)
    gaps = sum(strip.written.gap_after_cm for strip in strips[:-1] if not strip.written.seam_after)
    sett = data.warp.sett_per_cm or 2.4
    height = sum(token[2] for token in tokens(strips[0]))
    return ends / sett * 10 * across + gaps * 10, height * along
