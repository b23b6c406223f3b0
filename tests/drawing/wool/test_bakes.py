"""Bakes as bytes, read and dyed by a small reader of our own, give the painter's picture to the pixel."""

from __future__ import annotations

import json
import struct
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.drawing.wool.woollen import cloth_of, random_lines, yarns
from weftline.core.piece.cloth import Cloth
from weftline.core.weave.picks import Weaving
from weftline.drawing.wool import EdgeWarp, Ground, Scale, Sight, StripPainter, sight, snapped
from weftline.drawing.wool.dye import table
from weftline.drawing.wool.panels import FINE, LIVE, Grain
from weftline.drawing.wool.stock import seen_shades, stock_weaving
from weftline.drawing.wool.tiles import Tiles
from weftline.drawing.yarn_colours import winding_lights
from weftline.formats.bakes import bakes_bytes

MARGINS = (50, 50)
HAIR_SHADE = 160
EDGES = {"plain": EdgeWarp(), "floating": EdgeWarp("floating", 1), "doubled": EdgeWarp("doubled", 2)}


def strip_cloth(bands: list[dict[str, Any]], ends: int = 21, technique: str = "krokbragd") -> Cloth:
    written = {
        "yarns": yarns(),
        "weave": {"technique": technique},
        "sections": [{"strips": [{"ends": ends, "bands": bands}]}],
    }
    return cloth_of(written)[0]


def irregular() -> Cloth:
    """A hem in sheds and a beat of its own, then lines of which some leave out a pick or are thrown backwards."""
    hem = {"sheds": [[2], [1, 3]], "lines": ["a b *4"], "lines_per_cm": 4.5}
    return strip_cloth(
        [hem, {"lines": random_lines(np.random.default_rng(2), 12, 3)}, {"lines": ["a - b", "c c - *3"]}]
    )


def regular(ends: int = 21, lines: int = 30) -> Cloth:
    return strip_cloth([{"lines": random_lines(np.random.default_rng(4), lines, 3, regular=True)}], ends)


def seen_from(weaving: Weaving, line_px: float, edge: EdgeWarp, *, back: bool) -> Sight:
    scale = Scale(snapped(1.3 * line_px, 4), line_px, 8 / 3)
    return sight(weaving, scale, mirrored=back, back=back, edge=edge, woven=len(weaving.picks))


def read(data: bytes) -> tuple[dict[str, Any], dict[int, list[dict[str, Any]]]]:
    """The header, and by band the bake in every panel."""
    assert data[:8] == b"WLBAKE1\0"
    (length,) = struct.unpack_from("<I", data, 8)
    assert length % 4 == 0
    header = json.loads(data[12 : 12 + length])
    block = data[12 + length :]
    bakes = []
    for one in header["bakes"]:
        shape = one["rows"], header["panels"][one["panel"]]["width"]
        size = shape[0] * shape[1]
        which = np.frombuffer(block, np.int8, size, one["which"]).reshape(shape)
        shade = np.frombuffer(block, np.uint8, size, one["shade"]).reshape(shape)
        hairs = list(struct.iter_unpack("<HHhBB", block[one["hairs"]["at"] :][: 8 * one["hairs"]["count"]]))
        bakes.append({"panel": one["panel"], "which": which, "shade": shade, "hairs": hairs})
    bands = {band: [bakes[place] for place in places] for band, *places in header["bands"]}
    assert all([bake["panel"] for bake in own] == list(range(len(own))) for own in bands.values())
    return header, bands


def painted(data: bytes, cloth: Cloth, ground: Ground, feet: NDArray[np.int64]) -> NDArray[np.uint8]:
    """The picture that the bakes of all bands give: looked up pixel by pixel."""
    header, bands = read(data)
    weaving = cloth.sections[0].strips[0].weaving
    seen = np.array(header["colour"]["seen"], dtype=float)
    tables = np.stack([table(light, seen) for light in winding_lights(cloth.project, weaving.windings)])
    wound, left = weaving.picks.wound, header["margins"][0]
    wide = header["width"] + sum(header["margins"])
    pixels = ground.rows((-header["overhang"], int(feet[-1]) + header["overhang"]), (-left, wide - left))
    bottom = len(pixels)
    for band in range(header["picks"] + 2):
        tall = len(bands[band][0]["which"])
        for bake, panel in zip(bands[band], header["panels"], strict=True):
            for source, width, x, times in panel["places"]:
                for copy in range(times):
                    start = x + left + copy * width
                    box = pixels[bottom - tall : bottom, start : start + width]
                    _lay(
                        box,
                        bake,
                        (source, width),
                        tables,
                        wound[np.clip(np.arange(-130, 130) + band - 1, 0, len(wound) - 1)],
                    )
        bottom -= tall
    assert bottom == 0
    return pixels


