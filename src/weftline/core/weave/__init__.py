"""The weave itself: shafts, sheds, threadings, picks and what they make of each other.

Nouns: an *end* stands on one *shaft* (1..16); a *shed* is the set of shafts that a pick covers on
the face; a *winding* is what one shuttle carries (yarns with their strands); a *pick* is one
passage of a winding in a shed; a *line* is one round of the sheds; a *bead* is where one pick
covers one end; a *float* is where a pick runs behind ends that it does not cover.

Units: ends and picks are counted, heights and lengths are millimetres. A shed is kept as a bit
mask (bit s - 1 for shaft s). May import: ``findings``, numpy.
"""
