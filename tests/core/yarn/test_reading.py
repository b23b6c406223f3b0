"""Labels as sold, the readings they have, and the sentences that refuse the rest."""

import pickle

import pytest

from weftline.core.yarn import SYSTEMS, Reading, Size, YarnSizeError, m_per_kg, read_size, tex_from_m_per_kg
from weftline.errors import WeftlineError

CLEAR = [
    ("8/4 cotton", "Ne", 8, 4, 295.271), ("NeL 8/5", "lea", 8, 5, 1033.45), ("NeL8/5", "lea", 8, 5, 1033.45),
    ("wool Nm 6/2", "Nm", 6, 2, 333.333), ("cotton 8/2", "Ne", 8, 2, 147.635), ("2/8 worsted", "Nw", 8, 2, 221.453),
    ("8/3 linen", "lea", 8, 3, 620.068), ("12/6 bomull", "Ne", 12, 6, 295.271), ("NeC 8/2", "Ne", 8, 2, 147.635),
    ("12/15 cotton", "Ne", 12, 15, 738.177), ("12/12 cotton", "Ne", 12, 12, 590.541), ("1/20 cotton", "Ne", 20, 1, 29.527),
    ("6/2Nm", "Nm", 6, 2, 333.333), ("2 x Nm 28", "Nm", 28, 2, 71.4286), ("Nm 28/2/3", "Nm", 28, 6, 214.286),
    ("3/2/60 Nm", "Nm", 60, 6, 100), ("Nm 1/1", "Nm", 1, 1, 1000), ("2/9.5 Nw", "Nw", 9.5, 2, 186.487),
    ("R 60 tex / 2", "tex", 60, 2, 60), ("R60tex/2", "tex", 60, 2, 60), ("34 tex x 2", "tex", 34, 2, 68),
    ("34tex×2", "tex", 34, 2, 68), ("34 tex x 2 x 3", "tex", 34, 6, 204), ("2 x 34 tex", "tex", 34, 2, 68),
    ("R 34 tex", "tex", 34, None, 34), ("R Nm 14/2", "Nm", 14, 2, 71.4286), ("Tex 500", "tex", 500, None, 500),
    ("20 tex singles", "tex", 20, 1, 20), ("30x12 tex", "tex", 30, 12, 360), ("12.5x3 tex", "tex", 12.5, 3, 37.5),
    ("167f48x2 dtex", "dtex", 167, 2, 33.4), ("20/22 den", "den", 21, None, 2.33333), ("ktex 2", "ktex", 2, None, 2000),
    ("jute 8/3", "jute", 8, 3, 826.758), ("linen 16/2 1 lb", "lea", 16, 2, 206.689), ("6-ply Ne 12", "Ne", 12, 6, 295.271),
    ("Ne 12, 6 plies", "Ne", 12, 6, 295.271), ("2/8 cotton 2 ply", "Ne", 8, 2, 147.635),
    ("Ne 40/2 silk", "Ne", 40, 2, 14.7635), ("French count 20", "Nf", 20, None, 25), ("glass cut 10", "asb_am", 10, None, 496.055),
    ("16 West of England", "woe", 16, None, 96.8857), ("50 grain", "grain120", 50, None, 29.5271), ("2 1/2 run", "run", 2.5, None, 124.014),
    ("linen count 40", "lea", 40, None, 41.3379), ("Ne 40 (Nm 67)", "Ne", 40, None, 14.7635), ("40's cotton", "Ne", 40, None, 14.7635),
    ("8/2 70% cotton", "Ne", 8, 2, 147.635), ("٨/٤ cotton", "Ne", 8, 4, 295.271), ("８／４ cotton", "Ne", 8, 4, 295.271),
    ("20s acrylic", "Ne", 20, None, 29.5271), ("2,5 Nm", "Nm", 2.5, None, 400), ("Nm 2½", "Nm", 2.5, None, 400),
    ("Nm .5", "Nm", 0.5, None, 2000), ("1e3 tex", "tex", 1000, None, 1000), ("12/6 cotton R 390 tex", "tex", 390, 6, 390),
    ("12/6 cotton, 300 tex", "Ne", 12, 6, 295.271), ("8/2 cotton leaf green", "Ne", 8, 2, 147.635),
    ("800 yd/lb wool", "ypp", 800, None, 620.068), ("100 m / 50 g", "Nm", 2, None, 500), ("50 g = 125 m", "Nm", 2.5, None, 400),
    ("50g/125m", "Nm", 2.5, None, 400), ("1 600 yd/lb", "ypp", 1600, None, 310.034), ("1,600 yd/lb", "ypp", 1600, None, 310.034),
    ("1\N{NARROW NO-BREAK SPACE}600 yd/lb", "ypp", 1600, None, 310.034), ("1'600 m/kg", "Nm", 1.6, None, 625),
    ("1.600 m/kg", "Nm", 1.6, None, 625), ("1.600 tex", "tex", 1.6, None, 1.6), ("1 234 567 m/kg", "Nm", 1234.567, None, 0.810000),
    ("4.000,5 m/kg", "Nm", 4.0005, None, 249.969), ("1,600,000 m/kg", "Nm", 1600, None, 0.625), ("m/kg: 2800", "Nm", 2.8, None, 357.143),
    ("2800 m pr kg", "Nm", 2.8, None, 357.143), ("1400 yd/oz", "dew", 1400, None, 22.1453), ("2.5 g/m", "tex", 2500, None, 2500),
    ("1 km = 30 g", "tex", 30, None, 30), ("8/4 cotton 1600 yd/lb", "ypp", 1600, 4, 310.034), ("1/4 lb = 400 yd", "ypp", 1600, None, 310.034),
    ("½ lb = 840 yd", "ypp", 1680, None, 295.271), ("100 m (109 yd) / 50 g (1.75 oz)", "Nm", 2, None, 500),
    ("109 yds / 100 m / 50 g", "ypp", 988.831, None, 501.657), ("8/2 500 m/kg", "Nm", 0.5, 2, 2000),
    ("Ne 8 200 m/kg", "Nm", 0.2, None, 5000), ("5 lb/spyndle", "jute", 5, None, 172.241), ("yd/# 800", "ypp", 800, None, 620.068),
    ("2-ply bulky rug wool 260 yd/lb", "ypp", 260, 2, 1907.9), ("singles 800 yd/lb", "ypp", 800, 1, 620.068),
    ("1,600 m/kg = 625 tex", "Nm", 1.6, None, 625), ("NeK 2/8", "Nw", 8, 2, 221.453), ("50 g -125 m", "Nm", 2.5, None, 400), ("1,600 tex = 1600 tex", "tex", 1600, None, 1600),
    ("ply Ne 8", "Ne", 8, None, 73.8177), ("840 yd per 3/2 lb", "ypp", 560, None, 885.812), ("400 yd per 1/3 lb", "ypp", 1200, None, 413.379), ("800 yd per 4/2 lb", "ypp", 400, None, 1240.14), ("8 / 2 cotton", "Ne", 8, 2, 147.635),
]  # fmt: skip


