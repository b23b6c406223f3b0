"""The fonts of the pages: where they lie, which letters they have, how wide a text is."""

from __future__ import annotations

import struct
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from PIL import ImageFont

from weftline.sheets.refusal import PatternError

FAMILIES = ("Atkinson Hyperlegible", "Noto Sans")
"""The first for everything; the second has the Greek and Cyrillic letters that the first lacks."""

PACKAGES = ("fontpkg_atkinson_hyperlegible", "fontpkg_noto_sans")
REGULAR = ("AtkinsonHyperlegible-Regular.ttf", "NotoSans[wdth,wght].ttf")
BOLD = ("AtkinsonHyperlegible-Bold.ttf", "NotoSans[wdth,wght].ttf")


def font_folders() -> tuple[Path, ...]:
    """Return the folder of each family.

    Raises
    ------
    PatternError
        When one is not installed.
    """
    folders = []
    for family, package in zip(FAMILIES, PACKAGES, strict=True):
        spec = find_spec(package)
        folder = Path(spec.origin).parent / "files" if spec and spec.origin else None
        if folder is None or not folder.is_dir():
            name = package.replace("_", "-")
            raise PatternError(f"the font {family} is not here; install the package {name}, then print again")
        folders.append(folder)
    return tuple(folders)


def _cmap(data: bytes) -> bytes:
    count = struct.unpack(">H", data[4:6])[0]
    for place in range(count):
        tag, _, offset, length = struct.unpack(">4sLLL", data[12 + 16 * place : 28 + 16 * place])
        if tag == b"cmap":
            return data[offset : offset + length]
    return b""


def _segments(table: bytes) -> set[int]:
    """Return the letters of a cmap subtable of format 4 (segments; OpenType 1.9, 'cmap')."""
    twice = struct.unpack(">H", table[6:8])[0]
    words = struct.unpack(f">{2 * twice}H", table[14 : 14 + twice] + table[16 + twice : 16 + 4 * twice])
    half = twice // 2
    ends, starts, deltas, offsets = (words[half * place : half * (place + 1)] for place in range(4))
    base = 16 + 3 * twice
    found = set()
    for place, (end, start, delta, offset) in enumerate(zip(ends, starts, deltas, offsets, strict=True)):
        for letter in range(start, min(end, 0xFFFE) + 1):
            glyph = letter
            if offset:
                at = base + 2 * place + offset + 2 * (letter - start)
                glyph = struct.unpack(">H", table[at : at + 2])[0]
                if not glyph:
                    continue
            if (glyph + delta) & 0xFFFF:
                found.add(letter)
    return found


def letters_of(data: bytes) -> frozenset[int]:
    """Return the code points that a TrueType font has a glyph for (cmap formats 4 and 12)."""
    cmap = _cmap(data)
    found: set[int] = set()
    for place in range(struct.unpack(">H", cmap[2:4])[0] if cmap else 0):
        offset = struct.unpack(">L", cmap[8 + 8 * place : 12 + 8 * place])[0]
        table = cmap[offset:]
        kind = struct.unpack(">H", table[:2])[0]
        if kind == 4:
            found |= _segments(table)
        elif kind == 12:
            for group in range(struct.unpack(">L", table[12:16])[0]):
                first, last, _ = struct.unpack(">LLL", table[16 + 12 * group : 28 + 12 * group])
                found.update(range(first, last + 1))
    return frozenset(found)


@lru_cache(maxsize=1)
def known_letters() -> frozenset[int]:
    """Return every code point that the pages can show."""
    files = [folder / name for folder, name in zip(font_folders(), REGULAR, strict=True)]
    return frozenset().union(*(letters_of(file.read_bytes()) for file in files))


@lru_cache(maxsize=8)
def _measure(bold: bool) -> ImageFont.FreeTypeFont:
    folder, name = font_folders()[0], (BOLD if bold else REGULAR)[0]
    return ImageFont.truetype(str(folder / name), 100)


@lru_cache(maxsize=8192)
def width_mm(text: str, size_pt: float, *, bold: bool = False, spacing: float = 1.0) -> float:
    """Return how wide a text is set in one line; letters from the second family are taken as wide, figures are as wide as each other."""
    ours = _measure(bold)
    strange = sum(ord(letter) > 0x24F for letter in text)
    plain = "".join("0" if letter.isdigit() else letter for letter in text if ord(letter) <= 0x24F)
    spaces = text.count(" ") * (spacing - 1) * ours.getlength(" ") / 100
    return (ours.getlength(plain) / 100 + strange * 0.75 + spaces) * size_pt * 25.4 / 72


def line_count(text: str, size_pt: float, room_mm: float, *, bold: bool = False) -> int:
    """Return how many lines a text takes at most, broken between words."""
    lines, used = 1, 0.0
    space = width_mm(" ", size_pt, bold=bold)
    for word in text.replace("\u200b", "").split():
        width = width_mm(word, size_pt, bold=bold)
        if used and used + space + width > room_mm * 0.97:
            lines, used = lines + 1, 0.0
        used += width + (space if used else 0.0)
        if used > room_mm * 0.97:
            more = int(used // (room_mm * 0.9))
            lines, used = lines + more, used - more * room_mm * 0.9
    return lines
