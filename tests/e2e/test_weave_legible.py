"""What is read of the Weave page from two metres and from 0.6 m, measured on its picture at one pixel per arc minute.

An arc minute is 0.582 mm at 2 m and 0.175 mm at 0.6 m. Text is read from 16 arc minutes on, and easily
from 20 to 22 (ISO 9241-303); so what counts at 2 m is 9.3 mm high or more, 11.6 to 12.8 mm for
comfort, and words at 0.6 m are 2.8 mm or more.
"""

from __future__ import annotations

import io
import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser, Page

from tests.e2e.conftest import Running

Scheme = Literal["light", "dark"]
ARC_MINUTE: Final = math.pi / 180 / 60
LEAST, EASY = 16.0, 20.0
WORDS: Final = ("#then", "#way", "#line", "#to-go", "#band")
SIZES: Final = {(390, 844): 0.167, (820, 1180): 0.193}
"""Millimetres to a CSS pixel, of a phone and of a tablet."""
MIN_MM: Final = {  # UX: swatch, mark, sign and figure, words of the row "then"
    (390, 844): {"#swatch": 23.0, "mark": 12.0, "#sign": 17.0, "#figure": 17.0, "#then": 2.9},
    (820, 1180): {"#swatch": 48.0, "mark": 25.0, "#sign": 32.0, "#figure": 32.0, "#then": 3.6},
}
INK: Final = """(name) => {
  const one = document.querySelector(name), style = getComputedStyle(one);
  const text = document.createElement('canvas').getContext('2d');
  const larger = 20;  // letters are fitted to whole pixels, so small ones are measured large
  text.font = `${style.fontWeight} ${larger * parseFloat(style.fontSize)}px ${style.fontFamily}`;
  const { actualBoundingBoxAscent: up, actualBoundingBoxDescent: down } = text.measureText(name === '#figure' ? one.textContent : 'H');
  return (up + down) / larger;
}"""
"""Height of a figure, or of a capital, which is what ISO 9241 measures."""

DRAWN: Final = "() => performance.getEntriesByType('resource').some((one) => one.name.includes('/weave/yarns/') && one.responseEnd)"


@dataclass(frozen=True)
class Sight:
    """The page as a grey picture of one pixel per arc minute."""

    grey: NDArray[np.float64]
    rgb: NDArray[np.float64]
    scale: float
    """Picture pixels to a CSS pixel."""

    def box(self, page: Page, name: str) -> NDArray[np.float64]:
        """The colours inside an element."""
        found = page.locator(name).first.bounding_box()
        assert found is not None
        left, top = found["x"] * self.scale, found["y"] * self.scale
        right, foot = left + found["width"] * self.scale, top + found["height"] * self.scale
        return self.rgb[round(top) : round(foot), round(left) : round(right)]


def luminance(rgb: NDArray[np.float64]) -> NDArray[np.float64]:
    """Relative luminance (WCAG 2.2) of sRGB from 0 to 1."""
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    found: NDArray[np.float64] = linear @ np.array([0.2126, 0.7152, 0.0722])
    return found


def contrast(one: float, other: float) -> float:
    return (max(one, other) + 0.05) / (min(one, other) + 0.05)


def seen(page: Page, mm: float, distance_mm: float) -> Sight:
    """Look at the page from a distance."""
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    css = page.viewport_size
    assert css is not None
    scale = mm / (distance_mm * ARC_MINUTE)
    small = picture.resize((round(css["width"] * scale), round(css["height"] * scale)), Image.Resampling.BOX)
    rgb = np.asarray(small, dtype=np.float64) / 255
    return Sight(luminance(rgb), rgb, scale)


def piece(colour: str) -> bytes:
    """A small mat whose next pick is of one colour."""
    return json.dumps(
        {
            "weftline": 1, "name": "Legible", "yarns": {"a": {"name": "Rust", "colour": "#b4532a"}, "b": {"name": "Other", "colour": colour}},
            "ground": "b", "sections": [{"strips": [{"ends": 25, "bands": [{"lines": ["b b b *6", "b a b *4", "b b b *6"]}]}]}],
        }
    ).encode()  # fmt: skip