@pytest.mark.parametrize("label, system, count, ply, tex", CLEAR)
def test_a_clear_label_has_one_reading(label: str, system: str, count: float, ply: int | None, tex: float) -> None:
    size = read_size(label)
    assert size.question is None
    assert (size.text, size.readings) == (label, (size.likeliest,))
    assert (size.likeliest.system, size.likeliest.ply) == (system, ply)
    assert size.likeliest.count == pytest.approx(count, rel=1e-5)
    assert size.tex == pytest.approx(tex, rel=1e-5)


OPEN = [
    ("8/2", None, "Ne Nm lea Nw", "fibre and country"),
    ("12/6", "banana", "Ne Nm lea Nw", "fibre and country"),
    ("2/8", None, "Nw Nm Ne Ne lea lea", "fibre and country and which number is the ply"),
    ("12/12", None, "Ne Nm lea Nw", "fibre and country"),
    ("60/2", None, "Ne Ne Nm lea Nw", "fibre and country"),
    ("40s", None, "Ne lea Nw", "unit or count"),
    ("8/2", "wool", "Nm Nw", "country"),
    ("2/8", "Merino wool", "Nm Nw", "Scandinavia"),
    ("6/2", "ull", "Nm Nw", "Britain"),
    ("Nm Ne 8/2", None, "Nm Ne", "fibre and country"),
    ("Ne 8/2 Nm", None, "Ne Nm", "fibre and country"),
    ("8/2 cotton", "wool", "Ne Nm Nw", "fibre and country"),
    ("20/2", "silk", "Nm Ne", "the maker's custom"),
    ("20/2 spun silk", None, "Ne Nm", "the maker's custom"),
    ("cotton/silk 30/2", None, "Ne Ne Nm", "fibre and country"),
    ("22/2 cottolin", None, "lea Ne", "the maker's custom"),
    ("2/8 cotton", None, "Ne Ne", "which number is the ply"),
    ("4/8cc", None, "Ne Ne", "which number is the ply"),
    ("8/2 worsted", None, "Nw Nw", "which number is the ply"),
    ("4/3 worsted", None, "Nw Nw", "which number is the ply"),
    ("Nm 2/2", None, "Nm Nm", "each ply or of the finished yarn"),
    ("R 60 tex x 2", None, "tex tex", "each ply or of the finished yarn"),
    ("60 tex/2", None, "tex tex", "each ply or of the finished yarn"),
    ("20/40 den", None, "den den", "each ply or of the finished yarn"),
    ("30 tex, 12 ply", None, "tex tex", "each ply or of the finished yarn"),
    ("1,600 tex", None, "tex tex", "how its figures are meant"),
    ("100 m = 50 g = 110 m", None, "Nm Nm", "how its figures are meant"),
    ("8/2 cotton 500 m/kg", None, "Nm Ne", "which of its figures is right"),
    ("500", None, "tex den jute Nm ypp", "unit or count"),
    ("8", "cotton", "Ne Nm tex", "unit or count"),
    ("20s + 10s", None, "Ne lea Nw", "fibre and country"),
]


