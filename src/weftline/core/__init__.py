"""The pure core: frozen values and arrays in, the same out.

Nothing here opens a file, asks the time or draws a random number of its own. Lengths are
millimetres, masses grams, yarn numbers tex; keys that a weaver writes (``sett_per_cm``,
``waste_cm``) keep the unit of their name and are converted once, in ``core.piece.settings``.

Inside, a line may import only lines below it: ``plan``; ``amounts``; ``finishing | edges |
looms``; ``geometry``; ``piece``; ``weave``; ``yarn | findings``.
"""
