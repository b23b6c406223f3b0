"""Written lines: what is understood, and what each refusal says."""

import re

import pytest

from weftline.core.weave.line import LineTextError, WrittenLine, is_yarn_key, read_line, strands_of


@pytest.mark.parametrize(
    "text,line",
    [
        pytest.param("s o o", WrittenLine(("s", "o", "o")), id="one yarn a shed"),
        pytest.param("  s\to   o ", WrittenLine(("s", "o", "o")), id="any white space parts the words"),
        pytest.param("s o o *2", WrittenLine(("s", "o", "o"), times=2), id="a count"),
        pytest.param("s o o ×12", WrittenLine(("s", "o", "o"), times=12), id="a multiplication sign counts too"),
        pytest.param("s o o *1", WrittenLine(("s", "o", "o")), id="once is no count"),
        pytest.param("s o o *999999999", WrittenLine(("s", "o", "o"), times=999_999_999), id="the largest count"),
        pytest.param("s o o back", WrittenLine(("s", "o", "o"), back=True), id="thrown from the last shed"),
        pytest.param("s o o back *3", WrittenLine(("s", "o", "o"), True, 3), id="back, then a count"),
        pytest.param("s o o *3 back", WrittenLine(("s", "o", "o"), True, 3), id="a count, then back"),
        pytest.param("- o -", WrittenLine(("-", "o", "-")), id="sheds that are not thrown"),
        pytest.param("a+b o a+a", WrittenLine(("a+b", "o", "a+a")), id="yarns wound together"),
        pytest.param("blue2 grün", WrittenLine(("blue2", "grün")), id="words for yarns"),
        pytest.param("o", WrittenLine(("o",)), id="a single shed"),
    ],
)
def test_a_line_is_read(text: str, line: WrittenLine) -> None:
    assert read_line(text) == line


@pytest.mark.parametrize(
    "line,text",
    [
        pytest.param(WrittenLine(("s", "-", "a+b")), "s - a+b", id="the yarns alone"),
        pytest.param(WrittenLine(("s",), True, 4), "s back *4", id="back comes before the count"),
    ],
)
def test_a_line_is_written(line: WrittenLine, text: str) -> None:
    assert line.text() == text
    assert read_line(text) == line


@pytest.mark.parametrize(
    "text,says",
    [
        pytest.param("", "no pick is thrown; give at least one shed a yarn", id="an empty line"),
        pytest.param("   ", "no pick is thrown", id="a line of spaces"),
        pytest.param("- - -", "no pick is thrown", id="no shed thrown"),
        pytest.param("back", "no pick is thrown", id="back alone"),
        pytest.param("*2", "no pick is thrown", id="a count alone"),
        pytest.param("o o *0", "'*0' does not say how often: write *2 for twice", id="no times at all"),
        pytest.param("o o *", "'*' does not say how often", id="a star alone"),
        pytest.param("o o *-1", "'*-1' does not say how often", id="fewer than none"),
        pytest.param("o o *1.5", "'*1.5' does not say how often", id="one and a half times"),
        pytest.param("o o *x", "'*x' does not say how often", id="a count in letters"),
        pytest.param("o o *²", "'*²' does not say how often", id="a raised figure"),
        pytest.param("o o *٣", "'*٣' does not say how often", id="figures of another script"),
        pytest.param("o o *1000000000", "does not say how often", id="a count of ten figures"),
        pytest.param("o o *2 *2", "'*2' is neither a yarn nor '-' (not thrown)", id="two counts"),
        pytest.param("*2 o o", "'*2' is neither a yarn nor", id="a count in front"),
        pytest.param("o o*2 o", "'o*2' is neither a yarn nor", id="a count that sticks to a yarn"),
        pytest.param("o o back back", "'back' ", id="back twice"),
        pytest.param("o back o", "'back' ", id="back in the middle"),
        pytest.param("o o bak!", "'bak!' is not understood; did you mean 'back'?", id="a slip in back"),
        pytest.param("o a++b o", "'a++b' is neither a yarn nor", id="two pluses"),
        pytest.param("o +a o", "'+a' is neither a yarn nor", id="a plus in front"),
        pytest.param("o 2 o", "'2' is neither a yarn nor", id="a figure for a yarn"),
        pytest.param("o -+a o", "'-+a' is neither a yarn nor", id="nothing wound with something"),
        pytest.param("o,o,o", "'o,o,o' is neither a yarn nor", id="commas between the yarns"),
        pytest.param("o " * 201, "a line has at most 400 characters, this one has 402", id="a line too long"),
    ],
)
def test_a_line_is_refused(text: str, says: str) -> None:
    with pytest.raises(LineTextError, match=re.escape(says)):
        read_line(text)


def test_a_refusal_quotes_no_more_of_a_line_than_a_sentence_holds() -> None:
    for word in ("x" * 390 + "!", "*" + "9" * 390, "\u0001" * 390):
        with pytest.raises(LineTextError, match=r"is neither a yarn|does not say how often") as caught:
            read_line(f"o {word}")
        assert len(str(caught.value)) < 150


@pytest.mark.parametrize(
    "key,good",
    [
        pytest.param("o", True, id="a letter"),
        pytest.param("O", True, id="a capital"),
        pytest.param("ø2", True, id="a letter and a figure"),
        pytest.param("undyedwarp12", True, id="twelve characters"),
        pytest.param("undyedwarp123", False, id="thirteen characters"),
        pytest.param("", False, id="nothing"),
        pytest.param("2o", False, id="a figure first"),
        pytest.param("back", False, id="the word back"),
        pytest.param("Back", True, id="Back with a capital"),
        pytest.param("a-b", False, id="a hyphen inside"),
        pytest.param("a b", False, id="a space inside"),
        pytest.param("-", False, id="the sign of a shed not thrown"),
    ],
)
def test_a_yarn_may_be_called(key: str, good: bool) -> None:
    assert is_yarn_key(key) is good


@pytest.mark.parametrize(
    "token,strands",
    [
        pytest.param("o", (("o", 2),), id="alone it has its own strands"),
        pytest.param("o+s", (("o", 1), ("s", 1)), id="together each letter is one strand"),
        pytest.param("s+o", (("o", 1), ("s", 1)), id="in any order"),
        pytest.param("s+o+s", (("o", 1), ("s", 2)), id="a letter twice is two strands"),
        pytest.param("o+o", (("o", 2),), id="one yarn with itself"),
    ],
)
def test_a_winding_has_strands(token: str, strands: tuple[tuple[str, int], ...]) -> None:
    assert strands_of(token, {"o": 2, "s": 3}) == strands
