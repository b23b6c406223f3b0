"""One yarn for another, everywhere or in some lines; selected lines kept as roles, used in other yarns."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from weftline.core.piece.commands import Insert, Set, Together
from weftline.core.piece.draft import LINE, Node, path_to, walk
from weftline.core.weave.line import NOT_THROWN, LineTextError, read_line
from weftline.errors import OutOfPlaceError, PieceError
from weftline.server.desk import fresh_id

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.commands import Command, Single

ROLES = ("ground", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
"""What the yarns of a motif are called: the one that shows most, then in the order in which they come."""
_WORD = re.compile(r"\S+")


def exchange(draft: Node, old: str, new: str, lines: Sequence[str] = ()) -> Command:
    """Return the change of one yarn for another; in some lines, or in all.

    Raises
    ------
    PieceError
        Where the yarn is not used.
    """
    wanted = set(lines)
    ops: list[Single] = []
    for node in walk(draft):
        if node.kind == LINE and (not wanted or node.id in wanted):
            text = _exchanged(node.fields["text"], old, new)
            if text != node.fields["text"]:
                ops.append(Set(node=node.id, field="text", value=text))
    if not wanted and draft.fields.get("ground") == old:
        ops.append(Set(node=draft.id, field="ground", value=new))
    if not ops:
        raise PieceError("", f"no line {'here ' if wanted else ''}uses {old}; choose another yarn to swap")
    return ops[0] if len(ops) == 1 else Together(ops=tuple(ops))


def _exchanged(text: str, old: str, new: str) -> str:
    def word(found: re.Match[str]) -> str:
        keys = found.group().split("+")
        return "+".join(new if key == old else key for key in keys)

    return _WORD.sub(word, text)


def roles_of(texts: Sequence[str], ground: str | None) -> list[str]:
    """Return lines with roles in place of yarns: the piece's ground is ground, the others in the order they come.

    Raises
    ------
    PieceError
        For lines that cannot be read, or of more yarns than there are roles.
    """
    found: list[list[str]] = []
    order: list[str] = []
    for text in texts:
        try:
            line = read_line(text)
        except LineTextError as cause:
            raise PieceError("", str(cause)) from None
        found.append(text.split())
        order += [key for token in line.tokens if token != NOT_THROWN for key in token.split("+")]
    keys = list(dict.fromkeys(order))
    if ground not in keys:
        ground = max(keys, key=order.count)
    keys = [key for key in keys if key == ground] + [key for key in keys if key != ground]
    if len(keys) > len(ROLES):
        raise PieceError("", f"a motif has at most {len(ROLES)} yarns, this one has {len(keys)}")
    names = dict(zip(keys, ROLES, strict=False))
    return [" ".join("+".join(names.get(key, key) for key in word.split("+")) for word in words) for words in found]


def in_yarns(lines: Sequence[str], yarns: Mapping[str, str]) -> list[str]:
    """Return a motif's lines with yarns in place of roles.

    Raises
    ------
    PieceError
        For a role that has no yarn.
    """

    def word(text: str) -> str:
        if text[0] in "*×" or text in ("back", NOT_THROWN):
            return text
        missing = [role for role in text.split("+") if role not in yarns]
        if missing:
            raise PieceError("", f"the motif's {missing[0]} yarn has none to stand for it; choose one")
        return "+".join(yarns[role] for role in text.split("+"))

    return [" ".join(word(one) for one in line.split()) for line in lines]


def used_roles(lines: Sequence[str]) -> list[str]:
    """Return the roles that a motif has, ground first."""
    words = {role for line in lines for word in line.split() for role in word.split("+")}
    return [role for role in ROLES if role in words]


def put_above(draft: Node, at: str, texts: Sequence[str]) -> tuple[Command, str]:
    """Return the change that puts lines above a line, or as a band on top of a strip; and the first new id.

    Raises
    ------
    OutOfPlaceError
    """
    path = path_to(draft, at)
    if not path or path[-1].kind not in (LINE, "strip", "band"):
        raise OutOfPlaceError("this part is no longer in the piece; load the page again")
    lines: list[dict[str, Any]] = [
        {"id": fresh_id(), "kind": LINE, "fields": {"text": text}, "children": []} for text in texts
    ]
    if path[-1].kind == LINE:
        after, ops = at, []
        for line in lines:
            ops.append(Insert(parent=path[-2].id, after=after, node=line))
            after = line["id"]
        return (ops[0] if len(ops) == 1 else Together(ops=tuple(ops))), str(lines[0]["id"])
    strip = path[2]
    band = {"id": fresh_id(), "kind": "band", "fields": {}, "children": lines}
    below = path[-1].id if path[-1].kind == "band" else (strip.children[-1].id if strip.children else None)
    return Insert(parent=strip.id, after=below, node=band), str(lines[0]["id"])
