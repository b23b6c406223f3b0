"""What comes again: motifs, also in other colours; borders; grounds and stripes."""

from weftline.core.piece.values import Band
from weftline.core.weaving.motifs import borders, look_of, recurrences

STAIR = ("o o s", "o s s", "m s s", "m m s", "m m o")


def dyed(lines: tuple[str, ...], old: str, new: str) -> tuple[str, ...]:
    return tuple(line.translate(str.maketrans(old, new)) for line in lines)


def test_a_band_comes_again_in_other_colours() -> None:
    bands = [Band(lines=STAIR, times=3), Band(lines=("o o o *4",)), Band(lines=dyed(STAIR, "om", "mo"), times=2)]
    (again,) = recurrences(bands)
    assert (again.band, again.earlier_band, again.whole, again.turned) == (2, 0, True, False)
    assert again.renamed == (("m", "o"), ("o", "m"))


def test_a_motif_comes_again_within_one_band() -> None:
    bands = [Band(lines=(*STAIR, "o o o *4", *dyed(STAIR, "s", "b"), "s b s"))]
    (again,) = recurrences(bands)
    assert (again.line, again.earlier_line, again.lines, again.renamed) == (9, 0, 5, (("s", "b"),))


def test_two_yarns_that_become_one_are_no_recolouring() -> None:
    assert recurrences([Band(lines=STAIR), Band(lines=dyed(STAIR, "s", "o"))]) == []


def test_borders_are_the_same_bands_from_both_ends() -> None:
    hem, edge = Band(lines=("o o o *4",)), Band(lines=STAIR)
    home = Band(lines=STAIR[::-1])
    bands = [hem, edge, Band(lines=("s b s", "b s b"), times=9), home, hem]
    again = recurrences(bands)
    assert [(each.band, each.turned, each.whole) for each in again] == [(3, True, True)]
    assert borders(bands, again) == 2
    assert borders(bands[1:], again) == 0


def test_grounds_and_stripes() -> None:
    assert look_of(Band(lines=("o o o *4", "o - o"))) == "ground"
    assert look_of(Band(lines=("o o o", "s s s *2"))) == "stripes"
    assert look_of(Band(lines=("o o o", "s s o"))) == "pattern"
