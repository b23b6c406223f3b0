"""Looms: how a shed is made on each kind of loom, and how a warp stands in the reed.

Nouns: the *lift* is what moves so that a shed opens; a *sley* is the order of ends in the dents; a
*stand* is where a strip lies in the reed. May import: ``piece``, ``weave``.
"""
