"""The height of the cloth: where ovals of weft overlap, the higher shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from weftline.drawing.wool.chance import grid
from weftline.drawing.wool.fibre import (
    ACROSS_STEPS,
    FIBRE_ALONG,
    FIBRE_AROUND,
    FIBRE_PER_LINE,
    PLY_LINES,
    PLY_STEPS,
    PROFILE_STEPS,
    Strand,
    strand,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from weftline.drawing.wool.spots import Spot

FULLNESS = 1.16
"""Half-height of an oval against half the room that its column leaves it: beads press into each other."""
ROUND, PLY, FIBRE, INTERLEAVE, TONE = 0.38, 0.085, 0.0150, 0.007, 0.050
"""Relief of the round strand, of its plies and fibres; fibre where borders interleave; tone of the fibres."""
TILT = 0.28
"""How far the fibres follow the twist of the plies."""
WAVE = 3.0
"""How far fibres wander around the strand, in steps of the fibre table."""
LEVEL_ENDS, LEVEL_TIP = 3, 1.25
"""A float over more ends than this is level but for its tips, so many columns long."""
BULGE = 1.25
"""How much more than its room a float may take where it is wider elsewhere."""
NO_SPOT = -1


@dataclass(frozen=True, slots=True)
class Window:
    """A rectangle of pixels: x from the strip's left edge, y upwards from its foot.

    Lines are ``line_px`` high; the cloth itself runs from x to x and is so high.
    """

    left: int
    foot: int
    width: int
    height: int
    line_px: float
    cloth: tuple[int, int, int]
    seed: int


@dataclass(frozen=True, eq=False)
class Relief:
    """A height field; rows upwards.

    Parameters
    ----------
    height : (rows, columns) float32
    spot : (rows, columns) int32
        Which of the spots shows, ``NO_SPOT`` where none does.
    tone : (rows, columns) float32
        Lightness of the fibres, 0 on average.
    rank : (rows, columns) float32
        The height with the fibres that make borders interleave: what decides which spot shows.
    """

    height: NDArray[np.float32]
    spot: NDArray[np.int32]
    tone: NDArray[np.float32]
    rank: NDArray[np.float32]


def raise_relief(spots: list[Spot], window: Window, phase: int) -> Relief:
    """Return the height field of spots; picks that differ by ``phase`` vary alike."""
    shape = window.height, window.width
    relief = Relief(
        np.zeros(shape, dtype=np.float32),
        np.full(shape, NO_SPOT, dtype=np.int32),
        np.zeros(shape, dtype=np.float32),
        np.full(shape, -0.5, dtype=np.float32),
    )
    look = strand(window.seed)
    for number, spot in enumerate(spots):
        _raise_spot(relief, number, spot, window, (look, _varied(spot, window.seed, phase)))
    _close(relief, window)
    return relief


def _close(relief: Relief, window: Window) -> None:
    """Let the neighbours of small holes in the cloth close them, in place."""
    rows = slice(max(1, -window.foot), min(window.height - 1, window.cloth[2] - window.foot))
    across = slice(max(1, window.cloth[0] - window.left), min(window.width - 1, window.cloth[1] - window.left))
    for _ in range(max(2, round(0.06 * window.line_px))):
        y, x = np.nonzero(relief.spot[rows, across] == NO_SPOT)
        if not len(y):
            return
        y, x = y + rows.start, x + across.start
        for up, right in ((0, 1), (0, -1), (1, 0), (-1, 0)):
            found = relief.spot[y + up, x + right]
            relief.spot[y, x] = np.where(found == NO_SPOT, relief.spot[y, x], found)
            relief.height[y, x] = np.where(found == NO_SPOT, relief.height[y, x], relief.height[y + up, x + right])


def _varied(spot: Spot, seed: int, phase: int) -> NDArray[np.float32]:
    """Return (8,) float32 of numbers 0..1, the variation of one spot."""
    drawn: NDArray[np.float32] = grid(seed * 7919 + (spot.pick % phase) * 300_007 + spot.dice * 31, 1, 8)[0]
    return drawn


@dataclass(frozen=True, eq=False)
class _Run:
    """What is equal along a column of one oval's pixels.

    Parameters
    ----------
    axis, up, down : (columns,) float32
        Height of its axis above the spot's middle, half-heights above and below it, px.
    crown : (columns,) float32
    along : (columns,) float32
        Place along the yarn, lines.
    loose : float
        As in ``Shape``.
    """

    axis: NDArray[np.float32]
    up: NDArray[np.float32]
    down: NDArray[np.float32]
    crown: NDArray[np.float32]
    along: NDArray[np.float32]
    loose: float


def _run(spot: Spot, x: NDArray[np.float64], line_px: float, look: tuple[Strand, NDArray[np.float32]]) -> _Run:
    chance = look[1]
    shape = spot.shape
    u = x / spot.half
    away = np.minimum(np.abs(u), 1)
    taper = (1 - shape.taper * away**shape.taper_power) * np.sqrt(1 - away**shape.tip)
    axis = (spot.right - spot.left) / 2 * u + (spot.right + spot.left) / 2 * away**1.6
    up, down = taper * spot.up, taper * spot.down
    if spot.course is not None:
        axis, up, down = _over_ends(spot, x + spot.x, (up, down))
    size = FULLNESS * (1 + 0.06 * (2 * float(chance[0]) - 1))
    room = spot.up + spot.down if spot.course is None else 1.2 * float((spot.course.above + spot.course.below).min())
    own = min(line_px, room)
    lean = shape.slant * (0.7 + 0.6 * float(chance[1])) * own * u
    jitter = 0.04 * own * (2 * float(chance[2]) - 1)
    wander = _wander(x / line_px, look)
    return _Run(
        (axis + lean + jitter + 0.022 * own * shape.loose * wander[0]).astype(np.float32),
        (size * np.maximum(up, 0.3) * (1 + 0.05 * wander[1])).astype(np.float32),
        (size * np.maximum(down, 0.3) * (1 + 0.05 * wander[2])).astype(np.float32),
        (_crown(spot, away) + 0.03 * (float(chance[3]) - 0.5)).astype(np.float32),
        (x / line_px).astype(np.float32),
        shape.loose,
    )


def _crown(spot: Spot, away: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how high the crown of an oval stands along it; a long float is level between its tips."""
    shape = spot.shape
    if spot.course is not None and len(spot.course.x) > LEVEL_ENDS:
        wide = spot.course.x[1] - spot.course.x[0]
        away = np.maximum(0, 1 - (1 - away) * spot.half / (LEVEL_TIP * wide))
    return shape.crown * np.cos(np.pi / 2 * away) ** shape.crown_power - shape.sunk


