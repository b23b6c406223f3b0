"""Two devices changed the same: both versions side by side, in words, and what is sent to keep either."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weftline.core.piece import clashes
from weftline.core.piece.draft import BAND, LINE, SECTION, STRIP, path_to, place_of
from weftline.core.piece.names import yarn_name
from weftline.server.desk import fresh_id
from weftline.server.pages.words import listed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weftline.core.piece.draft import Node
    from weftline.core.piece.values import Project
    from weftline.services.answers import Asked, Difference

REVERSALS = ("undo", "redo")
OURS = frozenset({"entry", "base", "choice"})
"""Fields of a form that say who sends it; the others say what is asked for."""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that both changed: what it is, how it stands, what mine would make of it."""

    what: str
    theirs: str
    mine: str


@dataclass(frozen=True, slots=True)
class Again:
    """A form that is sent again: where to, and its fields."""

    action: str
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ClashView:
    """The page.

    Parameters
    ----------
    rows : tuple of Row
    mine : Again
    theirs : Again or None
        None where nothing needs to be sent to keep theirs; ``back`` is where they are seen.
    back : str
    """

    rows: tuple[Row, ...]
    mine: Again
    theirs: Again | None
    back: str


def clash_view(asked: Asked, draft: Node, project: Project, action: str, sent: Sequence[tuple[str, str]]) -> ClashView:
    """Return the page.

    Parameters
    ----------
    asked : Asked
    draft : Node
    project : Project
        The piece as it is now.
    action : str
        Where the form was sent to.
    sent : sequence of (str, str)
        Its fields.
    """
    wanted = tuple((name, value) for name, value in sent if name not in OURS)
    names = {key: yarn_name(yarn, key) for key, yarn in project.yarns.items()}
    rows = tuple(_row(one, draft, names) for one in asked.values)
    theirs = None
    if action.rpartition("/")[2] in REVERSALS:
        theirs = Again(action, (*wanted, ("choice", "theirs"), *_sender(asked)))
    mine = Again(action, (*wanted, ("choice", "mine"), *_sender(asked)))
    return ClashView(rows, mine, theirs, f"/pieces/{asked.stream}/design")


def _sender(asked: Asked) -> tuple[tuple[str, str], ...]:
    return ("entry", fresh_id()), ("base", str(asked.seq))


def _row(one: Difference, draft: Node, names: Mapping[str, str]) -> Row:
    where = _where(draft, one.node)
    match one.what:
        case clashes.PICK:
            return Row(f"{where}, pick {one.key}", _token(one.now, names), _token(one.asked, names))
        case clashes.FIELD:
            what = where if one.key == "text" else f"{_field(one.key, names)} of {where}"
            return Row(what, _value(one.now), _value(one.asked))
        case clashes.PLACE:
            return Row(f"Place of {where}", _stands(one.now, draft), _stands(one.asked, draft))
        case clashes.INTO:
            return Row(f"What is in {where}", _node(one.now, "gone"), f"with {_node(one.asked, 'a part fewer')}")
        case clashes.GONE:
            return Row(where, _node(one.now, "gone"), _node(one.asked, "taken away"))
        case _:
            return Row("The whole piece", "as it is now", "as it was in the version that is brought back")


def _where(draft: Node, node: str) -> str:
    """Return a part's name as a weaver says it: ``Mountains, line 2``."""
    path = path_to(draft, node)
    if not path:
        return "A part that is no longer there"
    if len(path) == 1:
        return "the piece"
    part = path[-1]
    named = next((one for one in reversed(path[1:]) if one.kind != LINE), part)
    above = path[path.index(named) - 1]
    words = {SECTION: "Section", STRIP: "Strip", BAND: "Band"}
    name = str(named.fields.get("name") or f"{words[named.kind]} {place_of(above, named) + 1}")
    return f"{name}, line {place_of(named, part) + 1}" if part.kind == LINE else name


def _field(key: str, names: Mapping[str, str]) -> str:
    """Return ``sett per cm``, ``colour of Madder``."""
    first, *more = key.split(".")
    if first == "yarns" and more:
        yarn = names.get(more[0], more[0])
        return f"{_plain(more[-1])} of {yarn}" if len(more) > 1 else f"the yarn {yarn}"
    return _plain(key.rpartition(".")[2])


def _plain(name: str) -> str:
    return name.replace("_", " ")


def _token(token: Any, names: Mapping[str, str]) -> str:
    if token is None:
        return "gone"
    return "not thrown" if token == "-" else listed([names.get(key, key) for key in str(token).split("+")])


def _value(value: Any) -> str:
    """Return a field's value in words; one that is not there is left to common practice."""
    if value is None:
        return "not said"
    if isinstance(value, dict):
        return ", ".join(f"{_plain(str(name))} {_value(one)}" for name, one in value.items()) or "not said"
    if isinstance(value, list | tuple):
        return listed([_value(one) for one in value])
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _stands(place: Mapping[str, Any] | None, draft: Node) -> str:
    if place is None:
        return "gone"
    after = place.get("after")
    return f"first in {_where(draft, place['parent'])}" if after is None else f"behind {_where(draft, after)}"


def _node(data: Mapping[str, Any] | None, missing: str) -> str:
    """Return what a part holds, its lines one after the other."""
    if data is None:
        return missing
    if data.get("kind") == LINE:
        return str(data["fields"]["text"])
    lines = _lines(data)
    return "; ".join([*lines[:8], "…"] if len(lines) > 8 else lines) or "no line"


def _lines(data: Mapping[str, Any]) -> list[str]:
    if data.get("kind") == LINE:
        return [str(data["fields"]["text"])]
    return [text for child in data.get("children") or () for text in _lines(child)]
