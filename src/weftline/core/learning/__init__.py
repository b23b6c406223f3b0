"""What a weaver's measured samples teach: predictions with intervals, wide at first, and what to weave next.

Nouns: the *facts* of a cloth are what is known before it is woven; a *sample* is a cloth with what was
read from it; an *effect* is one reason why cloths differ from the mean (this weaver's arm, this yarn,
this loom); a *belief* is what is held of all effects; a *forecast* is what it says of a cloth. Units: mm,
g, tex, setts and lines per cm, masses in g/m2; draw-in, take-ups and shrinkage are shares of one.
May import: ``geometry``, ``piece``, ``weave``, ``yarn``, ``findings``; no files, no clock, no dice.
"""
