"""Whether a cloth hangs together, and its layers from the face down, drawn with # for the weft over an end."""

import numpy as np
import pytest

from weftline.core.weave.hang import hangs_together, layers


def table(*rows: str) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """(picks, ends) bool of a drawing, the first pick at the foot."""
    return np.array([[sign == "#" for sign in row] for row in reversed(rows)])


@pytest.mark.parametrize(
    "rows,found",
    [
        pytest.param(("#.", ".#"), [((0, 1), (0, 1))], id="plain weave is one piece"),
        pytest.param(("..#", ".#.", "#.."), [((0, 1, 2), (0, 1, 2))], id="krokbragd is one piece"),
        pytest.param(("#",), [((0,), ()), ((), (0,))], id="one pick over one end is two loose threads"),
        pytest.param(("##", ".#"), [((1,), ()), ((), (0,)), ((0,), ()), ((), (1,))], id="four threads lie by turns"),
        pytest.param(("###", "###"), [((0, 1), ()), ((), (0, 1, 2))], id="picks over every end lie on the ends"),
        pytest.param(("...", "..."), [((), (0, 1, 2)), ((0, 1), ())], id="ends over every pick lie on the picks"),
        pytest.param(
            ("##.", "##.", "##."),
            [((), (2,)), ((0, 1, 2), ()), ((), (0, 1))],
            id="an end that no pick covers lies uppermost",
        ),
        pytest.param(
            ("####", "####", "#.##", ".###"),
            [((2, 3), ()), ((0, 1), (0, 1)), ((), (2, 3))],
            id="a cloth between two loose picks and two loose ends",
        ),
        pytest.param(
            ("####", "####", "#...", ".#.."),
            [((2, 3), ()), ((), (2, 3)), ((0, 1), (0, 1))],
            id="a cloth under loose ends that lie under loose picks",
        ),
        pytest.param(
            ("##.#", "###.", ".#..", "#..."),
            [((2, 3), (2, 3)), ((0, 1), (0, 1))],
            id="two cloths one over the other",
        ),
    ],
)
def test_layers_from_the_face_down(rows: tuple[str, ...], found: list[tuple[tuple[int, ...], tuple[int, ...]]]) -> None:
    seen = layers(table(*rows))
    assert [(layer.picks, layer.ends) for layer in seen] == found
    assert hangs_together(table(*rows)) is (len(found) == 1)
