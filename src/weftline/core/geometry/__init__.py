"""Sizes: from ends and lines to millimetres in the reed, on the loom, off the loom and finished; and setts.

Nouns: a *size* is a width and a length in each of four states; a *closure* is what a weave does to
the room its wool has; a *thread* is a warp end or a pick as the sett reckons with it. Units: mm, mm2,
tex, ends per cm. May import: ``piece``, ``weave``, ``yarn``, ``findings``.
"""
