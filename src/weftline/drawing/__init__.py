"""Drawing: pure pictures of a cloth, as arrays and display lists; no files.

Nouns: a *picture* is a raster with its resolution; a *layout* tells where strips and sections lie
in millimetres. May import: ``core``, numpy.
"""
