"""The looking itself: the formula is the published one, and faults that are planted in a page are found."""

from __future__ import annotations

import random

import pytest
from coloraide import Color
from playwright.sync_api import Page

from tests.e2e.axe_pages import axe_findings, cut, sideways
from tests.e2e.contrast import BOUNDS, TOKENS, contrast, laid, lowest, shown

GREYS = dict.fromkeys(TOKENS, "#101010") | {
    "quiet": "#333333", "stop": "#7f211d", "look": "#604008", "good": "#215034", "edge": "#525252",
    "page": "#d1d1d1", "hair": "#ababab", "bench": "#a4a4a4", "raised": "#dbdbdb", "paper": "#f0f0f0",
}  # fmt: skip
SHEET = f"""<!doctype html><html lang="en"><head><title>A page</title><style>
:root {{ {" ".join(f"--{name}: {value};" for name, value in GREYS.items())} background: var(--paper); color: var(--ink); }}
:focus-visible {{ outline: 3px solid var(--ink); box-shadow: 0 0 0 6px var(--page); }}
button {{ background: var(--ink); color: var(--page); border: 1px solid var(--edge); }}
</style></head><body><main><h1>A page</h1>%s</main></body></html>"""


def planted(page: Page, body: str) -> list[str]:
    page.set_content(SHEET % body)
    return [one.trouble for one in shown(page) if one.trouble]


@pytest.mark.outside
def test_the_contrast_is_that_of_an_independent_library() -> None:
    dice = random.Random(22)
    for _ in range(300):
        one, other = ([dice.randrange(256) for _ in range(3)] for _ in range(2))
        theirs = Color("srgb", [value / 255 for value in one]).contrast(
            Color("srgb", [value / 255 for value in other]), method="wcag21"
        )
        assert contrast(one, other) == pytest.approx(theirs, abs=0.01)  # an older draft's bend, 0.03928, is in some


@pytest.mark.outside
def test_the_ends_and_a_known_pair_of_the_contrast() -> None:
    # WCAG 2.2: from 1 to 21; #767676 is the lightest grey that white stands on at 4.5 (Understanding 1.4.3)
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((7, 7, 7), (7, 7, 7)) == 1
    assert contrast((118,) * 3, (255,) * 3) >= 4.5 > contrast((119,) * 3, (255,) * 3)


def test_what_is_half_there_is_seen_with_what_lies_behind() -> None:
    assert laid([[255, 255, 255, 1], [0, 0, 0, 0.5]]) == (127.5,) * 3
    assert laid([[9, 9, 9, 1], [200, 100, 50, 1]]) == (200, 100, 50)


def test_a_clean_page_has_no_trouble(page: Page) -> None:
    assert planted(page, "<p>Words</p><button>Keep</button>") == []
    assert axe_findings(page) == sideways(page) == cut(page) == []
    assert {"ink", "edge", "button", "focus"} <= set(lowest(shown(page)))


@pytest.mark.parametrize(
    "body,trouble",
    [
        ("<p style='color: #777'>Pale</p>", 'text of p "Pale": its colour is none of ours'),
        ("<p style='color: var(--hair)'>Pale</p>", 'text of p "Pale": too pale a grey'),
        ("<p style='color: var(--quiet); background: #888'>Low</p>", 'text of p "Low": quiet has'),
        ("<p style='color: var(--ink); background: #101010e0'>Low</p>", 'text of p "Low": ink has'),
        ("<div style='background: var(--bench)'><p style='color: var(--stop)'>No</p></div>", 'text of p "No": stop has'),
        ("<button style='background: #222'>No</button>", 'text of button "No": button has'),
        ("<div style='background: #555'><input aria-label=a style='border: 1px solid var(--edge)'></div>", "edge has"),
        ("<input aria-label=a style='border: 1px solid var(--hair)'>", "border of a control of input"),
        ("<input aria-label=a placeholder='Find' style='color: var(--ink)'>", "its colour is none of ours"),
        ("<a href='#' style='outline: none'>Go</a>", 'focus of a "Go": focus has 1.00'),
        ("<svg class='swatch'><rect width='9' height='9' fill='#777'/><g><path d='M0 0H9' stroke='#555'/></g></svg>", "mark of path"),
        ("<svg class='icon'><path d='M0 0H9' stroke='#999'/></svg>", "drawing of path"),
    ],
)  # fmt: skip
def test_a_colour_that_is_too_low_is_found(page: Page, body: str, trouble: str) -> None:
    found = planted(page, body)
    assert any(trouble in one for one in found), found


@pytest.mark.parametrize(
    "body,trouble",
    [
        ("<p style='width: 5em; overflow: hidden; white-space: nowrap'>A long line of words</p>", '"A long line of words" in p'),
        ("<div style='height: 12px; overflow: hidden'><p>One<br>two</p></div>", 'in div'),
        ("<p style='margin-left: -90px'>Left</p>", "left of the page"),
        ("<svg width='40' height='20'><text x='20' y='15'>A long line</text></svg>", '"A long line" in svg'),
        ("<input type='number' value='1234567' style='width: 40px'>", 'value "1234567"'),
    ],
)  # fmt: skip
def test_words_that_are_cut_are_found(page: Page, body: str, trouble: str) -> None:
    page.set_content(SHEET % body)
    found = cut(page)
    assert any(trouble in one for one in found), found


def test_words_that_can_be_scrolled_to_are_not_cut(page: Page) -> None:
    page.set_content(
        SHEET % "<div style='width: 5em; overflow: auto'><p style='width: 20em'>A long line of words</p></div>"
    )
    assert cut(page) == []


def test_a_page_that_runs_out_sideways_and_what_axe_knows_are_found(page: Page) -> None:
    page.set_content(SHEET % "<p style='width: 200vw'>Wide</p><img src='a.png'>")
    assert sideways(page) == ["runs out sideways by 1448 px"]
    assert any(one.startswith("image-alt") for one in axe_findings(page))


def test_every_bound_is_at_least_what_the_guidelines_ask() -> None:
    asked = dict.fromkeys(BOUNDS, 4.5) | {"edge": 3.0, "mark": 3.0, "focus": 3.0}
    assert [role for role in BOUNDS if BOUNDS[role] < asked[role]] == []