def _lay(
    box: NDArray[np.uint8],
    bake: dict[str, Any],
    part: tuple[int, int],
    tables: NDArray[np.uint8],
    wound_at: NDArray[np.int32],
) -> None:
    columns = slice(part[0], part[0] + part[1])
    which, shade = bake["which"][:, columns].astype(int), bake["shade"][:, columns]
    dyed = tables[wound_at[which + 130], shade]
    box[which != -128] = dyed[which != -128]
    for row, column, pick, opacity, nothing in bake["hairs"]:
        assert nothing == 0
        if columns.start <= column < columns.stop:
            under = box[row, column - part[0]].astype(np.float32)
            hair = tables[wound_at[pick + 130], HAIR_SHADE].astype(np.float32)
            box[row, column - part[0]] = np.rint(under + np.float32(opacity / 255) * (hair - under))


@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("cloth", [regular(), irregular()], ids=["regular", "irregular"])
def test_dyed_bakes_are_the_painters_picture(cloth: Cloth, edge: str, back: bool) -> None:
    seen = seen_from(cloth.sections[0].strips[0].weaving, 24, EDGES[edge], back=back)
    _same_as_painter(cloth, seen, LIVE)


@pytest.mark.parametrize("line_px", [7.0, 40.0, 61.5])
def test_at_other_sizes_too(line_px: float) -> None:
    cloth = irregular()
    seen = seen_from(cloth.sections[0].strips[0].weaving, line_px, EDGES["plain"], back=False)
    _same_as_painter(cloth, seen, FINE)
    header, bands = read(bakes_bytes(Tiles(seen, MARGINS, 1, LIVE), [20]))
    assert bool(bands[20][0]["hairs"]) == (line_px >= 32)
    assert header["line_px"] == line_px


def test_a_wide_strip_comes_as_a_tile() -> None:
    cloth = regular(81, 12)
    seen = seen_from(cloth.sections[0].strips[0].weaving, 24, EDGES["floating"], back=False)
    header = _same_as_painter(cloth, seen, LIVE)
    assert sum(panel["width"] for panel in header["panels"]) < seen.width_px / 2


def _same_as_painter(cloth: Cloth, seen: Sight, grain: Grain) -> dict[str, Any]:
    tiles = Tiles(seen, MARGINS, 1, grain)
    lights = winding_lights(cloth.project, cloth.windings)
    ground = Ground(seen.width_px, seen.height_px, 6.0)
    painter = StripPainter(seen, lights, ground, MARGINS, 1, grain)
    expected = np.zeros(painter.shape, dtype=np.uint8)
    painter.paint(expected)
    data = bakes_bytes(tiles, range(tiles.bands))
    found = painted(data, cloth, ground, seen.feet)
    assert found.shape == expected.shape
    assert np.array_equal(found, expected)
    header: dict[str, Any] = read(data)[0]
    return header


@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
def test_some_bands_alone_are_as_all_together(back: bool) -> None:
    seen = seen_from(irregular().sections[0].strips[0].weaving, 24, EDGES["floating"], back=back)
    whole = read(bakes_bytes(every := Tiles(seen, MARGINS, 1, LIVE), range(every.bands)))[1]
    few = Tiles(seen, MARGINS, 1, LIVE)
    for bands in ([30, 31], [3], [29, 40], [0]):
        for band, own in read(bakes_bytes(few, bands))[1].items():
            for bake, other in zip(own, whole[band], strict=True):
                assert np.array_equal(bake["which"], other["which"])
                assert np.array_equal(bake["shade"], other["shade"])
                assert bake["hairs"] == other["hairs"]
    assert 0 < len(few.tiles[0].bakes) < len(every.tiles[0].bakes)
    before = bakes_bytes(few, [30, 31])
    few.forget()
    assert few.kept == 0
    assert bakes_bytes(few, [30, 31]) == before


