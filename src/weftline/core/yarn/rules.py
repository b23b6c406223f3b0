"""Diameters by the trade's rules of thumb, to set beside ours.

Their constants differ by 4 % for one fibre: 0.90, 0.92 and 0.95 are all in print for cotton.
"""

from math import sqrt

from weftline.core.yarn.diameter import contact_diameter_mm
from weftline.core.yarn.systems import SYSTEMS

ASHENHURST = {"cotton": 0.90, "worsted": 0.90, "wool": 0.84, "linen": 0.92, "silk": 0.92}
"""Constant of ``c sqrt(yards a pound)``: T.R. Ashenhurst, in print at faena.medievaltextiles.org/ash.html
(0.90 worsted and cotton, 0.84 woollen); 0.92 for linen and silk from memory."""


def peirce_diameter_mm(tex: float) -> float:
    """Return Peirce's diameter of a cotton yarn: 1 / (28 sqrt(cotton count)) inch.

    F.T. Peirce, The Geometry of Cloth Structure, J. Text. Inst. 28 (1937) T45.

    >>> round(peirce_diameter_mm(590.541), 5)
    0.90714
    """
    return 25.4 / (28 * sqrt(SYSTEMS["Ne"].number_from(tex)))


def volume_diameter_mm(tex: float, specific_volume_cm3_g: float) -> float:
    """Return the diameter of a round yarn of so many cm3 a gram.

    >>> round(volume_diameter_mm(333.3333, 1.1), 5)
    0.68327
    """
    return contact_diameter_mm(tex, 1 / specific_volume_cm3_g, 1.0)


def diameters_per_inch(tex: float, constant: float) -> float:
    """Return how many diameters Ashenhurst's rule counts in an inch: ``c sqrt(yards a pound)``.

    >>> round(diameters_per_inch(SYSTEMS["ypp"].tex_from(3360), 0.90), 3)
    52.169
    """
    return constant * sqrt(SYSTEMS["ypp"].number_from(tex))
