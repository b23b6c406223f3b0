"""The colour of every winding of a piece, in linear light."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.colour.light import hex_to_linear, wound_together

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.core.piece.values import Project
    from weftline.core.weave.picks import Winding

UNDYED = ("#d9d2c3", "#6f675c", "#a79c8b", "#4a4540", "#c2b49c", "#8a8277")
"""Colours of yarns that have none, in the order of the file: sheep's own whites, browns and greys."""


def yarn_lights(project: Project) -> dict[str, NDArray[np.float64]]:
    """Return (3,) linear light of each yarn by key."""
    return {
        key: hex_to_linear(yarn.colour or UNDYED[place % len(UNDYED)])
        for place, (key, yarn) in enumerate(project.yarns.items())
    }


def winding_lights(project: Project, windings: tuple[Winding, ...]) -> NDArray[np.float64]:
    """Return (windings, 3) linear light of what each shuttle carries."""
    lights = yarn_lights(project)
    mixed = [wound_together((lights[key], float(strands)) for key, strands in winding) for winding in windings]
    return np.array(mixed).reshape(len(windings), 3)
