"""The words that a yarn label uses, and what each means. Spellings: common practice, from memory.

Compared in folded case. English first, then the Nordic languages, German, French, Italian, Spanish.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from weftline.core.yarn.systems import DRAM_G, GRAIN_G, OUNCE_G, POUND_G, SPYNDLE_M, YARD_M

Kind = Literal[
    "number", "sign", "system", "fibre", "length", "mass",
    "ply", "single", "count", "twist", "finished", "strands", "link", "plain", "unknown",
]  # fmt: skip


@dataclass(frozen=True)
class Word:
    """What a word does: its kind, the system or fibre it names, its unit (m or g)."""

    kind: Kind
    name: str = ""
    unit: Fraction = Fraction(0)


_SYSTEMS = {
    "tex": "tex tt", "dtex": "dtex decitex", "ktex": "ktex kilotex", "den": "den denier deniers td",
    "Ne": "ne nec neb ecc cc ncc", "Nm": "nm metric metrisch metrique métrique metrisk metrico",
    "Nw": "nw nek", "lea": "lea leas nel", "cut": "cut cuts", "run": "run runs",
    "ysk": "ysk ysw yorkshire", "gala": "gala galashiels", "woe": "woe", "dew": "dew dewsbury",
    "Nf": "nf", "jute": "tj aberdeen", "grain120": "grain120", "manchester": "manchester",
    "oldden": "oldden", "asb_am": "asb_am asbestos", "ypp": "ypp yppd",
}  # fmt: skip
_FIBRES = {
    "cotton": "cotton bomull bomuld bomullsgarn baumwolle coton cotone algodón algodon puuvilla",
    "linen": "linen flax lin lingarn hør hor leinen flachs lino pellava tow",
    "cottolin": "cottolin cottoline",
    "wool": "wool woollen woolen merino lambswool shetland alpaca mohair cashmere yak camel llama"
    " angora ull ullgarn uld wolle laine lana villa",
    "silk": "silk silke seide soie seta seda silkki",
    "hemp": "hemp hampa hamp hanf chanvre canapa cáñamo hamppu ramie nettle",
    "jute": "jute juta juutti",
    "made": "viscose rayon tencel lyocell modal bamboo acrylic nylon polyamide polyester",
    "worsted": "worsted kammgarn kamgarn",
}
_LENGTHS = {
    "m meter metre meters metres mtr mtrs mètre mètres metri metro metros lm lfm": Fraction(1),
    "km kilometre kilometer kilometres kilometers": Fraction(1000),
    "yd yds yard yards": YARD_M,
    "ft foot feet": YARD_M / 3,
    "spyndle spyndles spindle spindles": SPYNDLE_M,
}
_MASSES = {
    "g gr gram grams gramm gramme grammes grammi": Fraction(1),
    "kg kgs kilo kilos kilogram kilograms": Fraction(1000),
    "hg hekto": Fraction(100),
    "mg": Fraction(1, 1000),
    "lb lbs pound pounds": POUND_G,
    "oz ozs ounce ounces": OUNCE_G,
    "dram drams": DRAM_G,
    "grain grains": GRAIN_G,
}
_OTHERS: dict[Kind, str] = {
    "ply": "ply plies plied fold fach fädig trådig trådet tråds fils capi cabos",
    "single": "single singles",
    "strands": "strand strands end ends doubled double doubles dubbel dobbelt doppelt",
    "finished": "r",
    "twist": "z",
    "count": "s",
    "link": "per pr pro par i in à a auf to from",
    "plain": "count counts number no nr size yarn yarns garn of and old thrown spun french skein"
    " west england rug rugs carpet warp weft seine twine thread mattvarp swedish label folded"
    " f x tpm glass weaving knitting weight fine natural",
}


def _entries() -> Iterator[tuple[str, Word]]:
    """Every spelling with its meaning."""
    for name, spellings in _SYSTEMS.items():
        yield from ((spelling, Word("system", name)) for spelling in spellings.split())
    for name, spellings in _FIBRES.items():
        yield from ((spelling, Word("fibre", name)) for spelling in spellings.split())
    for spellings, unit in _LENGTHS.items():
        yield from ((spelling, Word("length", "", unit)) for spelling in spellings.split())
    for spellings, unit in _MASSES.items():
        yield from ((spelling, Word("mass", "", unit)) for spelling in spellings.split())
    for kind, spellings in _OTHERS.items():
        yield from ((spelling, Word(kind)) for spelling in spellings.split())


WORDS: Mapping[str, Word] = MappingProxyType(dict(_entries()))
"""Every word by its folded spelling."""

_PRINTED = {"nm": "Nm", "ne": "Ne", "nec": "NeC", "nel": "NeL", "nek": "NeK", "nf": "Nf"}
_OFFERED = tuple(
    spelling
    for spelling, word in WORDS.items()
    if word.kind in ("system", "length", "mass") or (word.kind == "fibre" and len(spelling) > 4)
)


def fibres_in(text: str) -> tuple[str, ...]:
    """The fibre groups that a text names, each once; words that name none are passed over.

    >>> fibres_in("Merino wool and silk")
    ('wool', 'silk')
    """
    letters = "".join(c if c.isalpha() else " " for c in text[:80].casefold())
    found = (WORDS.get(word, Word("unknown")) for word in letters.split())
    return tuple(dict.fromkeys(word.name for word in found if word.kind == "fibre"))


def likely_slip(word: str) -> str | None:
    """The known word that `word` is one slip away from (a letter more, less, other or swapped).

    Short words only count when a letter was doubled or added, so that colours stay colours.

    >>> likely_slip("nmm"), likely_slip("denire"), likely_slip("tuna")
    ('Nm', 'denier', None)
    """
    for known in _OFFERED:
        if _one_slip(word, known):
            return _PRINTED.get(known, known)
    return None


def _one_slip(word: str, known: str) -> bool:
    """Whether one added, lost, changed or swapped letter parts the two."""
    if word == 2 * known:
        return True
    if len(known) < 2 or abs(len(word) - len(known)) > 1 or word == known:
        return False
    start = 0
    while start < min(len(word), len(known)) and word[start] == known[start]:
        start += 1
    rest, wanted = word[start:], known[start:]
    if len(word) > len(known):
        return rest[1:] == wanted
    if len(known) < 3:
        return False
    if len(word) < len(known):
        return rest == wanted[1:]
    swapped = len(rest) > 1 and rest[1::-1] == wanted[:2] and rest[2:] == wanted[2:]
    return swapped or (len(known) > 2 and rest[1:] == wanted[1:])
