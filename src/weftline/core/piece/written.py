"""Reads what a weaver wrote against its own piece: technique, yarns, sheds and lines."""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weftline.core.piece.values import MAX_WINDINGS, OwnTechnique
from weftline.core.weave.line import NOT_THROWN, LineTextError, WrittenLine, is_yarn_key, read_line, strands_of
from weftline.core.weave.technique import TECHNIQUES, Technique, find_technique, is_unconfirmed, shed_mask
from weftline.errors import PieceError, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.piece.values import Band, Project
    from weftline.core.weave.picks import Winding

THIS_PIECE = "written out in the piece"


def listed(words: Iterable[str], last: str = "or") -> str:
    """Return words as a sentence lists them: ``o, r or s``; long lists are cut."""
    shown = list(words)
    if len(shown) > 12:
        shown = [*shown[:11], "another"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} {last} {shown[-1]}"


def technique_of(project: Project) -> Technique:
    """Return the technique of a piece.

    Raises
    ------
    PieceError
        For a name that is not known, or sheds that the technique's shafts cannot make.
    """
    written = project.weave.technique
    return _own_technique(written) if isinstance(written, OwnTechnique) else technique_named(written)


def technique_named(written: str, path: str = "weave.technique") -> Technique:
    """Return the technique of a trade name.

    Raises
    ------
    PieceError
        For a name that is not known, or whose threading no source tells; it says where, by ``path``.
    """
    known = find_technique(written)
    if known is not None:
        return known
    if is_unconfirmed(written):
        raise PieceError(
            path,
            f"weavers use the name {quoted(written)} for more than one threading; write out its shafts, threading and sheds",
        )
    names = [technique.name for technique in TECHNIQUES]
    close = difflib.get_close_matches(written.lower(), names, n=1)
    meant = f"did you mean {close[0]!r}?" if close else f"use {listed(names)}, or write out shafts, threading and sheds"
    raise PieceError(path, f"no technique is called {quoted(written)}; {meant}")


def _own_technique(written: OwnTechnique) -> Technique:
    path = "weave.technique"
    for place, shaft in enumerate(written.threading):
        if shaft > written.shafts:
            raise PieceError(
                f"{path}.threading[{place}]", f"shaft {shaft} is not there; the technique has {written.shafts}"
            )
    check_sheds(written.sheds, written.shafts, f"{path}.sheds")
    return Technique("own", written.threading, written.sheds, written.shafts, THIS_PIECE)


def check_sheds(sheds: tuple[tuple[int, ...], ...], shafts: int, path: str) -> None:
    """Refuse sheds that name a shaft twice or one that is not there.

    Raises
    ------
    PieceError
    """
    for place, shed in enumerate(sheds):
        if len(set(shed)) != len(shed):
            raise PieceError(f"{path}[{place}]", f"a shed names each shaft once, this one is {list(shed)}")
        if max(shed) > shafts:
            raise PieceError(f"{path}[{place}]", f"shaft {max(shed)} is not there; the technique has {shafts}")


def check_yarns(project: Project) -> None:
    """Refuse yarn keys that no line could name, and references to yarns that are not there.

    Raises
    ------
    PieceError
    """
    for key in project.yarns:
        if not is_yarn_key(key):
            raise PieceError(
                "yarns",
                f"a yarn cannot be called {quoted(key, 20)}; use a letter, or a short word of letters and digits",
            )
    for path, named in (("ground", project.ground), ("warp.yarn", project.warp.yarn)):
        if named is not None and named not in project.yarns:
            raise PieceError(path, f"no yarn is called {quoted(named, 20)}; use {listed(project.yarns)}")


@dataclass(frozen=True, slots=True)
class ReadBand:
    """One band with its lines read.

    Parameters
    ----------
    sheds : tuple of int
        Bit masks, in the order of the line.
    lines : tuple of WrittenLine
        As written, ``*n`` not yet multiplied out.
    windings : tuple of tuple of int
        For each line and shed the index of the winding, -1 where nothing is thrown.
    """

    sheds: tuple[int, ...]
    lines: tuple[WrittenLine, ...]
    windings: tuple[tuple[int, ...], ...]


@dataclass(slots=True)
class LineReader:
    """Reads the lines of one piece and numbers the windings that they use."""

    project: Project
    technique: Technique
    windings: dict[Winding, int] = field(default_factory=dict)
    _read: dict[tuple[str, int], tuple[WrittenLine, tuple[int, ...]]] = field(default_factory=dict)
    _strands: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._strands = {key: yarn.strands for key, yarn in self.project.yarns.items()}

    def read(self, band: Band, path: str) -> ReadBand:
        """Read one band.

        Raises
        ------
        PieceError
            With the path of the line that cannot be read.
        """
        if band.sheds is not None:
            check_sheds(band.sheds, self.technique.shafts, f"{path}.sheds")
        sheds = band.sheds or self.technique.sheds
        known, count = self._read, len(sheds)
        lines, windings = [], []
        for place, text in enumerate(band.lines):
            found = known.get((text, count))
            if found is None:
                try:
                    found = known[text, count] = self._line(text, count)
                except LineTextError as cause:
                    raise PieceError(f"{path}.lines[{place}]", str(cause)) from None
            lines.append(found[0])
            windings.append(found[1])
        return ReadBand(tuple(shed_mask(shed) for shed in sheds), tuple(lines), tuple(windings))

    def _line(self, text: str, sheds: int) -> tuple[WrittenLine, tuple[int, ...]]:
        line = read_line(text)
        if len(line.tokens) != sheds:
            said = f"{len(line.tokens)} {'yarn' if len(line.tokens) == 1 else 'yarns'}"
            needed = "1 shed" if sheds == 1 else f"{sheds} sheds"
            raise LineTextError(f"{quoted(text, 60)} gives {said} for {needed}; give each shed a yarn or '-'")
        return line, tuple(-1 if token == NOT_THROWN else self._winding(token) for token in line.tokens)

    def _winding(self, token: str) -> int:
        for key in token.split("+"):
            if key not in self._strands:
                raise LineTextError(f"no yarn is called {key}; use {listed(self._strands)}")
        found = self.windings.setdefault(strands_of(token, self._strands), len(self.windings))
        if found >= MAX_WINDINGS:
            raise LineTextError(f"a piece winds at most {MAX_WINDINGS:,} different strands together, this makes more")
        return found
