"""The room that wool needs in weft-faced cloth: line height, thickness, crimp, draw-in and weight.

A mean to start from, never a law: nobody has published lines per cm as a function of yarn and sett
for a weft-faced weave. Every function is pure and takes plain numbers.

Units: diameters, pitches, heights and thicknesses in mm, yarn in tex (g/km), fibre density in
g/cm3, setts in ends per cm, masses in g/m2; crimp, draw-in and take-up are shares of one.

    p   pitch of the ends in the cloth          T1, T2  warp, weft (the whole pick, strands added)
    d1  warp diameter    d2  weft diameter       n, f    passes a line, passes on the face
    H   height of a line    w  pass thickness    g, J    closure of the weave, jam of the gaps
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log1p, sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.core.geometry.closure import Closure


@dataclass(frozen=True, slots=True)
class Constants:
    """The constants of the model, each with where it comes from.

    Parameters
    ----------
    compactness : float
        Phi, packing of a beaten pass times its shape (thickness over height). One documented plain
        rug gives 0.26 (trantor.is Project013; 0.30 when woven as light as a rigid heddle beats), the
        half-pound-a-square-foot rule of rug weavers 0.35; 0.33 lies between.
    cloth_packing : float
        Packing of a pass in the cloth. From memory; one seller's flat-weave averages imply 0.17.
    beat_step : float
        Change of the logarithm of line height from soft to firm and from firm to hard: van Wyk has
        pressure as packing cubed, so twice the pressure is 26 % more packing, half of it as height.
    crimp : float
        Crimp of a pick that changes sides at every end, over the square of the crowding: shortest
        path 0.5, sine 0.617; beads bulge.
    draw_in_most : float
        The most that crimp draws in, as -ln(1 - draw-in): documented krokbragd goes to 0.19 in all.
    warp_take_up : float
        Share of woven length: pages that give it say 0.10 to 0.15 for warp that bends round rags or
        for caution; geometry cannot give it, for a swing of 0.2 mm is already 2 %.
    """

    compactness: float = 0.33
    cloth_packing: float = 0.32
    beat_step: float = 0.12
    crimp: float = 0.62
    draw_in_most: float = 0.18
    warp_take_up: float = 0.07


CONSTANTS = Constants()
"""The means of all constants, before any sample."""

BEATS = {"soft": -1, "firm": 0, "hard": 1}
"""Beats by name, as steps from a firm one."""


def free_height_mm(weft_tex: float, density_g_cm3: float, constants: Constants = CONSTANTS) -> float:
    """Return h0: the height of a line whose passes each keep the shape of a firm beat.

    Examples
    --------
    >>> round(free_height_mm(1000, 1.31), 3)
    1.521
    """
    return sqrt(weft_tex / (1000 * density_g_cm3 * constants.compactness))


def gap_jam(pitch_mm: float, warp_mm: float, weft_mm: float) -> float:
    """Return J, how much taller a line stands because two picks must squeeze through each gap.

    The gap is ``O = (p - d1) / d2``; ``J = (1 + O^-3)^(1/3)``. O = 1 is the tapestry rule that weft
    equals gap. The form is chosen, not derived. A gap of nothing counts as a fiftieth of the weft.

    Examples
    --------
    >>> round(gap_jam(3.815, 0.658, 1.394), 3)
    1.028
    """
    gap = max((pitch_mm - warp_mm) / weft_mm, 0.02)
    return float((1 + gap**-3) ** (1 / 3))


def line_height_mm(free_mm: float, g: float, jam: float, beat: float = 0.0, constants: Constants = CONSTANTS) -> float:
    """Return H; ``beat`` is -1 soft, 0 firm, 1 hard, or between.

    Examples
    --------
    >>> round(line_height_mm(1.521, 1.26, 1.028), 2)
    1.97
    """
    return g * free_mm * jam * exp(-constants.beat_step * beat)


def pass_thickness_mm(
    weft_tex: float, density_g_cm3: float, height_mm: float, constants: Constants = CONSTANTS
) -> float:
    """Return w: the section of a pass spread over the height of a line.

    Examples
    --------
    >>> round(pass_thickness_mm(1000, 1.31, 1.970), 3)
    1.211
    """
    return weft_tex / (1000 * density_g_cm3 * constants.cloth_packing * height_mm)


def thickness_mm(warp_mm: float, passes: int, pass_mm: float) -> float:
    """Return the thickness of the cloth: the warp and, over every end, all passes of a line.

    Examples
    --------
    >>> round(thickness_mm(0.658, 3, 1.211), 1)
    4.3
    """
    return warp_mm + passes * pass_mm


def crowding(pitch_mm: float, warp_mm: float, face_passes: float, pass_mm: float) -> float:
    """Return x: warp and face weft together over the pitch of the ends. The crimp below holds for x under 0.7.

    Examples
    --------
    >>> round(crowding(3.815, 0.658, 1, 1.211), 2)
    0.49
    """
    return (warp_mm + face_passes * pass_mm) / pitch_mm


def crimps(x: float, closure: Closure, constants: Constants = CONSTANTS) -> tuple[float, ...]:
    """Return the crimp of each shed: extra length over the width of the *cloth*.

    Examples
    --------
    >>> from weftline.core.geometry.closure import closure_of
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> [round(c, 3) for c in crimps(0.49, closure_of(KROKBRAGD))]
    [0.119, 0.149, 0.119]
    """
    whole = constants.crimp * x * x
    return tuple(whole * bend for bend in closure.bends)


def extra_over_reed(crimp: float, draw_in: float) -> float:
    """Return the extra weft over the width in the *reed*: ``(1 + c)(1 - d) - 1``; exact.

    Examples
    --------
    >>> round(extra_over_reed(0.149, 0.084), 3)
    0.052
    """
    return (1 + crimp) * (1 - draw_in) - 1


def draw_in_of(crimp: float, constants: Constants = CONSTANTS) -> float:
    """Return the draw-in that a mean crimp asks for: all of a small one, less of one that the bubble feeds.

    ``-ln(1 - d) = m (1 - e^(-k / m))`` with ``k = ln(1 + c)`` and m the most; the form is chosen.

    Examples
    --------
    >>> round(draw_in_of(0.129), 3)
    0.084
    """
    most = constants.draw_in_most
    return 1 - exp(-most * (1 - exp(-log1p(crimp) / most)))


def weft_mass_g_m2(passes: int, lines_per_cm: float, weft_tex: float, crimp: float) -> float:
    """Return the weft in a square metre of cloth.

    Examples
    --------
    >>> round(weft_mass_g_m2(3, 5.08, 1000, 0.129), -1)
    1720.0
    """
    return 0.1 * passes * lines_per_cm * weft_tex * (1 + crimp)


def warp_mass_g_m2(ends_per_cm: float, warp_tex: float, draw_in: float, take_up: float) -> float:
    """Return the warp in a square metre of cloth; the sett is that in the reed.

    Examples
    --------
    >>> round(warp_mass_g_m2(2.4, 310, 0.084, 0.07))
    87
    """
    return 0.1 * ends_per_cm * warp_tex * (1 + take_up) / (1 - draw_in)


@dataclass(frozen=True, slots=True)
class Yarns:
    """Warp and weft as the model sees them.

    Parameters
    ----------
    warp_tex, weft_tex : float
        Of one working end, and of one whole pick with all its strands.
    warp_mm, weft_mm : float
        Their diameters in contact.
    weft_density_g_cm3 : float
        Of the weft's fibre.
    """

    warp_tex: float
    weft_tex: float
    warp_mm: float
    weft_mm: float
    weft_density_g_cm3: float


@dataclass(frozen=True, slots=True)
class Physics:
    """What a cloth comes to, by the mean of the model.

    Parameters
    ----------
    pitch_mm : float
        From end to end in the cloth on the loom.
    jam : float
        J.
    line_height_mm, pass_mm, thickness_mm : float
        H, w and t.
    crowding : float
        x.
    crimps : tuple of float
        By shed, over the width of the cloth.
    crimp : float
        Their mean.
    draw_in, warp_take_up : float
        Shares of the width in the reed and of woven length.
    weft_g_m2, warp_g_m2 : float
        In a square metre of cloth on the loom, slack.
    """

    pitch_mm: float
    jam: float
    line_height_mm: float
    pass_mm: float
    thickness_mm: float
    crowding: float
    crimps: tuple[float, ...]
    crimp: float
    draw_in: float
    warp_take_up: float
    weft_g_m2: float
    warp_g_m2: float

    @property
    def lines_per_cm(self) -> float:
        """L, counted on slack cloth; on the loom expect about 5 % fewer (0 to 10)."""
        return 10 / self.line_height_mm

    @property
    def mass_g_m2(self) -> float:
        """Warp and weft together."""
        return self.weft_g_m2 + self.warp_g_m2


ROUNDS = 60
"""Pitch, height, crimp and draw-in lean on each other; the draw-in that fits is found by halving so often."""


def physics_of(
    yarns: Yarns,
    closure: Closure,
    sett_per_cm: float,
    beat: float = 0.0,
    draw_in: float | None = None,
    constants: Constants = CONSTANTS,
) -> Physics:
    """Return what a cloth comes to.

    Parameters
    ----------
    sett_per_cm : float
        Working ends per cm in the reed.
    beat : float
        -1 soft, 0 firm, 1 hard.
    draw_in : float, optional
        As measured; otherwise the one that the crimp asks for.

    Notes
    -----
    Straight warp; the strands of a pick act as one bundle; floats no longer than the threading's own;
    wool weft (cotton and rags lie outside what was compared); the count on slack cloth.

    Examples
    --------
    >>> from weftline.core.geometry.closure import closure_of
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> from weftline.core.yarn.diameter import contact_diameter_mm
    >>> wool = contact_diameter_mm(1000, 1.31, 0.50)
    >>> found = physics_of(Yarns(310, 1000, 0.658, wool, 1.31), closure_of(KROKBRAGD), 2.4)
    >>> round(found.lines_per_cm, 2), round(found.draw_in, 3), round(found.mass_g_m2, -1)
    (5.08, 0.084, 1810.0)
    """
    if draw_in is not None:
        return _drawn_in(yarns, closure, sett_per_cm, beat, draw_in, constants)
    low, high = 0.0, 1 - exp(-constants.draw_in_most)
    found = _drawn_in(yarns, closure, sett_per_cm, beat, low, constants)
    for _ in range(ROUNDS):
        drawn = (low + high) / 2
        found = _drawn_in(yarns, closure, sett_per_cm, beat, drawn, constants)
        if draw_in_of(found.crimp, constants) > drawn:
            low = drawn
        else:
            high = drawn
        if high - low < 1e-13:
            break
    return found


def _drawn_in(
    yarns: Yarns, closure: Closure, sett_per_cm: float, beat: float, draw_in: float, constants: Constants
) -> Physics:
    """Return what a cloth comes to that draws in so much."""
    free = free_height_mm(yarns.weft_tex, yarns.weft_density_g_cm3, constants)
    pitch = 10 / sett_per_cm * (1 - draw_in)
    jam = gap_jam(pitch, yarns.warp_mm, yarns.weft_mm)
    height = line_height_mm(free, closure.g, jam, beat, constants)
    each = pass_thickness_mm(yarns.weft_tex, yarns.weft_density_g_cm3, height, constants)
    x = crowding(pitch, yarns.warp_mm, closure.face_passes, each)
    bends = crimps(x, closure, constants)
    mean = sum(bends) / len(bends)
    take_up = constants.warp_take_up
    return Physics(
        pitch_mm=pitch,
        jam=jam,
        line_height_mm=height,
        pass_mm=each,
        thickness_mm=thickness_mm(yarns.warp_mm, closure.passes, each),
        crowding=x,
        crimps=bends,
        crimp=mean,
        draw_in=draw_in,
        warp_take_up=take_up,
        weft_g_m2=weft_mass_g_m2(closure.passes, 10 / height, yarns.weft_tex, mean),
        warp_g_m2=warp_mass_g_m2(sett_per_cm, yarns.warp_tex, draw_in, take_up),
    )
