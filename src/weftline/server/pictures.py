"""Pictures of cloth for pages: which part, how large, on no ground, drawn once and kept.

The bench behind the cloth is the page's own, light or dark; so the bench that a picture comes with
is taken out, and only its shadow stays.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import threading
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image
from starlette.concurrency import run_in_threadpool

from weftline._version import __version__
from weftline.core.geometry.sizes import end_pitch_mm
from weftline.core.piece.cloth import expand
from weftline.core.piece.settings import settings_of
from weftline.core.piece.values import Band, Project
from weftline.core.weave.picks import PICK_ARRAYS, Picks, Weaving
from weftline.drawing.layout import BETWEEN_SECTIONS_MM
from weftline.drawing.wool import View, wool_picture
from weftline.drawing.wool.ground import BENCH
from weftline.drawing.wool.view import canvas

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable
    from pathlib import Path

    from numpy.typing import NDArray

    from weftline.core.piece.cloth import Cloth, StripCloth
    from weftline.core.piece.settings import Settings
    from weftline.core.plan.plan import Plan

    Wanted = Callable[[], Awaitable[bool]]

MM_PER_INCH = 25.4
PAD = 16
"""Pixels around the cloth at Close."""
TUCK_PX = 18
"""Reach of the shadow of a tuck."""
MOST_KEPT = 64_000_000
"""Bytes of pictures kept in memory."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of one strip.

    Parameters
    ----------
    section, strip : int
    first, last : int
        Running lines, from 1.
    ends : int
        How many ends are shown; whole repeats less than there are lie in a tuck.
    """

    section: int
    strip: int
    first: int
    last: int
    ends: int


def ends_that_fit(ends: int, repeat: int, pitch_px: float, room_px: float) -> int:
    """Return how many ends to show: all, or fewer by whole repeats.

    Examples
    --------
    >>> ends_that_fit(73, 4, 10.0, 400.0), ends_that_fit(33, 4, 10.0, 400.0)
    (37, 33)
    """
    over = ends * pitch_px - room_px
    if over <= 0:
        return ends
    repeats = int(np.ceil(over / (repeat * pitch_px)))
    return max(ends - repeats * repeat, ends % repeat or repeat, 1)


def pitch_px(settings: Settings, line_px: float) -> float:
    """Return the width of a column where a line is so high."""
    return end_pitch_mm(settings).value / settings.line_height_mm.value * line_px


def part_of(cloth: Cloth, part: Part) -> Cloth:
    """Return a cloth that is just this part, woven once."""
    section = cloth.sections[part.section]
    strip = section.strips[part.strip]
    ends = strip.weaving.ends
    left = left_of_tuck(len(ends), part.ends, len(cloth.technique.threading))
    kept = np.concatenate([ends[:left], ends[len(ends) - (part.ends - left) :]]) if part.ends < len(ends) else ends
    weaving = Weaving(kept, _lines(strip.weaving.picks, part.first, part.last), strip.weaving.windings)
    alone: StripCloth = replace(strip, written=strip.written.model_copy(update={"ends": len(kept)}), weaving=weaving)
    return replace(cloth, sections=(replace(section, strips=(alone,)),))


def left_of_tuck(ends: int, shown: int, repeat: int) -> int:
    """Return how many ends lie left of the tuck; all where there is none."""
    return shown if shown >= ends else min(shown, max(repeat, shown * 5 // 8 // repeat * repeat))


def _lines(picks: Picks, first: int, last: int) -> Picks:
    inside = (picks.line >= first - 1) & (picks.line < last)
    cut = {name: getattr(picks, name)[inside] for name in PICK_ARRAYS}
    cut["line"] = cut["line"] - (first - 1)
    return Picks(**cut)


def drawn(cloth: Cloth, settings: Settings, view: View) -> NDArray[np.uint8]:
    """Draw a cloth on no ground; the one place where the workbench has cloth drawn.

    Returns
    -------
    (rows, columns, 4) uint8
    """
    return without_bench(wool_picture(cloth, settings, view=view).pixels)


def without_bench(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a picture in which the bench is clear and its shadow black, as dark as it was.

    The bench is what can be reached from the rim of the picture through pure greys no lighter than
    the bench; a cloth's own rim is not a pure grey of that kind but for a pixel here and there.
    """
    grey = (pixels[..., 0] == pixels[..., 1]) & (pixels[..., 1] == pixels[..., 2]) & (pixels[..., 0] <= BENCH)
    bench = np.zeros(grey.shape, dtype=np.bool_)
    for axis in (0, 1):
        for way in (slice(None), slice(None, None, -1)):
            turned = grey[way] if axis == 0 else grey[:, way]
            reach = np.logical_and.accumulate(turned, axis=axis)
            bench |= reach[way] if axis == 0 else reach[:, way]
    out = np.dstack([pixels, np.full(grey.shape, 255, dtype=np.uint8)])
    out[bench, 3] = np.round(255 * (1 - pixels[bench, 0] / BENCH)).astype(np.uint8)
    out[bench, :3] = 0
    return out


