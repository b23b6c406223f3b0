"""The band finder on 3,000 lines: at most a second, whatever they are."""

from __future__ import annotations

import random

from bench.timing import middle, side_by_side, told
from weftline.core.weaving.bands import find_bands, words_of
from weftline.core.weaving.lines import LineKind, WovenLine

LINES = 3000
KIND = LineKind(((1,), (2,), (3,)), 3.75)
YARNS = "abcdef"


def designed(rng: random.Random) -> list[str]:
    """Return lines of motifs, some mirrored, each woven one to twelve times."""
    found: list[str] = []
    while len(found) < LINES:
        yarns = rng.sample(YARNS, 3)
        unit = ["".join(rng.choice(yarns) for _ in range(3)) for _ in range(rng.randint(2, 9))]
        if rng.random() < 0.4:
            unit += unit[-2::-1]
        found += unit * rng.randint(1, 12)
    return found[:LINES]


def spoilt(lines: list[str], rng: random.Random) -> list[str]:
    """Return the lines with one pick in a hundred in another yarn."""
    return ["".join(rng.choice(YARNS) if rng.random() < 0.01 else yarn for yarn in line) for line in lines]


def main() -> None:
    """Print the middle time of each kind of cloth, exact and with slips looked for."""
    rng = random.Random(1)
    unit = ["abc", "abb", "bbb", "bcb", "bbb", "abb"]
    cloths = {
        "motifs": designed(rng),
        "motifs, 1 % wrong": spoilt(designed(rng), rng),
        "one repeat": (unit * LINES)[:LINES],
        "random picks": ["".join(rng.choice(YARNS[:4]) for _ in range(3)) for _ in range(LINES)],
    }
    for name, words in cloths.items():
        lines = [WovenLine(tuple(word), KIND) for word in words]
        times = side_by_side(
            3,
            exact=lambda lines=lines: find_bands(lines, KIND, slips=False),
            slips=lambda lines=lines: find_bands(lines, KIND),
        )
        found = find_bands(lines, KIND)
        print(
            f"bands of {LINES:,} lines, {name}: {told(middle(times['exact']))}, with slips "
            f"{told(middle(times['slips']))} (each under 1 s); {len(found.bands)} bands, {words_of(found.bands):,} "
            f"words, {len(found.slips)} slips"
        )


if __name__ == "__main__":
    main()
