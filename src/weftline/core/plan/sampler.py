"""A sample as a small piece of its own, to be woven before the piece that it was taken from."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from weftline.core.weave.line import read_line

if TYPE_CHECKING:
    from weftline.core.piece.values import Band, Project
    from weftline.core.plan.plan import Plan

FRINGE_CM = 5.0
"""Enough warp at each end to cut a sample off; nobody knots it. From memory."""

WIDE_MM = 250.0
"""A sample is no wider in the reed: a hand's width and a little more on each side."""


def sampler(plan: Plan, sett_per_cm: float, long_mm: float, lines_per_cm: float) -> Project:
    """Return a piece that is one strip of another's cloth.

    It has the yarns, the weave and the edges of the first section that has lines; as many whole repeats of its own strip
    as lie within 25 cm of the reed; and the band with most written lines, as often as the length asks for.

    Parameters
    ----------
    plan : Plan
        Of the piece that the sample is for.
    sett_per_cm : float
        Ends per cm in the reed.
    long_mm : float
        Woven.
    lines_per_cm : float
        To be expected.
    """
    project = plan.project
    place = next(at for at, facts in enumerate(plan.sections) if facts.lines)
    section = project.sections[place]
    strip = next(one for one in section.strips if one.bands)
    band = max(strip.bands, key=lambda one: len(one.lines))
    repeat = len(plan.cloth.technique.threading)
    fits = int(WIDE_MM / 10 * sett_per_cm)
    ends = (
        strip.ends
        if strip.ends <= fits
        else max(1, (fits - strip.ends % repeat) // repeat) * repeat + strip.ends % repeat
    )
    woven = ceil(long_mm / 10 * lines_per_cm)
    return project.model_copy(
        update={
            "name": f"{project.name[:190]}, sample",
            "warp": project.warp.model_copy(update={"sett_per_cm": round(sett_per_cm, 4), "ends": None}),
            "yarns": {key: yarn for key, yarn in project.yarns.items() if key in _used(project, band)},
            "allowances": project.allowances.model_copy(update={"sample_cm": 0, "fringe_each_end_cm": FRINGE_CM}),
            "sections": (
                section.model_copy(
                    update={
                        "pieces": 1,
                        "strips": (
                            strip.model_copy(
                                update={
                                    "ends": ends,
                                    "gap_after_cm": 0,
                                    "idle_after": 0,
                                    "seam_after": False,
                                    "bands": (_repeated(band, woven),),
                                }
                            ),
                        ),
                    }
                ),
            ),
        }
    )


def _used(project: Project, band: Band) -> set[str]:
    """Return the yarns of a band, with the ground and the warp."""
    tokens = {token for text in band.lines for token in read_line(text).tokens}
    keys = {part.lstrip("0123456789") for token in tokens for part in token.split("+")}
    keys |= {part for token in tokens for part in token.split("+")}
    return keys | {key for key in (project.ground, project.warp.yarn) if key is not None}


def _repeated(band: Band, lines: int) -> Band:
    return band.model_copy(
        update={
            "mirror": "none",
            "joint": None,
            "times": max(1, ceil(lines / sum(read_line(text).times for text in band.lines))),
        }
    )
