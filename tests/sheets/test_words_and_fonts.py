"""Names and numbers as they are printed, and the fonts that print them."""

from importlib.machinery import ModuleSpec
from pathlib import Path

import pytest

from weftline.core.findings import Basis, Quantity
from weftline.sheets import fonts, typeset
from weftline.sheets.figures import Figure, Units, hours, plain_data
from weftline.sheets.fonts import font_folders, known_letters, letters_of, line_count, width_mm
from weftline.sheets.refusal import PatternError
from weftline.sheets.wording import count, lines_words, listed, printable, span, times, visible


@pytest.mark.parametrize(
    "name,shown",
    [
        pytest.param("Høstløv på åsen", "Høstløv på åsen", id="Norwegian"),
        pytest.param("Yön käpälä", "Yön käpälä", id="Finnish"),
        pytest.param("Θάλασσα", "Θάλασσα", id="Greek"),
        pytest.param("Жуки", "Жуки", id="Cyrillic"),
        pytest.param(
            "#strong[x] *b* $1$ @r <t> \\ `c` _u_", "#strong[x] *b* $1$ @r <t> \\ `c` _u_", id="markup is text"
        ),
        pytest.param("a\u202eb\u2066c\u200fd", "a[U+202E]b[U+2066]c[U+200F]d", id="controls of direction are seen"),
        pytest.param(
            "a\x07b\u200bc\u00add\ufeff", "a[U+0007]b[U+200B]c[U+00AD]d[U+FEFF]", id="hidden letters are seen"
        ),
        pytest.param("wool 😀", "wool [U+1F600]", id="a letter that no font has is named"),
        pytest.param("  two\n\tlines ", "two lines", id="white space is one space"),
        pytest.param("e\u0301", "é", id="composed"),
    ],
)
def test_a_name_is_shown_as_it_is_or_named(name: str, shown: str) -> None:
    assert visible(name) == shown


def test_a_long_word_may_be_broken_and_a_short_one_not() -> None:
    assert printable("W" * 18) == "W" * 18
    assert printable("W" * 19).replace("\u200b", "") == "W" * 19
    assert max(map(len, printable("W" * 200).split("\u200b"))) <= 6


def test_numbers_in_words() -> None:
    assert [times(number) for number in (1, 2, 3, 12, 13, 1200)] == [
        "once", "twice", "three times", "twelve times", "13 times", "1,200 times",
    ]  # fmt: skip
    assert (span(4, 4), span(4, 9), lines_words(4, 4), lines_words(4, 9)) == ("4", "4–9", "line 4", "lines 4–9")
    assert (count(1, "end"), count(1200, "end"), listed(["1"]), listed(["1", "2", "3"])) == (
        "1 end", "1,200 ends", "1", "1, 2 and 3",
    )  # fmt: skip


METRIC, IMPERIAL = Units(False), Units(True)


@pytest.mark.parametrize(
    "said,expected",
    [
        (METRIC.short(Quantity(254.0, Basis.COMPUTED)), "25.4 cm"),
        (METRIC.short(Quantity(254.0, Basis.DEFAULT)), "25.4 cm"),
        (METRIC.short(Quantity(601.0, Basis.DEFAULT)), "60 cm"),
        (METRIC.short(Quantity(30.0, Basis.LABEL)), "3 cm"),
        (IMPERIAL.short(Quantity(254.0, Basis.COMPUTED)), "10 in"),
        (IMPERIAL.short(Quantity(150.0, Basis.LABEL)), "5 7/8 in"),
        (IMPERIAL.short(Quantity(12.5, Basis.COMPUTED)), "1/2 in"),
        (IMPERIAL.short(Quantity(650.0, Basis.LABEL)), "25.6 in"),
        (IMPERIAL.short(Quantity(0.5, Basis.COMPUTED)), "0.02 in"),
        (IMPERIAL.short(Quantity(20.1, Basis.COMPUTED), 2), "0.79 in"),
        (METRIC.grist(Quantity(550.0, Basis.COMPUTED)), "550 tex"),
        (IMPERIAL.grist(Quantity(550.0, Basis.COMPUTED)), "550 tex (900 yd/lb)"),
        (METRIC.yarn(Quantity(1_234_000.0, Basis.COMPUTED)), "1,234 m"),
        (IMPERIAL.yarn(Quantity(914_400.0, Basis.COMPUTED)), "1,000 yd"),
        (METRIC.mass(Quantity(283.5, Basis.COMPUTED)), "284 g"),
        (IMPERIAL.mass(Quantity(283.49523125, Basis.COMPUTED)), "10.0 oz"),
        (METRIC.mass(None), "weight not known"),
        (METRIC.per_length(Quantity(0.24, Basis.LABEL), "ends"), "2.4 ends per cm"),
        (IMPERIAL.per_length(Quantity(0.24, Basis.LABEL), "ends"), "6.1 ends per inch"),
        (METRIC.dents(24), "24 dents per 10 cm"),
        (IMPERIAL.dents(40), "10.2 dents per inch"),
        (METRIC.area_mass(Quantity(1546.0, Basis.DEFAULT)), "1,550 g per square metre"),
        (METRIC.area_mass(Quantity(1546.0, Basis.COMPUTED)), "1,546 g per square metre"),
        (IMPERIAL.area_mass(Quantity(1000.0, Basis.COMPUTED)), "29.5 oz per square yard"),
        (METRIC.size(Quantity(220.0, Basis.COMPUTED), Quantity(413.0, Basis.DEFAULT)), "22.0 cm wide × 41.3 cm long"),
        (hours(Quantity(3.23, Basis.DEFAULT)), "3 hours"),
        (hours(Quantity(0.31, Basis.DEFAULT)), "20 minutes"),
    ],
)
def test_quantities_as_they_are_said(said: Figure | str, expected: str) -> None:
    assert (said.text if isinstance(said, Figure) else said) == expected


