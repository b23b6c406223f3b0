"""The cautions that go with each step of a piece.

Sources stand beside each; where none is named it is common practice, no source. All of them defer
to makers' instructions, local codes and licensed practice.
"""

from __future__ import annotations

from weftline.core.findings import Caution

DRESS, WEAVE, FINISH, USE = "dress", "weave", "finish", "use"

CAUTIONS: tuple[Caution, ...] = (
    Caution(
        DRESS,
        "A warp under tension, its pawl and its brake can strike.",
        "Keep hands and face clear and let tension off in steps; clamp warping pegs and mark their ends.",
        "The loom maker's instructions come first.",
    ),
    Caution(  # short, frequent breaks: UK HSE on screen work; Galinsky et al., Ergonomics 43 (2000) 622
        WEAVE,
        "Hours of beating and treadling strain hands, arms and back.",
        "Take short breaks often, five to ten minutes in every hour, before you tire; "
        "change posture and stop before pain.",
        "Your doctor or physiotherapist knows better.",
    ),
    Caution(
        FINISH,
        "A wet piece is heavy, and hot water and steam scald.",
        "Lift it with two, never by one edge; let water cool before hands go in; keep steam away from skin.",
        "The yarn maker's washing instructions come first.",
    ),
    Caution(
        FINISH,
        "Wool dust and dye powders irritate.",
        "Open a window, wear mask and gloves with dyes, and never use dye pots for food again.",
        "The dye maker's safety sheet comes first.",
    ),
    Caution(  # US CDC home checklist; felt alone does not stop slipping
        USE,
        "A mat on a smooth floor slips, and curled edges or a trailing fringe trip.",
        "Lay it on a non-slip underlay or fix it with double-sided tape, renew the backing when it wears, "
        "and keep long fringe away from small children and pets.",
        "The instructions of the floor's and the underlay's makers come first.",
    ),
    Caution(  # 4:1 is a common rule for anchors; spreading the weight: Conservation DistList 2000
        USE,
        "A hanging can fall.",
        "Spread the weight over the whole top edge, use two fixings or more, each rated to hold the whole piece "
        "four times over, clear of pipes and cables, and nothing heavy over a bed or a seat.",
        "The fixing maker's rated load and local codes come first; where in doubt, ask a licensed fitter.",
    ),
    Caution(
        USE,
        "Wool and plant fibres near heaters and open fires can burn.",
        "Keep a distance; public buildings may ask for fire-rated textiles.",
        "Local fire codes come first.",
    ),
)
"""Cautions in the order of the steps."""