@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
def test_what_lies_between_floating_ends_is_taken_over_when_their_picks_change(back: bool) -> None:
    edge = EDGES["floating"]
    weaving = irregular().sections[0].strips[0].weaving
    wound = weaving.picks.wound.copy()
    wound[7:] = wound[7:][::-1]
    other = Weaving(weaving.ends, replace(weaving.picks, wound=wound), weaving.windings)
    before, after, alone = (
        Tiles(seen_from(one, 24, edge, back=back), MARGINS, 1, LIVE) for one in (weaving, other, other)
    )
    assert not np.array_equal(before.sight.over_at, after.sight.over_at)
    before.bake(range(before.bands))
    after.take_over(before)
    assert [bool(tile.bakes) for tile in after.tiles] == [not tile.panel.edges for tile in after.tiles]
    every = range(after.bands)
    assert bakes_bytes(after, every) == bakes_bytes(alone, every)


def test_bands_of_one_key_share_one_bake() -> None:
    seen = seen_from(regular().sections[0].strips[0].weaving, 24, EDGES["plain"], back=False)
    tiles = Tiles(seen, MARGINS, 1, LIVE)
    header, _ = read(bakes_bytes(tiles, range(tiles.bands)))
    keys = tiles.tiles[0].keys
    assert len(header["bakes"]) == len(set(keys)) < len(keys)
    place = {key: places[1] for key, places in zip(keys, header["bands"], strict=True)}
    assert [place[key] for key in keys] == [places[1] for places in header["bands"]]


def test_where_a_kind_of_column_shows_is_told_by_type() -> None:
    for back in (False, True):
        seen = seen_from(irregular().sections[0].strips[0].weaving, 24, EDGES["plain"], back=back)
        tiles = Tiles(seen, MARGINS, 1, LIVE)
        header, bands = read(bakes_bytes(tiles, [26]))
        assert set(header["types"]) == set(seen.shed.tolist())
        if not back:
            shafts = [[bool(mask >> shaft & 1) for mask in header["types"]] for shaft in range(3)]
            assert header["shows"] == shafts
        assert all(len(row) == len(header["types"]) for row in header["shows"])
        assert len(bands) == 1


def test_a_pick_too_far_to_be_told_is_bare() -> None:
    cloth = strip_cloth([{"lines": ["o s o".replace("o", "a").replace("s", "b"), "a a - *90", "b a b"]}], 13)
    seen = seen_from(cloth.sections[0].strips[0].weaving, 12, EDGES["plain"], back=False)
    tiles = Tiles(seen, MARGINS, 1, LIVE)
    middle = tiles.bands // 2
    _, bands = read(bakes_bytes(tiles, [2, middle]))
    assert np.abs(tiles.tiles[0].of(2).which[tiles.tiles[0].of(2).which > -1000]).max() <= 127
    assert bands[middle][0]["which"].min() >= -128
    far = np.abs(tiles.tiles[0].of(middle).which.astype(int)) > 127
    assert (bands[middle][0]["which"][far] == -128).all()


@pytest.mark.parametrize("back", [False, True], ids=["face", "back"])
def test_what_is_seen_depends_on_scale_and_side_alone(back: bool) -> None:
    counts = []
    for cloth in (regular(), irregular(), strip_cloth([{"lines": ["a b c d *9"]}], 25, "boundweave")):
        seen = seen_from(cloth.sections[0].strips[0].weaving, 24, EDGES["plain"], back=back)
        counts.append(read(bakes_bytes(Tiles(seen, MARGINS, 1, LIVE), [5]))[0]["colour"]["seen"])
    assert counts[0] == counts[1] == counts[2] == seen_shades(24, LIVE.finest_line, back=back).tolist()
    assert counts[0] != seen_shades(24, LIVE.finest_line, back=not back).tolist()


def test_stock_cloth_is_whole_lines() -> None:
    ends = np.array([1, 2, 3, 2, 1], dtype=np.uint8)
    weaving = stock_weaving(ends, ((1,), (2,), (3,)), 24, 2.5)
    assert weaving.picks.shed.tolist() == [1, 2, 4] * 24
    assert weaving.picks.line_count == 24
    assert weaving.picks.height_mm == pytest.approx(60)
    seen = seen_from(weaving, 24, EDGES["plain"], back=False)
    header, _ = read(bakes_bytes(Tiles(seen, MARGINS, 1, LIVE), [4], stock=True))
    assert header["sheds"] == [1, 2, 4] * 24
    assert header["lines"] == [line for line in range(24) for _ in range(3)]