@pytest.mark.parametrize("label, fibre, systems, difference", OPEN)
def test_an_open_label_gives_all_readings_and_asks(
    label: str, fibre: str | None, systems: str, difference: str
) -> None:
    size = read_size(label, fibre)
    assert [reading.system for reading in size.readings] == systems.split()
    assert size.tex is None
    assert size.question is not None
    assert difference in size.question
    assert size.question.endswith("?")
    assert all(reading.words in size.question for reading in size.readings)


@pytest.mark.parametrize("label, fibre, system", [
    ("8/2", "cotton", "Ne"), ("8/2", "Linen", "lea"), ("2/8", "worsted", "Nw"), ("8/3", "jute", "jute"),
    ("Nm 8/2", "cotton", "Nm"), ("8/2", "lin", "lea"),
])  # fmt: skip
def test_the_fibre_settles_a_bare_fold(label: str, fibre: str, system: str) -> None:
    assert [reading.system for reading in read_size(label, fibre).readings] == [system]


@pytest.mark.parametrize("label, words", [
    ("12/6 cotton", "cotton count 12, 6 plies"), ("20/1 cotton", "cotton count 20, singles"),
    ("spun silk 40s/2", "spun silk count 40 finished, 2 plies"), ("125 m / 50 g", "125 m per 50 g"),
    ("2.5 g/m", "2.5 g per m"), ("40s + 20s cotton", "cotton count 40 with cotton count 20, folded to cotton count 13.3333"),
    ("8/4 cotton 1600 yd/lb", "1600 yd per lb, 4 plies"), ("800 yd/lb singles", "800 yd per lb, singles"),
])  # fmt: skip
def test_a_reading_says_itself_in_words(label: str, words: str) -> None:
    assert read_size(label).likeliest.words == words


def test_unlike_plies_have_no_count() -> None:
    reading = read_size("2/20s + 10s cotton").likeliest
    assert (reading.count, reading.ply) == (None, 3)
    assert reading.tex == pytest.approx(2 * 590.541 / 20 + 590.541 / 10, rel=1e-5)


def test_a_plan_may_not_rest_on_an_open_size() -> None:
    size = read_size("8/2", "wool")
    assert size.tex is None
    assert size.likeliest.tex == 250


