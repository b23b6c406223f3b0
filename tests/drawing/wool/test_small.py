"""Averaging and sharpening of small pictures."""

import numpy as np

from weftline.drawing.wool.small import averaged, encoded, sharpened


def test_light_is_averaged_not_code_values() -> None:
    checks = np.zeros((4, 4, 3), dtype=np.uint8)
    checks[::2, ::2] = checks[1::2, 1::2] = 255
    assert np.unique(encoded(averaged(checks, 2))).tolist() == [188]


def test_sharpening_keeps_every_pixel_within_its_neighbours() -> None:
    pixels = np.random.default_rng(2).integers(0, 256, (20, 30, 3)).astype(np.uint8)
    crisp = sharpened(pixels)
    padded = np.pad(pixels, ((1, 1), (1, 1), (0, 0)), mode="edge")
    near = np.stack([padded[y : y + 20, x : x + 30] for y in range(3) for x in range(3)])
    assert (crisp >= near.min(axis=0)).all()
    assert (crisp <= near.max(axis=0)).all()
    assert not np.array_equal(crisp, pixels)
