"""Write up: the pages shown are the pages of the PDF, on the paper and in the units that were chosen."""

from __future__ import annotations

import io
import re
import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.server.conftest import HTML, Bench
from weftline.errors import OutOfPlaceError
from weftline.server.leaves import PPI, Print, leaf, parts, printed

LEAF = re.compile(r'<img class="leaf" src="([^"]+)" width="(\d+)" height="(\d+)" alt="([^"]+)"( loading="lazy")?>')


def leaves(bench: Bench, piece: str, query: str = "") -> list[tuple[str, ...]]:
    """The pictures that the page shows: address, width, height, words, whether it waits."""
    page = bench.browser.get(f"/pieces/{piece}/write-up{query}", headers=HTML).text
    return [(found[0].replace("&amp;", "&"), *found[1:]) for found in LEAF.findall(page)]


@pytest.fixture(scope="module")
def kept() -> bytes:
    """A print of the kneeling pad."""
    from weftline.server.demos import demo_plan

    return printed(demo_plan("kneeling-pad"), Print("a4", "metric"))


def test_the_page_comes_at_once_and_all_its_pictures_when_they_are_set(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = bench.piece()
    told: list[tuple[str, int]] = []
    monkeypatch.setattr(bench.app.state.workbench.announcer, "tell_again", lambda *what: told.append(what))
    first = bench.browser.get(f"/pieces/{piece}/write-up", headers=HTML).text
    assert 'data-seq="0"' in first
    assert "The pages are being set" in first
    assert len(leaves(bench, piece)) == 1
    assert told == []
    picture = bench.browser.get(leaves(bench, piece)[0][0])
    assert (picture.status_code, picture.content[:4]) == (200, b"RIFF")
    assert "immutable" in picture.headers["cache-control"]
    assert told == [(piece, 1)]
    page = bench.browser.get(f"/pieces/{piece}/write-up", headers=HTML).text
    assert 'data-seq="1"' in page
    every = leaves(bench, piece)
    assert f"Its {len(every)} pages" in page
    assert [words for _, _, _, words, _ in every] == [
        f"Page {number} of {len(every)} of the pattern, as in the PDF" for number in range(1, len(every) + 1)
    ]
    assert [bool(waits) for *_, waits in every] == [False] + [True] * (len(every) - 1)
    assert bench.browser.get(every[-1][0]).status_code == 200
    assert bench.browser.get(every[-1][0].replace(f"/{len(every)}.webp", f"/{len(every) + 1}.webp")).status_code == 404
    assert told == [(piece, 1)]
    bench.send(f"/pieces/{piece}/rename", name="Another title")
    assert len(leaves(bench, piece)) == 1


def test_paper_and_units_are_as_the_settings_say_until_chosen(bench: Bench) -> None:
    piece = bench.piece()
    bench.browser.get("/")
    assert leaves(bench, piece)[0][1:3] == ("794", "1123")
    assert "paper=a4&units=metric" in leaves(bench, piece)[0][0]
    bench.send("/settings", units="imperial", paper="letter", theme="system", keys="on")
    assert leaves(bench, piece)[0][1:3] == ("816", "1056")
    assert "paper=letter&units=imperial" in leaves(bench, piece)[0][0]
    assert "paper=a4&units=metric" in leaves(bench, piece, "?paper=a4&units=metric")[0][0]
    assert "paper=letter&units=imperial" in leaves(bench, piece, "?paper=a5&units=ells")[0][0]


def test_the_pdf_given_out_is_the_one_whose_pages_are_shown(bench: Bench) -> None:
    piece = bench.piece()
    pdf = bench.browser.get(f"/pieces/{piece}/files/pattern.pdf?paper=letter&units=imperial")
    assert (pdf.headers["content-type"], pdf.content[:4]) == ("application/pdf", b"%PDF")
    assert 'filename="kneeling-pad.pdf"' in pdf.headers["content-disposition"]
    shown = leaves(bench, piece, "?paper=letter&units=imperial")
    assert len(shown) > 5
    assert len(leaves(bench, piece)) == 1


def test_a_picture_is_its_page_as_another_program_draws_it(kept: bytes, tmp_path: Path) -> None:
    pages, pdf = parts(kept)
    (tmp_path / "pattern.pdf").write_bytes(pdf)
    for number in (1, pages):
        ask = ["-r", str(PPI), "-f", str(number), "-l", str(number), "-png", "-singlefile"]
        subprocess.run(["pdftoppm", *ask, "pattern.pdf", "page"], check=True, cwd=tmp_path, timeout=60)
        theirs = Image.open(tmp_path / "page.png").convert("L")
        ours = Image.open(io.BytesIO(leaf(kept, number, "a4"))).convert("L")
        assert abs(ours.width - theirs.width) <= 1
        assert abs(ours.height - theirs.height) <= 1
        small = (62, 88)
        difference = np.abs(np.asarray(ours.resize(small), float) - np.asarray(theirs.resize(small), float))
        assert float(difference.mean()) < 3
        assert float(np.asarray(ours).std()) > 10


@pytest.mark.parametrize("number", [0, -1, 400])
def test_a_page_that_is_not_there_is_told(kept: bytes, number: int) -> None:
    with pytest.raises(OutOfPlaceError, match=rf"the pattern has pages 1 to \d+, not {number}"):
        leaf(kept, number, "a4")
