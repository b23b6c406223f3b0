"""The plan: everything computed from a piece, as one value.

Nouns: a *plan* holds the expanded cloth, its sizes and amounts, its findings and cautions; a *step*
is one throw. ``findings_*`` modules each look at one thing. May import everything in ``core``.
"""
