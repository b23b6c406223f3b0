"""Techniques: one repeat of a threading and the sheds of a line, with the source of each."""

from __future__ import annotations

from dataclasses import dataclass

MAX_SHAFTS = 16


@dataclass(frozen=True, slots=True)
class Technique:
    """A way of weaving on a threading.

    Parameters
    ----------
    name : str
        The trade's name, or ``own`` for one written out in the piece.
    threading : tuple of int
        Shafts of one repeat, left to right as the weaver sits, each 1..16.
    sheds : tuple of tuple of int
        For each pick of a line the shafts that it covers on the face.
    shafts : int
        How many shafts the technique needs.
    source : str
        Who says so.
    """

    name: str
    threading: tuple[int, ...]
    sheds: tuple[tuple[int, ...], ...]
    shafts: int
    source: str

    def shed_masks(self) -> tuple[int, ...]:
        """Return the sheds as bit masks."""
        return tuple(shed_mask(shed) for shed in self.sheds)


def shed_mask(shed: tuple[int, ...]) -> int:
    """Return the bit mask of a set of shafts (bit s - 1 for shaft s).

    Examples
    --------
    >>> shed_mask((1, 3))
    5
    """
    mask = 0
    for shaft in shed:
        mask |= 1 << (shaft - 1)
    return mask


def mask_shafts(mask: int) -> tuple[int, ...]:
    """Return the shafts of a bit mask, rising.

    Examples
    --------
    >>> mask_shafts(5)
    (1, 3)
    """
    return tuple(shaft for shaft in range(1, MAX_SHAFTS + 1) if mask >> (shaft - 1) & 1)


KROKBRAGD = Technique(
    "krokbragd",
    (1, 2, 3, 2),
    ((1,), (2,), (3,)),
    3,
    "weavers' notes: 1-2-3-2, one shaft lowered at a time, always 1, 2, 3 "
    "(ravelry.com/projects/ZaldoGrace/lily-17-art-inspiration-cotton-rug; "
    "tangleweave.blogspot.com/2009/11/making-of-krokbragd-tote.html; "
    "wildgingerhandweaving.blogspot.com/2021/04/krokbragd-winters-tale.html)",
)

BOUNDWEAVE = Technique(
    "boundweave",
    (1, 2, 3, 4, 3, 2),
    ((1,), (2,), (3,), (4,)),
    4,
    "three against one on a point threading: each pick over single ends, floats of up to five behind "
    "(weaversguildstl.org/down-the-primm-rosepath.html; jeanweaves.com/2017/03/06/problem-solving/; "
    "point threading one end past the shaft count: handwovenmagazine.com/rosepath-border-motif-design)",
)

BOUNDWEAVE_ON_OPPOSITES = Technique(
    "boundweave on opposites",
    (1, 2, 3, 4, 3, 2),
    ((1, 2), (3, 4), (2, 3), (1, 4)),
    4,
    "sheds 1-2, 2-3, 3-4, 4-1 (jeanweaves.com/2017/03/06/problem-solving/), each pattern pick followed by its "
    "opposite as ground (vevogsnikksnakk.blogspot.com/2017/05/rosengang-enda-en-gang.html)",
)

TWO_AGAINST_TWO = Technique(
    "two against two",
    (1, 2, 3, 4, 3, 2),
    ((1, 2), (2, 3), (3, 4), (1, 4)),
    4,
    "two-against-two boundweave, reversible: 1-2, 2-3, 3-4, 4-1 (jeanweaves.com/2017/03/06/problem-solving/)",
)

WEFT_FACED_PLAIN = Technique(
    "weft-faced plain weave",
    (1, 2),
    ((1,), (2,)),
    2,
    "common practice; a documented rug: trantor.is Project013",
)

TECHNIQUES: tuple[Technique, ...] = (
    KROKBRAGD,
    BOUNDWEAVE,
    BOUNDWEAVE_ON_OPPOSITES,
    TWO_AGAINST_TWO,
    WEFT_FACED_PLAIN,
)
"""Every technique known by name. A name that our sources could not confirm is not here."""

UNCONFIRMED = ("double krokbragd", "flesberg", "v-point", "danskbrogd")
"""Names that weavers use and whose threading no source we read gives; write these out instead."""


def _plain(name: str) -> str:
    return " ".join(name.lower().replace("_", " ").replace("-", " ").split())


def find_technique(name: str) -> Technique | None:
    """Return the technique of a trade name, or None; case, hyphens and underscores do not matter."""
    wanted = _plain(name)
    return next((technique for technique in TECHNIQUES if _plain(technique.name) == wanted), None)


def is_unconfirmed(name: str) -> bool:
    """Return whether weavers use this name but no source we read tells its threading."""
    return _plain(name) in {_plain(other) for other in UNCONFIRMED}
