"""Every spread of the learning, in one place: why cloths differ from the physical mean, and how sure a reading is.

The mean itself is ``geometry``'s. Where a first sketch of the model and that code differed, this is what holds:

- the crimp of each shed is that of ``geometry.closure``, computed for any threading (a mean of 0.73 of plain
  weave's on four shafts, 0.87 in krokbragd), not a figure by name;
- a yarn of which only the wraps are known is as unsure as ``yarn`` says of its wraps: about 0.3 of the logarithm
  of tex where they were laid touching, 0.47 where nobody says how;
- line spreads here are told by reason, and a little narrower for yarn and loom than ``geometry.sett``'s, so that a
  soft or a hard beat and a fine weft still stay within a factor of 2.5.

Spreads are standard deviations on the scale that a quantity is reasoned in: the logarithm of lines per cm, of the
packing in the cloth, of tex, of crimp and of warp take-up (both of these as ``ln ln(1 + share)``); the root of
``-ln(1 - draw-in)``; ``-ln(1 - share)`` for relaxing and shrinking; the logarithm of a sett limit. All are judgement,
from the few sources that ``geometry`` names; simulated weavers (``bench/calibration.py``) hold them to account.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

SPREADS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "lines": {"level": 0.15, "weave": 0.07, "yarn": 0.12, "cloth": 0.09, "weaver": 0.115, "loom": 0.06,
                  "beat": 0.06, "piece": 0.05},
        "draw-in": {"level": 0.03, "cloth": 0.05, "weaver": 0.055, "loom": 0.04, "piece": 0.016},
        "crimp": {"level": 0.22, "cloth": 0.22, "weaver": 0.20, "piece": 0.11},
        "packing": {"level": 0.22, "yarn": 0.15, "weaver": 0.08, "piece": 0.065},
        "mass": {"piece": 0.02},
        "take-up": {"level": 0.20, "weaver": 0.30, "loom": 0.20, "piece": 0.15},
        "relax width": {"level": 0.021, "weaver": 0.008, "cloth": 0.008, "piece": 0.0075},
        "relax length": {"level": 0.008, "weaver": 0.006, "loom": 0.006, "piece": 0.005},
        "shrink width": {"level": 0.012, "yarn": 0.012, "weaver": 0.010, "piece": 0.008},
        "shrink length": {"level": 0.018, "yarn": 0.015, "weaver": 0.012, "piece": 0.012},
        "open": {"level": 0.11, "weaver": 0.10},
        "close": {"level": 0.17, "weaver": 0.10},
    }
)  # fmt: skip
"""By quantity and by reason: how sure the model's level is; the weave; the yarn; this cloth, which is what physics gets
wrong for one yarn, sett and weave; the weaver; her loom; what she calls firm; the piece itself. Mass has lines' and
crimp's reasons and the damp of the room: wool at 13.6 and at 18 % of moisture differs by 4 %."""

TEX = 0.04
"""Of the true tex of a yarn about its label's."""

SIZE_SLOPE, MOST_SIZES = 0.05, 1.4
"""Lines are less sure by so much for each factor of e that a weft lies from 1,000 tex, up to four times finer or coarser:
no square root has been tested over more."""

BEAT_STEP = 0.03
"""Of the step of lines from a firm to a soft or a hard beat (a step of 0.12)."""

UNSAID_HABIT = UNSAID_PIECE = 0.06
"""Beside a beat that nobody stated: a weaver has a habit, yet a piece may differ from it; 0.085 together."""

OWN_WEAVE = 0.10
"""In place of the weave's 0.07, where no piece in such a weave is documented."""

NOT_WOOL = 0.15
"""Beside the yarn's spread where the weft is no wool: nothing of it was compared."""

SHED_SHARE = 0.25
"""Of the share of its bend that a shed with long floats keeps; only a metre of weft laid in each shed tells."""

LIGHT_LOOMS, LIGHT_LOOM = ("rigid heddle", "frame"), -0.08
"""Looms that beat lightly, and what that does to the logarithm of lines (a guess)."""

UNDER_TENSION, UNDER_TENSION_SD = -0.05, 0.03
"""Lines counted on the stretched warp, on their logarithm: a documented rug shrank 6 % in length off the loom."""

DRAWN_BY_CRIMP = 0.10
"""Of a change of the logarithm of crimp so much goes into the root of draw-in."""

MOST_CRIMP = 0.20
"""Mass leans on crimp by ``ln(1 + crimp)``, and by no more than this: where a sett is so close that the formula gives more,
passes cannot both bend more and lie closer."""

MEANS: Mapping[str, float] = MappingProxyType(
    {"relax width": 0.02, "relax length": 0.01, "shrink width": 0.03, "shrink length": 0.04}
)
"""Shares that cloth loses off the loom and in the wash, as the settings of a piece have them. Sources: a weft-faced rug of
wool strips lost 5.7 % of length and 1.7 % of width, a washed rug 9 and 4 %, coasters 6 % of width off the loom."""

VERDICT = 0.15
"""How sharply weavers tell a sett that holds from one that does not, on its logarithm."""

DRIFT = 0.02
"""What a weaver's arm may change by from one sample to the next, on the logarithm of lines."""

SHAPE, RATE, LEAST = 5.0, 4.0, 0.8
"""The common scale of all spreads: an inverse gamma, and the least that it is reckoned as, so that good counts never
make an unread draw-in look sure."""

RULER_MM, EDGE_MM = 0.5, 1.5
"""A tape along a length; a tape across a width, where edges wave."""

HALF = 0.2887
"""A figure read to the nearest whole one, as a standard deviation of it: 1/sqrt(12)."""

SCALES, CALLIPERS_MM, CUT_MM = 0.025, 0.25, 2.0
"""Weighing with measuring the area, as a share; thickness; a length of weft unravelled or laid out."""
