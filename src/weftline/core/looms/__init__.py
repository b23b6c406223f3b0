"""Looms: how a shed is made on each kind of loom.

Nouns: the *lift* is what moves so that a shed opens. May import: ``piece``, ``weave``.
"""
