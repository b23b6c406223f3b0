"""How long a piece can be from the wool at hand, and which yarn ends first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.amounts.warp import warp_amount
from weftline.core.amounts.weft import section_weft, whole_weft
from weftline.core.amounts.yarns import YarnAmount, yarn_amounts
from weftline.core.edges.runs import strands_by_yarn
from weftline.core.geometry.sizes import section_size
from weftline.core.piece.cloth import expand
from weftline.core.piece.settings import settings_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weftline.core.compose.stretch import Stretch
    from weftline.core.piece.values import Project

GRAIN = 1e-9


def amounts_of(project: Project) -> dict[str, YarnAmount]:
    """Return what every yarn of a piece comes to, warp and weft together."""
    cloth, settings = expand(project), settings_of(project)
    sizes = tuple(section_size(section, settings) for section in cloth.sections)
    strands = strands_by_yarn(cloth.windings)
    once = [section_weft(*both, settings, strands) for both in zip(cloth.sections, sizes, strict=True)]
    return yarn_amounts(project, warp_amount(cloth, sizes, settings), whole_weft(project, once))


def wool_at_hand(project: Project, said: Mapping[str, float]) -> dict[str, float]:
    """Return the grams at hand by yarn: as said now, else as the piece says."""
    known = {key: float(yarn.on_hand_g) for key, yarn in project.yarns.items() if yarn.on_hand_g is not None}
    return {key: float(said.get(key, known.get(key, 0.0))) for key in project.yarns if key in said or key in known}


@dataclass(frozen=True, slots=True)
class Reach:
    """How far the wool reaches.

    Parameters
    ----------
    step : int or None
        The last step of the stretch that it is enough for; None where it is not enough for the shortest.
    ends_first : str or None
        The yarn that ends first; None where there is enough for the longest piece there can be.
    needs_g : float
        What of that yarn the next step would need.
    not_counted : tuple of str
        Yarns that are used and whose grams or size nobody said.
    """

    step: int | None
    ends_first: str | None
    needs_g: float
    not_counted: tuple[str, ...]


def reach_of(stretch: Stretch, hand: Mapping[str, float], most_step: int | None = None) -> Reach:
    """Return how far the wool reaches, in whole steps of a stretch.

    Parameters
    ----------
    stretch : Stretch
    hand : mapping of str to float
        Grams at hand by yarn.
    most_step : int, optional
        Further than this is not asked.
    """

    def needs(step: int) -> dict[str, float | None]:
        found = amounts_of(stretch.at(step))
        return {key: None if one.mass_g is None else one.mass_g.value for key, one in found.items()}

    def short(step: int) -> dict[str, float]:
        """Return by how much of what is at hand each yarn is overdrawn."""
        found = {}
        for key, mass in needs(step).items():
            if mass is not None and key in hand and mass > hand[key] + GRAIN:
                found[key] = mass / hand[key] if hand[key] else float("inf")
        return found

    masses = needs(0)
    not_counted = tuple(key for key, mass in masses.items() if mass is None or key not in hand)
    high = len(stretch.order) if most_step is None else most_step
    low, span = -1, 1
    while low < high and not short(min(low + span, high)):
        low = min(low + span, high)
        span *= 2
    if low == high:
        return Reach(high, None, 0.0, not_counted)
    above = min(low + span, high)
    while above - low > 1:
        middle = (low + above) // 2
        if short(middle):
            above = middle
        else:
            low = middle
    over = short(above)
    first = max(over, key=lambda key: over[key])
    return Reach(None if low < 0 else low, first, needs(above)[first] or 0.0, not_counted)