def close_up_size(cloth: Cloth, settings: Settings, part: Part, line_px: float) -> tuple[int, int]:
    """Return width and height of a close-up."""
    size = canvas(part_of(cloth, part), settings, View(line_px=line_px))
    return size.columns, size.rows - 2 * (size.foot // size.times) + 2 * _pad(line_px)


def _pad(line_px: float) -> int:
    return round(PAD * line_px / 24)


def close_up(cloth: Cloth, settings: Settings, part: Part, line_px: float, *, back: bool, marks: bool) -> bytes:
    """Return a part at so many pixels a line, ``PAD`` pixels (at 24 a line) above and below it."""
    cut = part_of(cloth, part)
    view = View(line_px=line_px, back=back, marks=marks)
    size = canvas(cut, settings, view)
    framed = _framed(drawn(cut, settings, view), size.foot // size.times, _pad(line_px))
    ends = len(cloth.sections[part.section].strips[part.strip].weaving.ends)
    if part.ends < ends:
        at = left_of_tuck(ends, part.ends, len(cloth.technique.threading))
        at = part.ends - at if back else at
        _tuck(framed, (size.left + at * size.column_px) / size.times, TUCK_PX * line_px / 24)
    return packed(framed)


def _framed(pixels: NDArray[np.uint8], foot: int, pad: int) -> NDArray[np.uint8]:
    """Return a picture with exactly ``pad`` clear rows above and below its cloth, which has ``foot`` now."""
    if foot >= pad:
        return pixels[foot - pad : len(pixels) - (foot - pad)]
    more = np.zeros((pad - foot, *pixels.shape[1:]), dtype=np.uint8)
    return np.concatenate([more, pixels, more])


def _tuck(pixels: NDArray[np.uint8], x: float, reach: float) -> None:
    """Shade a fold: dark where the cloth dips in, light on its near lip."""
    places = np.arange(pixels.shape[1]) - x
    dip = np.where(
        places < 0, np.exp(-((places / (reach * 0.75)) ** 2)) * 0.34, np.exp(-((places / (reach * 0.28)) ** 2)) * 0.72
    )
    pixels[..., :3] = np.round(pixels[..., :3] * (1 - dip)[None, :, None]).astype(np.uint8)


def whole(cloth: Cloth, settings: Settings, width_px: int, *, back: bool = False, woven: int | None = None) -> bytes:
    """Return a whole piece so wide."""
    return packed(drawn(cloth, settings, View(width_px=width_px, back=back, woven_picks=woven)))


SMALL_PX = 144
"""Width of a piece in a list, twice as many pixels as it is wide there."""


def small_whole(plan: Plan) -> bytes:
    """Return a piece small; a bare warp as that."""
    if not any(section.picks.line_count for section in plan.cloth.sections):
        return bare_warp_picture(plan, SMALL_PX, 1.2)
    return whole(plan.cloth, plan.settings, SMALL_PX)


def at_fell(cloth: Cloth, settings: Settings, woven: int, size_px: tuple[int, int]) -> bytes:
    """Return the cloth in the loom around its fell: two fifths bare warp, below it what is woven."""
    view = View(width_px=size_px[0], woven_picks=woven)
    frame = canvas(cloth, settings, view)
    pixels = drawn(cloth, settings, view)
    fell = len(pixels) - (frame.foot + frame.upwards(_fell_mm(cloth, woven))) // frame.times
    top = max(0, min(fell - size_px[1] * 2 // 5, len(pixels) - size_px[1]))
    return packed(pixels[top : top + size_px[1]])


def _fell_mm(cloth: Cloth, woven: int) -> float:
    """Return the height of the fell above the foot of the first section."""
    height = 0.0
    for section in cloth.sections:
        picks = section.picks
        if woven <= len(picks):
            return height + (float(picks.top_mm[woven - 1]) if woven else 0.0)
        woven -= len(picks)
        height += picks.height_mm + BETWEEN_SECTIONS_MM
    return height


def bare_warp_picture(plan: Plan, width_px: int, longer: float) -> bytes:
    """Return the warp of a piece alone, so many times longer than it is wide."""
    project, sheds = plan.project, len(plan.cloth.technique.sheds)
    key = next(iter(project.yarns))
    strip = project.sections[0].strips[0]
    wide = end_pitch_mm(plan.settings).value * strip.ends
    lines = max(1, round(wide * longer / plan.settings.line_height_mm.value))
    ground = Band(lines=(f"{' '.join([key] * sheds)} *{lines}",))
    section = project.sections[0].model_copy(update={"strips": (strip.model_copy(update={"bands": (ground,)}),)})
    cloth = expand(project.model_copy(update={"sections": (section,)}))
    return packed(drawn(cloth, plan.settings, View(width_px=width_px, woven_picks=0)))


def packed(pixels: NDArray[np.uint8]) -> bytes:
    """Return a picture as WebP; one longer than WebP can be (16,383 px) is taken smaller."""
    image = Image.fromarray(pixels)
    if max(image.size) > 16_000:
        image.thumbnail((16_000, 16_000))
    out = io.BytesIO()
    image.save(out, format="WEBP", quality=88, method=0)
    return out.getvalue()


class Album:
    """Keeps pictures by what they show: in memory, and in a folder that may be thrown away."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder
        self._kept: dict[str, bytes] = {}
        self._lock = threading.Lock()
        self._turn = asyncio.Lock()
        self._closed = False

    def close(self) -> None:
        """Draw no more: the workbench ends."""
        self._closed = True

    async def picture(self, key: tuple[object, ...], draw: Callable[[], bytes], is_wanted: Wanted) -> bytes | None:
        """Return a picture, drawn if it is not kept; one is drawn at a time, and none that nobody waits for."""
        name = _name(key)
        found = await run_in_threadpool(self._known, name)
        if found is not None:
            return found
        async with self._turn:
            found = self._kept.get(name)
            if found is None and not self._closed and await is_wanted():
                found = await run_in_threadpool(self._drawn, name, draw)
        return found

    def kept(self, key: tuple[object, ...]) -> bytes | None:
        """Return a picture that is kept; none is drawn."""
        return self._known(_name(key))

    def _known(self, name: str) -> bytes | None:
        with self._lock:
            found = self._kept.get(name)
        found = found or self._from_folder(name)
        if found is not None:
            self._keep(name, found)
        return found

    def _drawn(self, name: str, draw: Callable[[], bytes]) -> bytes:
        found = draw()
        self._to_folder(name, found)
        self._keep(name, found)
        return found

    def _keep(self, name: str, data: bytes) -> None:
        with self._lock:
            self._kept[name] = data
            while sum(map(len, self._kept.values())) > MOST_KEPT:
                del self._kept[next(iter(self._kept))]

    def _from_folder(self, name: str) -> bytes | None:
        if self._folder is None:
            return None
        try:
            return (self._folder / f"{name}.webp").read_bytes()
        except OSError:
            return None

    def _to_folder(self, name: str, data: bytes) -> None:
        if self._folder is None:
            return
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            fresh = self._folder / f"{name}.{threading.get_ident()}"
            fresh.write_bytes(data)
            fresh.replace(self._folder / f"{name}.webp")
        except OSError:
            return


def _name(key: tuple[object, ...]) -> str:
    return hashlib.sha256(repr((__version__, key)).encode()).hexdigest()[:40]


SWATCH_PX = 84


def swatch(colour: str) -> bytes:
    """Return a square of cloth in one yarn."""
    piece = Project.model_validate(
        {
            "weftline": 1,
            "yarns": {"o": {"colour": colour}},
            "ground": "o",
            "sections": [{"strips": [{"ends": 13, "bands": [{"lines": ["o o o *16"]}]}]}],
        }
    )
    pixels = wool_picture(expand(piece), settings_of(piece), view=View(line_px=14.0)).pixels
    rows, columns = pixels.shape[:2]
    top, left = (rows - SWATCH_PX) // 2, (columns - SWATCH_PX) // 2
    return packed(pixels[top : top + SWATCH_PX, left : left + SWATCH_PX])
