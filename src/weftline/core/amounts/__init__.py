"""Amounts: warp and weft needed, mass, packs, cost and time.

Units: lengths mm inside, m and g where a name says so; money in the piece's own currency; time in
hours. Take-ups multiply: warp take-up is extra warp over the woven length, weft take-up extra weft
over the width in the reed. May import: ``edges``, ``geometry``, ``piece``, ``weave``, ``yarn``,
``findings``.
"""
