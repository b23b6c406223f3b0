"""The printed pattern read back: complete, in order, inside its pages, and the same every time."""

import json
import random
import re
import time
from pathlib import Path
from typing import Any

import pytest

from tests.pieces import PIECES, named, one_strip, own_technique, read
from tests.sheets.reading_back import boxes, info, joined, planned, printed, rebuilt, tight, tool, words_of
from weftline.core.piece.values import Project
from weftline.core.plan.plan import plan
from weftline.formats.native import loads
from weftline.sheets.document import document
from weftline.sheets.paper import PAPERS
from weftline.sheets.refusal import PatternError
from weftline.sheets.sheds import sheds_of
from weftline.sheets.typeset import pattern, typeset

DEMOS = {path.stem: path for path in sorted((Path(__file__).parents[2] / "examples").glob("*.json"))}
HOSTILE = "#strong[x] *b* $1$ @r <t> \\ `c` _u_ // /* \u202eevil 😀 {{x}} \"q\" 'q'"
LONG = "Kolmen kaistaleen pitkä nimi – τρεις λωρίδες – Жуки " + "W" * 60


def demo(name: str) -> Project:
    """A demo piece."""
    return loads(DEMOS[name].read_bytes())


def torture() -> dict[str, Any]:
    """Long names, 40 bands, 14 yarns wound together, three strips, letters of four scripts."""
    keys = [*"abcdefghijk", "Å", "ö", "wool12"]
    yarns: dict[str, Any] = {
        key: {"name": f"{place} {LONG if place % 3 else HOSTILE}", "fibre": "wool", "size": "Nm 6/2", "lot": "9" * 60,
              "strands": 1 + place % 3, "pack": {"mass_g": 100}, "on_hand_g": 10}
        for place, key in enumerate(keys)
    }  # fmt: skip

    def bands(shift: int) -> list[dict[str, Any]]:
        found = []
        for place in range(40):
            a, b, c = (keys[(place + step + shift) % len(keys)] for step in range(3))
            lines = [f"{a} {b} {c}", f"{a}+{b} {b} {c} *3", f"- {b} {a}", f"{a} {b} {c} back"]
            mirror = ("none", "lines", "picks")[place % 3]
            found.append({"name": f"{LONG} {place}", "lines": lines, "times": 1 + place % 4, "mirror": mirror})
        return found

    strips = [{"name": f"{LONG} {shift}", "ends": 41, "gap_after_cm": 2, "bands": bands(shift)} for shift in range(3)]
    sections = [{"name": HOSTILE + LONG, "pieces": 2, "strips": strips}]
    return {"weftline": 1, "name": HOSTILE + LONG, "weave": {"face": "down"}, "yarns": yarns, "sections": sections}


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("paper,units", [("a4", "metric"), ("letter", "imperial")])
def test_a_demo_piece_can_be_rebuilt_from_its_printed_words(name: str, paper: str, units: str, tmp_path: Path) -> None:
    project = demo(name)
    path, _ = printed(project, tmp_path, paper, units)
    found = plan(project)
    numbers = {shed.lift: shed.number for shed in sheds_of(found.cloth).values()}
    for section in found.cloth.sections:
        heading = f"Weaving: {section.name}" if len(found.sections) > 1 else "Weaving"
        lines = rebuilt(path, heading)
        assert sorted(lines) == list(range(1, section.picks.line_count + 1))
        for line, picks in planned(project, section.name).items():
            thrown = [(shed, lift, yarns) for shed, lift, yarns in lines[line] if yarns[0] != "– no pick"]
            assert thrown == [(numbers[lift], lift, yarns) for lift, yarns in picks], f"{section.name}, line {line}"


@pytest.mark.parametrize("name", DEMOS)
def test_the_pages_come_in_order_and_say_what_is_needed(name: str, tmp_path: Path) -> None:
    project = demo(name)
    path, _ = printed(project, tmp_path)
    text = words_of(path)
    places = [text.find(f"\n{heading}") for heading in (
        "Materials", "Sizes", "Dressing the loom", "Threading", "Sheds", "How to read this pattern", "Chart", "Weaving",
        "Finishing", "What the numbers rest on",
    )]  # fmt: skip
    assert places == sorted(places)
    assert min(places) > 0
    flat = joined(text)
    for section in project.sections:
        for strip in section.strips:
            assert [band.name for band in strip.bands if band.name and band.name not in flat] == []
    for yarn in project.yarns.values():
        assert f"{yarn.name} mark:" in flat
    assert "Take care. A warp under tension" in flat
    assert "common practice" in flat


def test_the_units_are_those_asked_for(tmp_path: Path) -> None:
    project = demo("kneeling-pad")
    metric = joined(words_of(printed(project, tmp_path)[0]))
    imperial = joined(words_of(printed(project, tmp_path, "letter", "imperial")[0]))
    assert "2.4 ends per cm" in metric
    assert re.search(r"\d (in|oz|yd)\b", metric.replace("in the reed", "")) is None
    assert "6.1 ends per inch" in imperial
    assert re.search(r"\d cm\b", imperial) is None


