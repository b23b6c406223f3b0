"""A piece in another size: what a weaver wishes, and the piece as written that comes nearest to it.

Nouns: a *wish* is what is to be different; a *look* is what one copy of a band weaves; a *unit* is
what can come more or less often without breaking anything: a band, two bands that answer each
other, or a run of bands; a *stretch* is a piece with its units, in an even order of growing; a
*width* of a piece that is woven in two is one of its halves.

Units: mm, grams, tex, ends and lines per cm. May import: ``amounts``, ``edges``, ``geometry``,
``piece``, ``weave``, ``yarn``, ``findings``, numpy.
"""