@pytest.fixture
def weave(running: Running, chromium: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """The Weave page of a piece, 16 picks woven, at a size, in a scheme, its next yarn light or dark."""
    size, scheme, colour = request.param
    context = chromium.new_context(
        viewport={"width": size[0], "height": size[1]}, device_scale_factor=2, color_scheme=scheme
    )
    page = context.new_page()
    page.goto(running.url)
    page.set_input_files(
        "input[type=file]", {"name": "legible.json", "mimeType": "application/json", "buffer": piece(colour)}
    )
    page.wait_for_url("**/design")
    where = page.url.split("/design")[0]
    form: dict[str, str | float | bool] = {"entry": "first", "base": "0", "throws": "16"}
    page.request.post(f"{where}/woven", form=form, headers={"origin": running.url})
    page.goto(f"{where}/weave")
    page.wait_for_selector(".fell.painted.woolly", timeout=60_000)
    page.wait_for_function(DRAWN, timeout=30_000)
    yield page
    context.close()


CASES: Final = [
    pytest.param((size, scheme, colour), id=f"{size[0]}-{scheme}-{name}")
    for size, scheme, name, colour in (
        ((390, 844), "light", "light yarn", "#efe6d2"),
        ((390, 844), "dark", "dark yarn", "#1d2633"),
        ((820, 1180), "light", "dark yarn", "#1d2633"),
        ((820, 1180), "dark", "light yarn", "#efe6d2"),
    )
]


@pytest.mark.parametrize("weave", CASES, indirect=True)
def test_shed_yarn_mark_and_way_are_read_at_two_metres_and_words_at_arms_length(
    weave: Page, capsys: pytest.CaptureFixture[str]
) -> None:
    viewport = weave.viewport_size
    assert viewport is not None
    size = (viewport["width"], viewport["height"])
    mm = SIZES[size]
    far = seen(weave, mm, 2000)
    figures = sizes_px(weave)
    told = [f"{size[0]} px, one pixel per arc minute at 2 m: {far.rgb.shape[1]} px wide"]
    for name, px in figures.items():
        minutes = px * far.scale
        told.append(f"{name}: {px * mm:.1f} mm, {minutes:.1f} arcmin at 2 m, {minutes * 2000 / 600:.0f} at 0.6 m")
    seen_contrasts = contrasts(weave, far, size[1])
    told += [f"{name}: contrast {value:.1f}" for name, value in seen_contrasts.items()]
    with capsys.disabled():
        print("\n" + "\n".join(told))
    least = MIN_MM[size]
    for name in ("#swatch", "mark", "#sign", "#figure"):
        assert figures[name] * mm >= least[name] - 0.05, told
        assert figures[name] * far.scale >= EASY, told
    assert figures["head"] >= 70, told
    assert figures["head"] * far.scale >= EASY, told
    tip, comes = weave.evaluate(
        "() => [Number(document.getElementById('fell').dataset.tip), document.getElementById('way').textContent]"
    )
    assert (tip < size[0] / 2) == ("from the right" in comes), told  # the head has come through to the other side
    near = seen(weave, mm, 600)
    for name in WORDS:
        assert figures[name] * mm >= least["#then"] - 0.05, told
        assert figures[name] * near.scale >= LEAST, told
    assert min(seen_contrasts.values()) >= 3, told


def sizes_px(page: Page) -> dict[str, float]:
    """CSS pixels: the smaller side of what is drawn, the ink of a mark across, and the height of letters."""

    def side(name: str) -> float:
        box = page.locator(name).first.bounding_box()
        assert box is not None
        return min(box["width"], box["height"])

    ink = page.evaluate(
        """() => { const b = document.querySelector('#swatch .mark > *').getBoundingClientRect(); return Math.max(b.width, b.height); }"""
    )
    head: float = page.evaluate("() => Number(document.getElementById('fell').dataset.head)")
    letters = {name: float(page.evaluate(INK, name)) for name in ("#figure", *WORDS)}
    return {"#swatch": side("#swatch"), "mark": float(ink), "#sign": side("#sign"), "head": head, **letters}


def contrasts(page: Page, far: Sight, height: int) -> dict[str, float]:
    """Contrast of each of the four things with what lies around it, as seen from two metres."""
    page_light = float(luminance(far.rgb[-round(6 * far.scale) - 1, 1][None])[0])
    swatch = luminance(far.box(page, "#swatch"))
    rows, columns = swatch.shape
    middle = swatch[rows // 5 : rows - rows // 5, columns // 5 : columns - columns // 5]
    yarn = float(np.median(np.concatenate([swatch[rows // 8 : rows // 6 + 1].ravel(), swatch[:, columns // 8]])))
    mark = max(contrast(float(middle.max()), yarn), contrast(float(middle.min()), yarn))
    sign = luminance(far.box(page, "#sign"))
    solid = max(contrast(float(sign.min()), page_light), contrast(float(sign.max()), page_light))
    figure = luminance(far.box(page, "#figure"))
    number = max(contrast(float(figure.min()), page_light), contrast(float(figure.max()), page_light))
    head = luminance(far.box(page, "#fell"))
    top = head[: round(len(head) * 0.58)]
    ring = contrast(float(top.max()), float(top.min()))
    return {"mark on yarn": mark, "pressed part": solid, "figure": number, "head and its rings": ring}