@pytest.mark.parametrize(
    "paper,size", [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))], ids=["A4", "letter"]
)  # fmt: skip
def test_pages_have_the_size_of_the_paper_and_every_word_stands_inside(
    paper: str, size: tuple[float, float], tmp_path: Path
) -> None:
    side, foot = (value * 72 / 25.4 for value in (PAPERS[paper].side_mm - 1, 6.0))
    for project in (read(torture()), demo("sling-and-straps"), demo("wall-piece")):
        path, made = printed(project, tmp_path, paper)
        pages = boxes(path)
        assert len(pages) == made.pages
        for width, height, words in pages:
            assert (width * 25.4 / 72, height * 25.4 / 72) == pytest.approx(size, abs=0.02)
            outside = [word for word in words if word[1] < side or word[3] > width - side or word[2] < 20
                       or word[4] > height - foot]  # fmt: skip
            assert outside == []


MANY_SHEDS = own_technique(16, [*range(1, 17), *range(15, 1, -1)], [[shaft] for shaft in range(1, 17)])
ODD: dict[str, dict[str, Any]] = {
    "sixteen sheds, each with many strands of yarns with long keys": {
        **one_strip({"lines": [" ".join(["wool1234567+shade123456"] * 16), "- " * 15 + "shade123456 back"]}),
        "yarns": {"wool1234567": {}, "shade123456": {"strands": 40}},
        "weave": MANY_SHEDS,
    },
    "one pick a line, in one shed after the other": one_strip({"sheds": [[1], [2], [3]], "lines": ["o - -", "- s -", "- - m"]}),
    "no heading, no fringe, seams, idle ends, threaded ends to spare": {
        "weftline": 1,
        "yarns": {"o": {"size": "Nm 6/2"}, "s": {"size": "Nm 6/2"}},
        "warp": {"ends": 90, "yarn": "s"},
        "allowances": {"heading_cm": 0, "fringe_each_end_cm": 0, "between_pieces_cm": 0},
        "loom": {"reed_dents_per_10cm": 33, "weaving_width_cm": 5},
        "sections": [
            {"name": "Halves", "strips": [
                {"name": "Left half", "ends": 41, "seam_after": True, "idle_after": 3,
                 "bands": [{"name": "Same", "lines": ["o s s", "s o o"]}, {"name": "Mine", "lines": ["s s s"]}]},
                {"name": "Right half", "ends": 41, "gap_after_cm": 3,
                 "bands": [{"name": "Same", "lines": ["s s s", "o o o"]}, {"name": "Other", "lines": ["o s o"]}]}]},
        ],
    },
    "strips of which one ends early": {
        "weftline": 1,
        "yarns": {"o": {}, "s": {}},
        "sections": [{"strips": [
            {"ends": 9, "bands": [{"name": "Short", "lines": ["o s s"]}]},
            {"ends": 9, "bands": [{"name": "Long", "lines": ["s o o *9", "o o s"], "times": 3}]}]}],
    },
    "twelve strips": {
        "weftline": 1,
        "yarns": {"o": {}, "s": {}},
        "sections": [{"strips": [
            {"ends": 5, "gap_after_cm": 1, "bands": [{"name": f"Part {place}", "lines": ["o s s", "- s o", "o o o"]}]}
            for place in range(12)]}],
    },
    "a warp of one end and a line of one pick": {
        **one_strip({"lines": ["o"]}, ends=1), "yarns": {"o": {}}, "weave": own_technique(1, [1], [[1]]),
    },
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("paper", PAPERS)
def test_odd_pieces_stay_inside_their_pages(name: str, paper: str, tmp_path: Path) -> None:
    path, _ = printed(read(ODD[name]), tmp_path, paper)
    for width, height, words in boxes(path):
        assert [word for word in words if word[1] < 50 or word[3] > width - 50 or word[4] > height - 20] == []


@pytest.mark.parametrize("name", [name for name in PIECES if name != "two straps on one warp"] + list(ODD)[1:2])
def test_small_pieces_can_be_rebuilt_from_their_printed_words(name: str, tmp_path: Path) -> None:
    project = read({**PIECES, **ODD}[name])
    path, _ = printed(project, tmp_path)
    (section,) = plan(project).cloth.sections
    lines = rebuilt(path)
    for line, picks in planned(project, section.name).items():
        thrown = [(lift, yarns) for _, lift, yarns in lines[line] if yarns[0] != "– no pick"]
        assert thrown == picks, line


def test_what_the_halves_of_a_seamed_piece_are_told(tmp_path: Path) -> None:
    piece = ODD["no heading, no fringe, seams, idle ends, threaded ends to spare"]
    text = joined(words_of(printed(read(piece), tmp_path)[0], "-layout"))
    assert "Left half: Mine; Right half: Other" in text
    assert "Sew the strips together: the right side of Left half" in text
    assert "cut with as much warp left as the edge needs" in text
    assert "left idle ends 42–44 3 ends 2 3 2" in text
    assert "further ends ends 86–90 5 ends" in text


def test_the_torture_piece_is_complete(tmp_path: Path) -> None:
    path, _ = printed(read(torture()), tmp_path)
    text = tight(words_of(path))
    for place in range(40):
        assert tight(f"{LONG} {place}") in text, place
    assert "[U+202E]evil[U+1F600]" in text


@pytest.mark.parametrize("name", ["kneeling-pad", "sling-and-straps"])
def test_the_file_is_tagged_dated_never_and_carries_its_fonts(name: str, tmp_path: Path) -> None:
    project = demo(name)
    path, made = printed(project, tmp_path)
    said = info(path)
    assert (said["Title"], said["Author"], said["Tagged"]) == (project.name, "Weftline", "yes")
    assert "weaving pattern" in said["Keywords"]
    assert int(said["Pages"]) == made.pages
    fonts = tool("pdffonts", path).splitlines()[2:]
    assert len(fonts) >= 2
    assert [font for font in fonts if re.search(r"\byes +yes +yes\b", font) is None] == []
    assert {re.sub(r"^[A-Z]{6}\+|-.*", "", font.split()[0]) for font in fonts} <= {"AtkinsonHyperlegible", "NotoSans"}
    assert b"/Lang" in made.pdf


def test_every_picture_has_words_in_its_place(tmp_path: Path) -> None:
    path, _ = printed(demo("sling-and-straps"), tmp_path)
    structure = tool("pdfinfo", "-struct", path)
    assert structure.count("Figure") >= 8


def test_the_cloth_is_printed_at_about_300_dots_an_inch(tmp_path: Path) -> None:
    path, _ = printed(demo("kneeling-pad"), tmp_path)
    rows = [row.split() for row in tool("pdfimages", "-list", "-l", "1", path).splitlines()[2:]]
    pictures = [row for row in rows if row[2] == "image"]
    assert len(pictures) == 2
    for row in pictures:
        assert 285 <= float(row[12]) <= 330  # a line and a repeat are whole pixels, so the two differ a little
        assert 285 <= float(row[13]) <= 330


@pytest.mark.parametrize("name", [*PIECES])
def test_the_same_piece_gives_the_same_bytes(name: str) -> None:
    made = [pattern(plan(named(name))).pdf for _ in range(2)]
    assert made[0] == made[1]


def test_markup_in_names_is_text(tmp_path: Path) -> None:
    band = {"name": HOSTILE, "lines": ["o o o"]}
    piece = one_strip(band, yarns={"o": {"name": HOSTILE, "lot": HOSTILE, "fibre": "w#[]"}}, name=HOSTILE)
    path, _ = printed(read(piece), tmp_path)
    shown = HOSTILE.replace("\u202e", "[U+202E]").replace("😀", "[U+1F600]")
    assert info(path)["Title"] == shown
    assert tight(words_of(path)).count(tight(shown)) >= 4


def test_a_piece_that_cannot_be_woven_says_so_at_the_top(tmp_path: Path) -> None:
    project = read(one_strip({"sheds": [[1], [1, 2]], "lines": ["o s *4"]}))
    path, _ = printed(project, tmp_path)
    first = joined(tool("pdftotext", "-l", "1", path, "-"))
    assert "This piece cannot be woven as written." in first
    assert first.index("This piece cannot be woven") < first.index("Line 1 is at the foot")
    assert "Stop" in first


def test_a_long_runner_is_torn_and_stands_whole_beside_it(tmp_path: Path) -> None:
    lines = [f"{a} {b} {c}" for a in "osm" for b in "osm" for c in "osm"]
    path, _ = printed(read(one_strip({"lines": lines, "times": 40})), tmp_path)
    assert "the lower part, 1 to" not in joined(words_of(path))
    assert "torn off where the page ends" in joined(tool("pdftotext", "-l", "1", path, "-"))
    rows = [row.split() for row in tool("pdfimages", "-list", "-l", "1", path).splitlines()[2:]]
    assert sum(row[2] == "smask" for row in rows) == 2


@pytest.mark.real_cloth
def test_neither_a_demo_nor_three_thousand_lines_hang() -> None:
    begun = time.perf_counter()
    pattern(plan(demo("sling-and-straps")))
    assert time.perf_counter() - begun < 50
    dice = random.Random(3)
    lines = [" ".join(dice.choice("osm") for _ in range(3)) for _ in range(3000)]
    long = plan(read(one_strip({"lines": lines})))
    begun = time.perf_counter()
    assert pattern(long).pages > 60
    assert time.perf_counter() - begun < 200


def test_another_paper_is_refused() -> None:
    with pytest.raises(PatternError, match=r"^no paper is called a5; use a4 or letter$"):
        pattern(plan(named("plain ground")), "a5")


def test_what_the_typesetter_has_to_say_is_one_sentence() -> None:
    found = document(plan(named("plain ground")), PAPERS["a4"], "metric")
    without = {key: value for key, value in found.data.items() if key != "finishing"}
    with pytest.raises(PatternError, match=r'^the pages cannot be set: dictionary does not contain key "finishing"'):
        typeset(type(found)(without, found.files))
    warned = json.loads(json.dumps(found.data)) | {"fonts": ["No Such Font"]}
    with pytest.raises(PatternError, match=r"^the pages cannot be set as meant: unknown font family: no such font$"):
        typeset(type(found)(warned, found.files))
