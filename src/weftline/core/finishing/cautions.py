"""The cautions that go with each step of a piece.

Sources stand beside each; where none is named it is common practice, no source. All of them defer
to makers' instructions, local codes and licensed practice.
"""

from __future__ import annotations

from weftline.core.findings import Caution

DRESS, WEAVE, FINISH, USE = "dress", "weave", "finish", "use"
HEAVY_G = 1000.0
"""From so much dry mass on, a wet piece is called heavy: wool holds more than its own mass of water (from memory)."""

TENSION = Caution(
    DRESS,
    "A warp under tension, its pawl and its brake can strike.",
    "Keep hands and face clear and let tension off in steps; clamp warping pegs and mark their ends.",
    "The loom maker's instructions come first.",
)
BREAKS = Caution(  # short, frequent breaks: UK HSE on screen work; Galinsky et al., Ergonomics 43 (2000) 622
    WEAVE,
    "Hours of beating and treadling strain hands, arms and back.",
    "Take short breaks often, five to ten minutes in every hour, before you tire; change posture and stop before pain.",
    "Your doctor or physiotherapist knows better.",
)
SCALDS = Caution(
    FINISH,
    "Hot water and steam scald.",
    "Let water cool before hands go in, and keep steam away from skin.",
    "The yarn maker's washing instructions come first.",
)
HEAVY = Caution(
    FINISH,
    "This piece is heavy when wet.",
    "Lift it with two, never by one edge.",
    "Where lifting is hard for you, have it washed by someone else.",
)
DYES = Caution(
    FINISH,
    "Wool dust and dye powders irritate.",
    "Open a window, wear mask and gloves with dyes, and never use dye pots for food again.",
    "The dye maker's safety sheet comes first.",
)
SLIPS = Caution(  # US CDC home checklist; felt alone does not stop slipping
    USE,
    "On a smooth floor a mat slips, and curled edges or a trailing fringe trip.",
    "Lay it on a non-slip underlay or fix it with double-sided tape, renew the backing when it wears, "
    "and keep long fringe away from small children and pets.",
    "The instructions of the floor's and the underlay's makers come first.",
)
FALLS = Caution(  # 4:1 is a common rule for anchors; spreading the weight: Conservation DistList 2000
    USE,
    "On a wall a hanging can fall.",
    "Spread the weight over the whole top edge, use two fixings or more, each rated to hold the whole piece "
    "four times over, clear of pipes and cables, and nothing heavy over a bed or a seat.",
    "The fixing maker's rated load and local codes come first; where in doubt, ask a licensed fitter.",
)
BEARS = Caution(
    USE,
    "As a seat, a sling or a strap it bears weight, and cloth, seams and fixings can give way.",
    "Try it low over the ground with less than it will carry, look at seams and edges often, and retire it when it wears.",
    "The maker of the frame or the fitting says what it may carry; this pattern promises no load.",
)
BURNS = Caution(
    USE,
    "Wool and plant fibres near heaters and open fires can burn.",
    "Keep a distance; public buildings may ask for fire-rated textiles.",
    "Local fire codes come first.",
)

CAUTIONS: tuple[Caution, ...] = (TENSION, BREAKS, SCALDS, HEAVY, DYES, SLIPS, FALLS, BEARS, BURNS)
"""Every caution, in the order of the steps."""


def cautions_for(heaviest_g: float | None) -> tuple[Caution, ...]:
    """Return the cautions that go with weaving, washing and using a piece.

    Parameters
    ----------
    heaviest_g : float or None
        Dry mass of its heaviest part; None where it is not known, which counts as heavy.
    """
    heavy = heaviest_g is None or heaviest_g >= HEAVY_G
    return tuple(caution for caution in CAUTIONS if caution is not DYES and (heavy or caution is not HEAVY))
