"""Figures that books, standards and sellers print, with how closely each can be met and where it stands."""

from typing import Final

import pytest

from weftline.core.yarn import SYSTEMS, read_size

pytestmark = pytest.mark.outside

BROOKS: Final = "Brooks, Cotton Manufacturing"
TAYLOR: Final = "Taylor, Cotton Weaving and Designing, 6th ed."
RESULTING: Final = "ncyouthjamboree.org/resulting, rounded as ISO 2947 rounds"
NIMI: Final = "NIMI Shawl Weaving Artisan"

FACTORS: Final = [  # ASTM D2260 and the definitions: so many of the first for one of the second
    ("Nw", "Ne", 1.5), ("run", "Ne", 0.525), ("run", "Nw", 0.35), ("lea", "Ne", 2.8), ("lea", "Nw", 1.86667),
    ("run", "lea", 0.1875), ("Ne", "Nm", 0.590541), ("Nw", "Nm", 0.885812), ("run", "Nm", 0.310034),
    ("lea", "Nm", 1.65352), ("ypp", "Nm", 496.055), ("den", "Ne", 5314.87),
]  # fmt: skip
FOLDS: Final = [
    ("60s + 40s cotton", "Ne", 24, 1e-9, f"{TAYLOR} p. 239"),
    ("40s + 20s cotton", "Ne", 40 / 3, 1e-9, f"{BROOKS} p. 91"),
    ("40s + 80s + 120s cotton", "Ne", 21.81, 5e-4, f"{BROOKS} p. 91, cut off"),
    ("3/300s cotton", "Ne", 100, 1e-9, f"{BROOKS} p. 91"),
    ("2/80s cotton", "Ne", 40, 1e-9, f"{BROOKS} p. 91"),
    ("2-40s cotton", "Ne", 20, 1e-9, f"{TAYLOR} p. 239"),
    ("spun silk 40s-2", "Ne", 40, 1e-9, f"{TAYLOR} p. 239: the resultant is printed"),
    ("spun silk 30s/2", "Ne", 30, 1e-9, f"{BROOKS}, Wrapping"),
    ("2/30s cotton", "Ne", 15, 1e-9, f"{BROOKS}, Wrapping"),
    ("34 tex S 600 x 2 Z 400; R 69.3 tex", "tex", 69.3, 1e-9, "ISO 1139, single to fold, from memory"),
    ("R 69.3 tex Z 400 / 2 S 600; 34 tex", "tex", 69.3, 1e-9, "ISO 1139, fold to single, from memory"),
]
PRINTED: Final = [
    ("cotton count 10", "Nw", 15, 1e-9, "ASTM D2260 example 1"),
    ("30 tex", "Ne", 19.7, 1e-3, "ASTM D2260 example 2"),
    ("20s cotton", "Nw", 30, 1e-9, f"{BROOKS} p. 91"),
    ("20s cotton", "lea", 56, 1e-9, f"{BROOKS} p. 91"),
    ("20s cotton", "Nf", 16.93, 3e-4, f"{BROOKS} p. 91"),
    ("8/2 cotton", "ypp", 3360, 1e-9, "faena.medievaltextiles.org/ash.html"),
    ("5/3 cotton", "ypp", 1400, 1e-9, "knitting-tips.blogspot.com 2008-02"),
    ("2/8 worsted", "ypp", 2240, 1e-9, "knitting-tips.blogspot.com 2008-02"),
    ("linen 4/1", "ypp", 1200, 1e-9, "knitting-tips.blogspot.com 2008-02"),
    ("linen 2/40", "ypp", 6000, 1e-9, "tbunny.blogspot.com 2012-06"),
    ("40 lea linen", "ypp", 12000, 1e-9, "tablelinens-cmd measure page"),
    ("linen lea 1", "ypp", 300, 1e-9, "tablelinens-cmd measure page"),
    ("worsted 5", "ypp", 2800, 1e-9, "oocities.org/rugtalk/yarnsize.html"),
    ("Ne 40", "Nm", 67, 0.015, "hantverk.blogspot.com 2008-07"),
    ("40 denier", "Nm", 225, 1e-9, "hantverk.blogspot.com 2008-07"),
    ("Nm 2/48", "Ne", 14.17, 5e-4, f"{NIMI} p. 70"),
    ("Nm 40", "Ne", 23.62, 5e-4, f"{NIMI} p. 70"),
    ("Nm 80", "Nw", 70.864, 5e-5, f"{NIMI} p. 70"),
    ("80 yd = 50 grains", "Nw", 20, 1e-9, f"{NIMI} p. 69"),
    ("240 yd = 1 oz", "lea", 12.8, 1e-9, f"{NIMI} p. 69, computed"),
    ("Nm 60/2", "Nm", 30, 1e-9, "pashminas-cashmere.blogspot.com 2017-05"),
    ("Nm 4.8/1 linen", "ypp", 2380, 5e-4, "flaxerella.com facts about flax"),
    ("Nm 30/2", "tex", 66, 0.011, "miniknittingstuff.com/yarnchart.htm, cut off"),
    ("worsted 2/24s", "tex", 73, 0.012, "miniknittingstuff.com/yarnchart.htm, cut off"),
    ("wool Nm 6/2", "tex", 2 * 165, 0.02, RESULTING),
    ("Nm 9/3", "tex", 3 * 110, 0.02, RESULTING),
    ("Nm 16/2", "tex", 2 * 64, 0.025, RESULTING),
    ("Nm 24/2", "tex", 2 * 42, 0.02, RESULTING),
    ("Nm 32/2", "tex", 2 * 31, 0.02, RESULTING),
    ("Yorkshire skein 16", "ypp", 4096, 1e-9, "blackeryarns.co.uk yarn weights"),
    ("worsted 16", "ypp", 8960, 1e-9, "blackeryarns.co.uk yarn weights"),
    ("4 dram silk", "dew", 4000, 1e-9, f"{TAYLOR} p. 239"),
    ("40 old denier", "dew", 6933 + 1 / 3, 1e-9, f"{TAYLOR} pp. 238-239"),
    ("8 lb jute", "tex", 275.585915, 1e-8, "Encyclopaedia Britannica 11th ed., Jute"),
    ("2/21 Gala", "Nm", 8.4 / 2, 0.01, "a Shetland two-ply, also sold as about 2/8.4 Nm"),
    ("8/4 cotton 1600 yd/lb", "ypp", 1600, 1e-9, "trantor.is Project013: the label outweighs 1680"),
    ("800 yd per 8 oz", "ypp", 1600, 1e-9, "carpet warp tubes, as sold"),
    ("tex 30 x 12, 2560 m/kg", "tex", 390.6, 1e-4, "mallikerta.fi: the label outweighs 360 tex"),
    ("tex 30x12", "tex", 360, 1e-9, "mallikerta.fi, nominal"),
    ("40/2 linen 3300 yd per 8.8 oz", "lea", 20, 1e-9, "line linen tubes, as sold"),
]  # fmt: skip
SAME_LABEL: Final = [  # the same two numbers in five systems, m/kg
    ("8/2 cotton", 6773), ("NeW 2/8", 4516), ("Nm 8/2", 4000), ("8/2 linen", 2419), ("8 tex x 2", 62_500),
]  # fmt: skip


