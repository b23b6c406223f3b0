"""The facts of a cloth, known before it is woven, and the physical mean that belongs to them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import log, log1p, sqrt
from typing import TYPE_CHECKING

from weftline.core.geometry.closure import closure_of
from weftline.core.geometry.physics import BEATS, Physics, Yarns, physics_of
from weftline.core.geometry.sett import SettLimits, Thread, sett_limits
from weftline.core.learning.spreads import LIGHT_LOOM, LIGHT_LOOMS

if TYPE_CHECKING:
    from weftline.core.weave.technique import Technique


@dataclass(frozen=True, slots=True)
class ClothFacts:
    """What is known of a cloth before it is woven.

    Parameters
    ----------
    warp, weft : Thread
        A working end, and a whole pick with all its strands.
    technique : Technique
    sett_per_cm : float
        Working ends per cm in the reed.
    beat : str, optional
        ``soft``, ``firm`` or ``hard``, as the weaver calls it; nothing where she does not say.
    weaver, loom : str
        Keys that are the same for the same person and the same loom.
    loom_kind : str, optional
        As a piece names it; a rigid heddle and a frame beat lightly.
    yarn : str, optional
        The key of the weft yarn on the shelf; otherwise what the thread says of itself stands for it.
    """

    warp: Thread
    weft: Thread
    technique: Technique
    sett_per_cm: float
    beat: str | None = None
    weaver: str = "weaver"
    loom: str = "loom"
    loom_kind: str | None = None
    yarn: str | None = None

    def __post_init__(self) -> None:
        """Refuse a beat that has no name and a sett that is none."""
        if self.beat is not None and self.beat not in BEATS:
            raise ValueError(f"beat {self.beat!r}: a beat is {', '.join(BEATS)}, or left out")
        if not self.sett_per_cm > 0:
            raise ValueError(f"sett {self.sett_per_cm}: ends per cm are more than 0")

    @property
    def yarn_key(self) -> str:
        """What tells this weft yarn from others."""
        return self.yarn or f"{self.weft.said} of {self.weft.tex:.4g} tex"

    @property
    def weave_key(self) -> str:
        """What tells this weave from others."""
        own = self.technique.name == "own"
        return f"own {self.technique.threading} {self.technique.sheds}" if own else self.technique.name

    @property
    def cloth_key(self) -> str:
        """What tells this cloth from others: yarn and its strands, warp, sett, weave; not how hard it is beaten."""
        warp = f"{self.warp.tex:.4g}"
        return f"{self.yarn_key} {self.weft.tex:.4g} on {warp} at {self.sett_per_cm:.3g}, {self.weave_key}"

    @property
    def beat_steps(self) -> int:
        """-1 soft, 0 firm or not said, 1 hard."""
        return 0 if self.beat is None else BEATS[self.beat]


@dataclass(frozen=True, slots=True)
class Means:
    """The physical mean of a cloth, on the scales that it is reasoned in.

    Parameters
    ----------
    cloth : Physics
    limits : SettLimits
    ln_lines, ln_mass, ln_thickness, ln_packing_share : float
        Logarithms of lines per cm, g/m2 and mm; the share of the thickness that wool makes.
    root_draw_in : float
        Root of ``-ln(1 - draw-in)``.
    ln_crimps : tuple of float
        ``ln ln(1 + crimp)`` of each shed.
    ln_crimp, ln_take_up : float
        The same of mean crimp and of warp take-up.
    weft_share : float
        The weft's share of the mass.
    passes : int
        Picks of a line.
    """

    cloth: Physics
    limits: SettLimits
    ln_lines: float
    ln_mass: float
    ln_thickness: float
    wool_share: float
    root_draw_in: float
    ln_crimps: tuple[float, ...]
    ln_crimp: float
    ln_take_up: float
    weft_share: float
    passes: int

    @property
    def kappa(self) -> float:
        """``ln(1 + mean crimp)``."""
        return log1p(self.cloth.crimp)


def means_of(facts: ClothFacts) -> Means:
    """Return the physical mean of a cloth.

    Examples
    --------
    >>> from math import exp
    >>> from weftline.core.geometry.threads import thread_of_numbers
    >>> from weftline.core.weave.technique import KROKBRAGD
    >>> from weftline.core.yarn.numbers import yarn_numbers
    >>> warp, weft = (thread_of_numbers(yarn_numbers(said)) for said in ("310 tex cotton", "1000 tex wool"))
    >>> found = means_of(ClothFacts(warp, weft, KROKBRAGD, 2.4, "firm"))
    >>> round(exp(found.ln_lines), 2), round(found.weft_share, 2)
    (5.08, 0.95)
    """
    return _means(facts.warp, facts.weft, facts.technique, facts.sett_per_cm, facts.beat_steps, _is_light(facts))


def _is_light(facts: ClothFacts) -> bool:
    return facts.loom_kind in LIGHT_LOOMS


@lru_cache(maxsize=4096)
def _means(warp: Thread, weft: Thread, technique: Technique, sett_per_cm: float, beat: int, light: bool) -> Means:
    closure = closure_of(technique)
    yarns = Yarns(warp.tex, weft.tex, warp.diameter_mm.value, weft.diameter_mm.value, weft.density_g_cm3)
    cloth = physics_of(yarns, closure, sett_per_cm, beat)
    share = cloth.weft_g_m2 / cloth.mass_g_m2
    lighter = LIGHT_LOOM if light else 0.0
    return Means(
        cloth=cloth,
        limits=sett_limits(warp, weft, closure),
        ln_lines=log(cloth.lines_per_cm) + lighter,
        ln_mass=log(cloth.mass_g_m2) + share * lighter,
        ln_thickness=log(cloth.thickness_mm),
        wool_share=closure.passes * cloth.pass_mm / cloth.thickness_mm,
        root_draw_in=sqrt(-log1p(-cloth.draw_in)),
        ln_crimps=tuple(log(log1p(crimp)) for crimp in cloth.crimps),
        ln_crimp=log(log1p(cloth.crimp)),
        ln_take_up=log(log1p(cloth.warp_take_up)),
        weft_share=share,
        passes=closure.passes,
    )
