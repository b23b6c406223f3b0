"""Use cases, a verb each: synchronous, without SQL, clock or dice; what they need comes through ``ports``.

A piece is a stream of entries (``pieces`` its life, ``designing`` its changes); yarns, looms, samples
and settings are one more stream, the ``shelf``; photographs are files by their content. May import
core, drawing, formats and sheets; never the store, which is handed in by ``wiring``.
"""