@pytest.mark.parametrize("system, for_one, factor", FACTORS)
def test_a_factor_between_systems(system: str, for_one: str, factor: float) -> None:
    tex = SYSTEMS[for_one].tex_from(1)
    assert SYSTEMS[system].number_from(tex) == pytest.approx(factor, rel=5e-6)


@pytest.mark.parametrize("label, system, number, within, source", FOLDS + PRINTED)
def test_a_printed_figure(label: str, system: str, number: float, within: float, source: str) -> None:
    tex = read_size(label).tex
    assert tex is not None, source
    assert SYSTEMS[system].number_from(tex) == pytest.approx(number, rel=within), source


@pytest.mark.parametrize("label, metres", SAME_LABEL)
def test_the_same_numbers_are_other_yarns_in_other_systems(label: str, metres: float) -> None:
    tex = read_size(label).tex
    assert tex is not None
    assert 1e6 / tex == pytest.approx(metres, rel=2e-4)


def test_swedish_mat_warp_is_sold_shorter_than_nominal() -> None:
    nominal, sold = read_size("12/6 cotton").tex, read_size("12/6 cotton 2800 m/kg").tex
    assert nominal is not None
    assert sold is not None
    assert 1 - nominal / sold == pytest.approx(0.17, abs=0.005), "sunnano.se: 1400 x 12/6, 17 % below 1693"