def test_parts_add_up_to_what_is_printed_below_them() -> None:
    parts = [Quantity(104.0, Basis.COMPUTED), Quantity(104.0, Basis.COMPUTED), Quantity(104.0, Basis.DEFAULT)]
    strips = [Quantity(157.7, Basis.COMPUTED)] * 2
    assert METRIC.short_sum(strips, Quantity(355.4, Basis.COMPUTED), 1).text == "35.6 cm"
    figures, whole = METRIC.parts(parts, Quantity(312.0, Basis.DEFAULT))
    assert ([figure.text for figure in figures], whole.text) == (["10.4 cm", "10.4 cm", "10.4 cm"], "31.2 cm")


def test_a_figure_becomes_plain_data_with_its_basis_in_words() -> None:
    assert plain_data({"a": [Figure("3 cm", Basis.DEFAULT)], "b": (1, None)}) == {
        "a": [{"text": "3 cm", "basis": "default", "word": "common practice"}],
        "b": [1, None],
    }


def test_the_letters_of_both_families_are_known() -> None:
    first = letters_of(next(font_folders()[0].glob("*-Regular.ttf")).read_bytes())
    assert {ord(letter) for letter in "AzÅøß–“•0"} <= first
    assert not {ord(letter) for letter in "ΓЖ→"} & first
    assert {ord(letter) for letter in "ΓЖ"} <= known_letters()
    assert letters_of(b"\x00\x01\x00\x00\x00\x00" + bytes(20)) == frozenset()


def test_widths_and_lines_are_measured() -> None:
    assert width_mm("mm", 10) > width_mm("ii", 10) > 0
    assert width_mm("11", 10) == width_mm("00", 10)
    assert width_mm("bold", 10, bold=True) > width_mm("bold", 10)
    assert line_count("short", 10, 100) == 1
    assert line_count("a word and another word", 10, width_mm("a word and", 10) * 1.1) >= 2
    assert line_count("W" * 200, 10, 50) >= 200 * width_mm("W", 10) / 50


def test_a_missing_font_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fonts, "PACKAGES", ("fontpkg_atkinson_hyperlegible", "fontpkg_not_here"))
    with pytest.raises(PatternError, match=r"^the font Noto Sans is not here; install the package fontpkg-not-here, "):
        font_folders()


def test_a_font_that_cannot_be_read_is_one_sentence(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    package = tmp_path / "fontpkg_empty" / "files"
    package.mkdir(parents=True)
    spec = ModuleSpec("fontpkg_empty", None, origin=str(package.parent / "__init__.py"))
    monkeypatch.setattr(fonts, "find_spec", lambda name: spec)
    typeset._fonts.cache_clear()
    with pytest.raises(PatternError, match=r"^the font Atkinson Hyperlegible cannot be read; install its package anew"):
        typeset._fonts()
    typeset._fonts.cache_clear()
