"""Laws: what holds for every yarn, and for every text that is none."""

import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from weftline.core.yarn import SYSTEMS, Size, YarnSizeError, m_per_kg, read_size, tex_from_m_per_kg

TEX = st.floats(min_value=0.01, max_value=1_000_000)
LABELS = st.sampled_from([
    "8/4 cotton", "Nm 6/2", "R 60 tex / 2", "34 tex S 600 x 2 Z 400; R 69.3 tex", "100 m (109 yd) / 50 g (1.75 oz)",
    "1 600 yd/lb", "40s + 20s cotton", "spun silk 30s/2", "jute 8 lb", "2,5 Nm", "8/4 cotton, 800 yd per 8 oz", "8/2",
])  # fmt: skip
WORDS = (
    "8 2 0 1,600 1.600 ½ / x - + = ( ) % s r S ply single tex Nm Ne lea den jute lb oz yd m g kg cotton wool silk spun"
    " f cut gala old french count west england nmm cc # ٣ 1e9 600 fold plies grain cut tj old"
)
PIECES = st.lists(st.sampled_from([*WORDS.split(), " ", " ", " "]), max_size=14).map("".join)


def answers(text: str, fibre: str | None = None) -> Size | None:
    """The size, or None for a refusal in one printable sentence."""
    try:
        size = read_size(text, fibre)
    except YarnSizeError as caught:
        error = caught
    else:
        return checked(size, text)
    assert str(error).isprintable()
    assert error.text == text
    return None


def checked(size: Size, text: str) -> Size:
    assert size.text == text
    assert (size.question is None) == (len(size.readings) == 1)
    assert len(set(size.readings)) == len(size.readings)
    for reading in size.readings:
        assert 0.01 <= reading.tex <= 1_000_000
        assert reading.system in SYSTEMS
        assert reading.ply is None or reading.ply >= 1
    return size


@given(TEX)
@example(1.625)
@example(999.123)
def test_a_size_written_in_tex_reads_back_exactly(tex: float) -> None:
    assert read_size(f"{tex!r} tex").tex == tex
    assert read_size(f"Tex {tex!r}").tex == tex
    assert read_size(f"R {tex!r} tex / 2").tex == tex


@given(LABELS, st.sampled_from(["wool", "cotton", None]))
def test_every_reading_written_in_tex_reads_back(label: str, fibre: str | None) -> None:
    for reading in read_size(label, fibre).readings:
        assert read_size(f"{reading.tex!r} tex", fibre).tex == reading.tex


@given(TEX, st.sampled_from(sorted(SYSTEMS)))
def test_a_number_leads_back_to_its_tex(tex: float, system: str) -> None:
    assert SYSTEMS[system].tex_from(SYSTEMS[system].number_from(tex)) == pytest.approx(tex, rel=1e-12)


@given(TEX)
def test_metres_a_kilogram_lead_back_to_tex(tex: float) -> None:
    assert tex_from_m_per_kg(m_per_kg(tex)) == pytest.approx(tex, rel=1e-12)


@given(st.integers(7, 60), st.integers(2, 6), st.sampled_from(["Nm", "Ne", "lea", "tex"]))
def test_plies_add(count: int, ply: int, system: str) -> None:
    one, whole = read_size(f"{system} {count}").tex, read_size(f"{system} {count} x {ply}").tex
    assert one is not None
    assert whole == pytest.approx(one * ply)


@given(st.integers(2, 60), st.integers(2, 60))
def test_the_metric_number_does_not_mind_the_order(one: int, other: int) -> None:
    first, second = read_size(f"Nm {one}/{other}"), read_size(f"Nm {other}/{one}")
    assert first.readings == second.readings


@given(st.text(max_size=120))
@example("\ud800 8/2")
@example("\x00")
@example("²³/²")
@example("8" * 80)
@example("1e" * 40)
@example("9e12" * 20)
def test_any_text_gets_a_size_or_a_sentence(text: str) -> None:
    answers(text)
    answers(text, text)


@given(PIECES, st.sampled_from([None, "wool", "silk", "jute", "cotton"]))
def test_scrambled_labels_get_a_size_or_a_sentence(text: str, fibre: str | None) -> None:
    answers(text, fibre)


@given(LABELS, st.integers(0, 60), st.sampled_from(["", "\x00", "/", "7", "é", ",", " ", "x", "-", "\n"]))
def test_damaged_labels_get_a_size_or_a_sentence(label: str, at: int, damage: str) -> None:
    answers(label[:at] + damage + label[at + 1 :])


@pytest.mark.parametrize(
    "text", ["8/2 " * 1_000_000, "9" * 3_000_000, "(" * 2_000_000, "1 000" * 16, "1," * 40, " " * 80]
)
def test_a_huge_or_nasty_text_is_answered_at_once(text: str) -> None:
    start = time.perf_counter()
    answers(text, text)
    assert time.perf_counter() - start < 1
