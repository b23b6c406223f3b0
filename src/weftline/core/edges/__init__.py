"""Edges: extra warp at the selvedges, yarns carried up the edge or cut, tails to work in.

Nouns: an *edge end* is warp that is no column of the cloth (floating or doubled); a *run* is a
stretch of lines through which a yarn stays on its shuttle. May import: ``piece``, ``weave``,
``findings``, numpy.
"""
