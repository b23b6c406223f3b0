"""Large type for a terminal that is read from the loom: capitals, figures and a few signs, five rows high."""

from __future__ import annotations

ROWS = 5
FULL = "█"

_SHAPES = """
A .##. #..# #### #..# #..#
B ###. #..# ###. #..# ###.
C .### #... #... #... .###
D ###. #..# #..# #..# ###.
E #### #... ###. #... ####
F #### #... ###. #... #...
G .### #... #.## #..# .###
H #..# #..# #### #..# #..#
I ### .#. .#. .#. ###
J ..## ...# ...# #..# .##.
K #..# #.#. ##.. #.#. #..#
L #... #... #... #... ####
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O .##. #..# #..# #..# .##.
P ###. #..# ###. #... #...
Q .##. #..# #..# #.## .###
R ###. #..# ###. #.#. #..#
S .### #... .##. ...# ###.
T ##### ..#.. ..#.. ..#.. ..#..
U #..# #..# #..# #..# .##.
V #...# #...# .#.#. .#.#. ..#..
W #...# #...# #.#.# ##.## #...#
X #..# #..# .##. #..# #..#
Y #...# .#.#. ..#.. ..#.. ..#..
Z #### ..#. .#.. #... ####
0 .##. #.## #..# ##.# .##.
1 .#. ##. .#. .#. ###
2 ###. ...# .##. #... ####
3 ###. ...# .##. ...# ###.
4 #..# #..# #### ...# ...#
5 #### #... ###. ...# ###.
6 .##. #... ###. #..# .##.
7 #### ...# ..#. .#.. .#..
8 .##. #..# .##. #..# .##.
9 .##. #..# .### ...# .##.
+ ... .#. ### .#. ...
- ... ... ### ... ...
"""
SHAPES: dict[str, tuple[str, ...]] = {
    letter: tuple(rows) for letter, *rows in (line.split() for line in _SHAPES.strip().splitlines())
}


def large(text: str, width: int) -> list[str]:
    """Return a text as rows of large letters; what does not fit into the width, or has no shape, comes as it is.

    Examples
    --------
    >>> for row in large("1+2", 20):
    ...     print(row)
     █         ███
    ██    █       █
     █   ███   ██
     █    █   █
    ███       ████
    """
    shapes = [("  ",) * ROWS if letter == " " else SHAPES.get(letter, ()) for letter in text.upper()]
    if not all(shapes):
        return [text]
    rows = [
        "  ".join(shape[row] for shape in shapes).replace(".", " ").replace("#", FULL).rstrip() for row in range(ROWS)
    ]
    return rows if max(map(len, rows), default=0) <= width else [text]