REFUSED = [
    ("", "The size is empty"), ("  ", "The size is empty"), ("cotton", "no number that tells a size"),
    ("4 ply", "no number that tells a size"), ("Nmm 6/2", 'did you mean "Nm 6/2"'),
    ("30 tx", 'did you mean "30 tex"'), ("30 texx", 'did you mean "30 tex"'), ("denire 40", 'did you mean "denier 40"'),
    ("8/2 cottn", 'did you mean "8/2 cotton"'), ("100 m / 50 gg", 'did you mean "100 m / 50 g"'),
    ("800 yd/ld", "a length without a mass"), ("100 m", "a length without a mass"), ("50 g", "a mass without a length"),
    ("8 lb", "a mass without a length"), ("0 tex", "a yarn number is above 0"), ("8/0 cotton", "a yarn number is above 0"),
    ("0 m / 50 g", "a yarn number is above 0"), ("100 m / 0 g", "a yarn number is above 0"), ("0", "a yarn number is above 0"), ("Ne 8 0 ply", "a yarn number is above 0"),
    ("Ne 8, 900 ply", "no yarn between"),
    ("-5 tex", "negative"), ("tex -5", "negative"), ("−8/2 cotton", "negative"), ("1e308 tex", "far outside any yarn"),
    ("1e-9 tex", "no yarn between 0.01 and 1000000 tex"), ("9999999 tex", "no yarn between 0.01 and 1000000 tex"),
    ("0.009 tex", "no yarn between"), ("8.5/2.5 Nm", "no yarn between"), ("2000/3000 Nm", "no yarn between"),
    ("8/2x3 cotton", "no yarn between"), ("1+1+1+1+1+1+1 Ne", "no yarn between"), ("2.5 x 3.5 x 4 Nm", "no yarn between"),
    ("8.5 x 2.5 tex", "no yarn between"), ("1/2/3/4/5 Nm", "no yarn between"),
    ("1.2.3 tex", "no number that can be read"), ("1,2.3,4 tex", "no number that can be read"),
    ("1500-1600 yd/lb", "gives a range"), ("30-40 tex", "gives a range"), ("8/2 500", "sizes that do not agree"),
    ("Ne 8/2 = Nm 28/2", "sizes that do not agree"), ("8/2 cotton 16/2 cotton", "sizes that do not agree"),
    ("2 strands of 8/2 cotton", "several strands"), ("16/2 linen doubled", "several strands"),
    ("8/2 cotton" + "!" * 80, "A size of 90 characters is too long"),
]  # fmt: skip


@pytest.mark.parametrize("label, message", REFUSED)
def test_a_refusal_is_one_sentence_that_says_what_is_wrong(label: str, message: str) -> None:
    with pytest.raises(YarnSizeError, match=message) as caught:
        read_size(label)
    error = caught.value
    assert error.text == label
    assert isinstance(error, WeftlineError)
    assert isinstance(error, ValueError)
    assert error.code == "yarn-size"
    assert str(error).endswith((".", "?"))
    assert "\n" not in str(error)
    assert len(str(error)) < 250


def test_a_slip_comes_with_the_repair() -> None:
    with pytest.raises(YarnSizeError, match="nmm") as caught:
        read_size("Nmm 6/2")
    assert caught.value.hint == 'Write "Nm 6/2".'


def test_an_error_can_be_sent_to_another_process() -> None:
    copy = pickle.loads(pickle.dumps(YarnSizeError("No.", text="8/", hint="8/2")))
    assert (str(copy), copy.text, copy.hint) == ("No.", "8/", "8/2")


def test_a_size_keeps_its_promise() -> None:
    reading = Reading(1.0, "tex", 1.0, None, "tex 1")
    for readings, question in [((), None), ((reading,), "Which?"), ((reading, reading), None)]:
        with pytest.raises(ValueError, match="one reading, or several and a question"):
            Size("1", readings, question)


@pytest.mark.parametrize("value", [0.0, -1.0, float("inf"), float("nan"), 1e-320])
def test_no_yarn_has_such_a_length(value: float) -> None:
    with pytest.raises(ValueError, match="must be a finite number above 0"):
        tex_from_m_per_kg(value)
    with pytest.raises(ValueError, match="must be a finite number above 0"):
        m_per_kg(value)


def test_systems_cannot_be_changed() -> None:
    with pytest.raises(TypeError, match="does not support item assignment"):
        SYSTEMS["tex"] = SYSTEMS["Nm"]  # type: ignore[index]  # that it cannot be done is what is tested
