"""Finishing: what happens to the cloth off the loom, and the cautions of every step.

May import: ``piece``, ``geometry``, ``findings``.
"""
