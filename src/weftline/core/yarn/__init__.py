"""Yarn numbers: what a label says about a yarn's thickness, as tex.

What lives here: the numbering systems, the reading of sizes as labels print them, and the diameter
that follows from size and fibre.
Nouns: a *system* numbers a yarn (tex, metric, cotton count); a *label* is the text on the yarn;
a *fold* is its count and plies; a *reading* is one way to understand it; a *size* is the label
with all its readings and the question that tells them apart; *strands* are woven as one; *numbers* are
all that a label tells.
Units: tex (g/km) of the whole yarn; lengths in metres, masses in grams; constants are exact.
Rule: an ambiguous size is asked, never guessed; a length on the label outweighs its count.
May import: weftline.errors, findings and the standard library's pure parts. No files, no other core folder.
Order inside: numbers > strands | diameter > wraps | fibres | rules; strands > reading > question | readings > customs > folding | lengths > label > marks > words > size | systems.
"""

from weftline.core.yarn.reading import read_size
from weftline.core.yarn.size import Reading, Size, YarnSizeError
from weftline.core.yarn.systems import SYSTEMS, System, m_per_kg, tex_from_m_per_kg

__all__ = [
    "SYSTEMS",
    "Reading",
    "Size",
    "System",
    "YarnSizeError",
    "m_per_kg",
    "read_size",
    "tex_from_m_per_kg",
]
