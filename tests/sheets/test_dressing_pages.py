"""What the pages on dressing the loom say: loom, reed, edges, heddles, and the change from section to section."""

from typing import Any

import pytest

from tests.pieces import TWO_STRAPS
from tests.sheets.documents import DEMO_YARNS, made, pad, said


@pytest.mark.parametrize(
    "keys,face,loom",
    [
        ({}, "Woven face up", "Any loom, rising shed (the piece does not say; a rising shed is taken)"),
        ({"loom": {"kind": "table", "shed": "rising", "shafts": 8}}, "Woven face up", "Table loom with 8 shafts, rising"),
        ({"loom": {"kind": "countermarch", "shed": "sinking", "treadles": 6}}, "Woven face up",
         "Every treadle is tied to every shaft used, 3 here: to sink those under “down”, to raise those under “up”."),
        ({"loom": {"kind": "countermarch", "shed": "sinking", "treadles": 2}}, "Woven face up", "two treadles cannot be pressed"),
        ({"loom": {"kind": "counterbalance", "shed": "sinking", "treadles": 6}}, "Woven face up", "the others rise against them"),
        ({"loom": {"kind": "table", "shed": "rising", "treadles": 0}}, "Woven face up", "It has levers, no treadles"),
        ({"loom": {"kind": "floor", "shed": "rising", "treadles": 2}}, "Woven face up", "press several together"),
        ({"loom": {"kind": "frame", "shed": "rising"}, "weave": {"face": "down"}}, "Woven face down", "pick-up stick"),
    ],
)  # fmt: skip
def test_the_loom_and_the_face_are_said(keys: dict[str, Any], face: str, loom: str) -> None:
    sheds = made(pad(**keys)).data["dressing"]["sheds"]
    assert sheds["face"].startswith(face)
    assert loom in sheds["loom"]


@pytest.mark.parametrize(
    "loom,warp,expected",
    [
        ({}, {}, "No reed is named."),
        ({"reed_dents_per_10cm": 24}, {"sett_per_cm": 2.4}, "Sley 1 end in every dent."),
        ({"reed_dents_per_10cm": 20}, {"sett_per_cm": 3}, "again and again: 2 1; that is 3 ends in 2 dents."),
        ({"reed_dents_per_10cm": 30}, {"sett_per_cm": 2.4}, "1 1 1 1 0 (0 is an empty dent)"),
        ({"reed_dents_per_10cm": 35}, {"sett_per_cm": 2.7},
         "This one comes to 2.62 ends per cm, more open by 2.8 %"),
        ({"reed_dents_per_10cm": 1000}, {"sett_per_cm": 0.1}, "Sley one end, then leave 999 dents empty"),
    ],
)  # fmt: skip
def test_the_sley_is_exact_or_says_how_far_off(loom: dict[str, Any], warp: dict[str, Any], expected: str) -> None:
    reed = made(pad(loom=loom, warp=warp)).data["dressing"]["reed"]
    assert expected in " ".join(said(one) for one in reed["sentences"])


def test_the_warp_stands_in_the_middle_of_the_reed() -> None:
    loom = {"reed_dents_per_10cm": 24, "weaving_width_cm": 60}
    (spread,) = made(pad(loom=loom, warp={"sett_per_cm": 2.4})).data["dressing"]["reed"]["spreads"]
    assert said(spread["start"]) == (
        "To centre it, put the first end on a shaft 7.7 cm left of the middle of the reed. On the loom that this was planned "
        "for, 60 cm wide, that is dent 54 of 144."
    )
    assert (said(spread["across"]), spread["strips"][0]["dents"]) == ("15.4 cm", "37 dents")
    assert [(row["what"], row["dents"], row["where"]) for row in spread["rows"]] == [
        ("Strip 1, ends 1–37", "37 dents", "dents 54–90")
    ]


def straps(gap_cm: float, **keys: Any) -> list[dict[str, Any]]:
    """The list of the reed for two straps of 41 ends with a gap, woven after a sling of 85 ends."""
    bands = [{"lines": ["o o s"]}]
    pair = [
        {"name": "Left", "ends": 41, "gap_after_cm": gap_cm, "idle_after": 3, "bands": bands},
        {"name": "Right", "ends": 41, "bands": bands},
    ]
    sections = [{"name": "Sling", "strips": [{"ends": 85, "bands": bands}]}, {"name": "Straps", "strips": pair}]
    loom = {"reed_dents_per_10cm": 26, "weaving_width_cm": 70}
    warp = {"sett_per_cm": 2.6, "ends": 85, "edge": "floating"}
    piece = {"weftline": 1, "yarns": DEMO_YARNS, "warp": warp, "loom": loom, "sections": sections, **keys}
    return [made(piece).data["dressing"]["reed"]["spreads"][-1], made(piece).data["sections"][-1]["steps"]["change"]]


