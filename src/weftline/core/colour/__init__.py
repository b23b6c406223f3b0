"""Colour: sRGB to linear light and back, and the colour of strands wound together.

Units: linear sRGB 0..1 while rendering; ``#rrggbb`` as written. May import: numpy.
"""
