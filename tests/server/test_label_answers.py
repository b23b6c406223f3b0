"""Labels as printed in a shop, typed on the Yarns page: what they tell, and what is asked where they leave a question."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

import pytest

from tests.server.conftest import HTML

if TYPE_CHECKING:
    from tests.server.conftest import Bench


def told(bench: Bench, **label: object) -> str:
    status, _ = bench.send("/yarns", 0, None, name="Skein", colour="#aabbcc", **label)
    assert status == 200
    (key,) = bench.desk.shelf().documents["yarns"]
    text = bench.browser.get(f"/yarns?at={key}", headers=HTML).text
    assert 'id="told"' in text
    return " ".join(
        unescape(re.sub(r"<[^>]+>", " ", text.split('id="told"')[1].split("Take it off the shelf")[0])).split()
    )


@pytest.mark.parametrize(
    "size,fibre,tex",
    [
        ("Nm 6/2", "wool", "333 tex"),
        ("NeC 12/6", "cotton", "295 tex"),
        ("NeL 8/5", "linen", "1,033 tex"),
        ("R 60 tex / 2", "wool", "60 tex"),
        ("34 tex x 2", "wool", "68 tex"),
        ("800 yd/lb", "wool", "620 tex"),
        ("100 m / 50 g", "wool", "500 tex"),
        ("8 lb jute", "", "276 tex"),
    ],
)
def test_a_shop_label_tells_how_heavy_and_how_thick(bench: Bench, size: str, fibre: str, tex: str) -> None:
    text = told(bench, size=size, fibre=fibre)
    assert tex in text
    assert "m/kg" in text
    assert re.search(r"\d–[\d.]+ mm", text)


def test_a_label_that_reads_several_ways_is_asked_about_at_once(bench: Bench) -> None:
    status, href = bench.send("/yarns", name="Skein", size="8/2", colour="#aabbcc")
    assert status == 200
    assert href.endswith("#told")
    (key,) = bench.desk.shelf().documents["yarns"]
    page = bench.browser.get(f"/yarns?at={key}", headers=HTML).text
    assert "reads several ways" in page
    assert page.count("tex") >= 3


def test_wraps_are_told_as_wide_as_they_are(bench: Bench) -> None:
    text = told(bench, size="12 wpi", fibre="wool")
    assert re.search(r"\d+–[\d,]+ tex", text)


def test_what_is_no_size_is_one_sentence(bench: Bench) -> None:
    assert "no number that tells a size" in told(bench, size="thick and soft")
