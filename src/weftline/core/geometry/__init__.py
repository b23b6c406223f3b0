"""Sizes: from ends and lines to millimetres in the reed, on the loom, off the loom and finished.

Nouns: a *size* is a width and a length in each of four states. Units: mm, mm2. May import:
``piece``, ``weave``, ``findings``.
"""