def test_every_dent_is_told_and_the_whole_is_the_sum_of_its_parts() -> None:
    spread, _ = straps(4)
    assert [(row["what"], row["dents"], row["where"]) for row in spread["rows"]] == [
        ("floating end", "1 dent", "dent 45"),
        ("Left, ends 1–41", "41 dents", "dents 46–86"),
        ("floating end", "1 dent", "dent 87"),
        ("left empty; gap with its floating ends", "8 dents", "dents 88–95"),
        ("floating end", "1 dent", "dent 96"),
        ("Right, ends 45–85", "41 dents", "dents 97–137"),
        ("floating end", "1 dent", "dent 138"),
    ]
    assert "that is dent 46 of 182." in said(spread["start"])
    assert (said(spread["rows"][1]["width"]), said(spread["across"])) == ("15.8 cm", "35.6 cm")


def test_strips_without_a_gap_have_their_floating_ends_in_their_outer_dents() -> None:
    rows = straps(0)[0]["rows"]
    assert [row["dents"] for row in rows] == [
        "1 dent", "41 dents", "in the strip’s outer dent", "in the strip’s outer dent", "41 dents", "1 dent",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "gap_cm,words",
    [(4, "stand 3 dents apart, 1.2 cm: if your shuttles can do"), (1.2, "The strips lie right already")],
)
def test_the_change_from_section_to_section_can_be_followed(gap_cm: float, words: str) -> None:
    change = straps(gap_cm)[1]
    steps = [said(step) for step in change["steps"]]
    assert change["heading"] == "From Sling to Straps"
    assert "in front of the reed" in steps[0]
    assert "through Finishing, from step 3 on" in steps[0]
    assert "between reed and heddles" in steps[1]
    assert words in steps[2]
    assert "2 floating ends that waited" in steps[3]
    assert "Ends 42–44 are not woven" in steps[3]
    assert "between pieces and the" in steps[4]


@pytest.mark.parametrize(
    "edge,words,ends",
    [
        ("none", "No extra ends", "37 ends, all on shafts"),
        ("floating", "Floating edge: 1 extra end at each side", "37 ends on shafts + 2 floating = 39 ends"),
        (
            {"kind": "doubled", "ends": 2},
            "the 2 outermost ends go",
            "37 ends on shafts + 4 to double the edges = 41 ends",
        ),
        (
            {"kind": "doubled", "ends": 1},
            "its outermost end goes",
            "37 ends on shafts + 2 to double the edges = 39 ends",
        ),
    ],
)
def test_edges_are_counted_and_explained(edge: Any, words: str, ends: str) -> None:
    dressing = made(pad(warp={"edge": edge})).data["dressing"]
    assert words in dressing["threading"]["edge"]
    assert dressing["warp"]["ends"] == ends


def test_heddles_are_counted_for_every_shaft() -> None:
    heddles = made(pad()).data["dressing"]["threading"]["heddles"]
    assert [one["count"] for one in heddles] == ["10 heddles", "18 heddles", "9 heddles"]


def test_common_reeds_are_offered_where_the_sley_is_not_whole() -> None:
    unusual = made(pad(loom={"reed_dents_per_10cm": 24}, warp={"sett_per_cm": 2.4})).data["dressing"]["reed"]["others"]
    assert [(one["reed"], one["off"]) for one in unusual] == [
        ("20 dents per 10 cm", "as planned"), ("25 dents per 10 cm", "4.2 % closer"), ("30 dents per 10 cm", "as planned"),
    ]  # fmt: skip
    plain = pad(loom={"reed_dents_per_10cm": 30}, warp={"sett_per_cm": 3})
    assert made(plain).data["dressing"]["reed"]["others"] == []
    assert len(made(plain, "letter", "imperial").data["dressing"]["reed"]["others"]) == 3


def test_pieces_that_share_a_warp_are_told_what_waits_and_when_to_sley_again() -> None:
    data = made({**TWO_STRAPS, "warp": {**TWO_STRAPS.get("warp", {}), "edge": "floating"}}).data
    if len(data["sections"]) > 1:
        words = " ".join(said(one) for one in data["dressing"]["between_sections"])
        assert "of the 4 floating ends" in words
        assert "counts the loom waste once" in words
        assert data["sections"][-1]["steps"]["change"]["steps"]
        assert any("come off one after another" in said(step) for step in data["finishing"])
