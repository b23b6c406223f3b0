"""Fibres by their mass and by how closely a spun yarn of them packs.

The diameter of a yarn follows from what it weighs, what its fibre weighs, and which share of its
round section is fibre, the *packing*: the rest is air. Packing here is that of yarns in contact, as
wraps on a ruler and ends in a cloth touch one another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Fibre:
    """What a fibre does to a diameter.

    Parameters
    ----------
    name : str
        One of the fibre groups that labels name.
    density_g_cm3 : float
        Of the fibre itself, without air.
    packing : float
        Share of the yarn's section that is fibre, yarns in contact.
    source : str
        Where both figures come from.
    """

    name: str
    density_g_cm3: float
    packing: float
    source: str


_DENSITY = "density: Morton & Hearle, Physical Properties of Textile Fibres, Table 5.1"
_WOOLLEN = f"{_DENSITY}; packing: Ashenhurst's 0.84 for woollens gives 0.53, rounded down for rug wool"
_PEIRCE = "packing: Peirce 1937, specific volume 1.1 of cotton yarn, gives 0.60"

_ALL = (
    Fibre("wool", 1.31, 0.50, _WOOLLEN),
    Fibre("worsted", 1.31, 0.55, f"{_DENSITY}; packing: Ashenhurst's 0.90 for worsteds gives 0.61, less for soft ones"),
    Fibre("cotton", 1.52, 0.60, f"{_DENSITY}; {_PEIRCE}"),
    Fibre("linen", 1.50, 0.65, "density and packing from memory, no source read"),
    Fibre("cottolin", 1.51, 0.62, "between cotton and linen"),
    Fibre("hemp", 1.50, 0.62, "taken as linen, a little looser; no source read"),
    Fibre("jute", 1.48, 0.55, "from memory, no source read"),
    Fibre("silk", 1.34, 0.60, f"{_DENSITY}; packing taken as cotton's"),
    Fibre("made", 1.35, 0.58, "middle of viscose, acrylic and polyester; no source read"),
)

FIBRES: Mapping[str, Fibre] = MappingProxyType({fibre.name: fibre for fibre in _ALL})
"""Every fibre group by its name."""

PACKING_LOG_SD = 0.15
"""Scatter of packing between yarns of one fibre, as the standard deviation of its logarithm: the constants in
print for one fibre differ by 4 % in diameter (0.90, 0.92 and 0.95 for cotton), soft and hard twist by as much again."""