def _over_ends(
    spot: Spot, x: NDArray[np.float64], free: tuple[NDArray[np.float64], NDArray[np.float64]]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return axis, up and down of a float: as round as it likes, but never less than its room, nor far beyond it."""
    course = spot.course
    assert course is not None
    near = np.clip((spot.half - np.abs(x - spot.x)) / (0.2 * spot.half), 0, 1)
    axis = np.interp(x, course.x, course.axis)
    found = []
    for own, room in zip(free, (course.above, course.below), strict=True):
        least = np.interp(x, course.x, room)
        found.append(np.maximum(np.minimum(own, BULGE * least), least * np.sqrt(near)))
    return axis, found[0], found[1]


def _wander(along: NDArray[np.float64], look: tuple[Strand, NDArray[np.float32]]) -> NDArray[np.float32]:
    """Return (3, columns): how the axis and both borders of a strand of loose wool wander along it, deviation 1."""
    tables, chance = look
    place = np.floor(along * FIBRE_PER_LINE / 1.5 + chance[6] * FIBRE_ALONG).astype(np.int64)
    lines = tables.outline.reshape(-1, FIBRE_ALONG)
    return np.stack([lines[int(chance[k] * len(lines)), place & (FIBRE_ALONG - 1)] for k in (5, 6, 7)])


def _raise_spot(
    relief: Relief, number: int, spot: Spot, window: Window, look: tuple[Strand, NDArray[np.float32]]
) -> None:
    tables, chance = look
    left = max(0, int(np.ceil(spot.x - spot.half - window.left)))
    right = min(window.width, int(np.floor(spot.x + spot.half - window.left)) + 1)
    if right <= left:
        return
    across_px = np.arange(left, right, dtype=np.float64) + (0.5 + window.left - spot.x)
    run = _run(spot, across_px, window.line_px, look)
    middle = spot.y - window.foot
    low = max(0, int(np.floor(middle + float((run.axis - run.down).min()))))
    high = min(window.height, int(np.ceil(middle + float((run.axis + run.up).max()))) + 1)
    if high <= low:
        return
    y = (np.arange(low, high, dtype=np.float32) + np.float32(0.5 - middle))[:, None] - run.axis
    across = np.maximum(y / run.up, -1) * (y > 0) + np.maximum(y / run.down, -1) * (y <= 0)
    height, tone, rank = _surface(across, run, tables, chance)
    box = slice(low, high), slice(left, right)
    higher = rank > relief.rank[box]
    np.copyto(relief.rank[box], rank, where=higher)
    np.copyto(relief.height[box], height, where=higher)
    np.copyto(relief.tone[box], tone, where=higher)
    np.copyto(relief.spot[box], np.int32(number), where=higher)


def _surface(
    across: NDArray[np.float32], run: _Run, tables: Strand, chance: NDArray[np.float32]
) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.float32]]:
    """Return height, tone and rank of one oval, (rows, columns) each; outside it the rank is far below all others."""
    squares = across * across
    outside = squares >= 1
    np.minimum(squares, np.float32(0.99999), out=squares)
    profile = tables.profile[(squares * PROFILE_STEPS).astype(np.int32)]
    place = ((np.clip(across, -1, 1) + 1) * (ACROSS_STEPS / 2)).astype(np.int32)
    turn = np.floor((run.along / PLY_LINES + chance[4]) * PLY_STEPS * 2).astype(np.int32)
    ply = tables.ply[(tables.ply_of[place] - turn) & (PLY_STEPS - 1)]
    along = np.floor(run.along * FIBRE_PER_LINE + chance[6] * FIBRE_ALONG).astype(np.int32) & (FIBRE_ALONG - 1)
    wave = WAVE * tables.fibres[int(chance[7] * FIBRE_AROUND) * FIBRE_ALONG + along]
    tilt = np.floor(run.along / PLY_LINES * (TILT * 2 * FIBRE_AROUND) + wave).astype(np.int32)
    around = (tables.fibre_of[place] - tilt + int(chance[5] * FIBRE_AROUND)) & (FIBRE_AROUND - 1)
    fibre = tables.fibres[around * FIBRE_ALONG + along]
    inner = np.minimum(profile * np.float32(1.4), 1)
    height = run.crown + ROUND * profile + inner * (PLY * ply + FIBRE * fibre)
    rank = height + np.float32(INTERLEAVE * run.loose) * fibre
    rank[outside] = -1
    return height, TONE * inner * fibre, rank
