"""Changes one field inside nested objects, and says what brings back the old ones to the letter.

Four things can be done: give a value, write ``null``, take a key away, and take it away together
with the objects around it that are left empty (which undoes a change that had to make them).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any


@dataclass(frozen=True, slots=True)
class FieldChange:
    """What becomes of one field.

    Parameters
    ----------
    names : tuple of str
        Its name, inside the objects named before it.
    value : object
        What it becomes; ``None`` takes it away.
    null : bool
        Without a value: write ``null`` instead.
    tidy : int
        How many objects around it go too where they are left empty.
    before : str or None
        Key in front of which a new key is put; else it comes last.
    """

    names: tuple[str, ...]
    value: Any = None
    null: bool = False
    tidy: int = 0
    before: str | None = None

    @property
    def takes_away(self) -> bool:
        """Whether the field is to be gone."""
        return self.value is None and not self.null

    def under(self, name: str) -> FieldChange:
        """Return the same change as seen from the object around it."""
        return replace(self, names=(name, *self.names))


def changed_field(fields: Mapping[str, Any], change: FieldChange) -> tuple[dict[str, Any], FieldChange]:
    """Return the fields with one changed, and the change that brings back the old ones.

    Examples
    --------
    >>> new, back = changed_field({"name": "Mat"}, FieldChange(("warp", "ends"), 37))
    >>> new, changed_field(new, back)[0]
    ({'name': 'Mat', 'warp': {'ends': 37}}, {'name': 'Mat'})
    """
    name, rest = change.names[0], change.names[1:]
    if not rest:
        return _with_key(fields, name, change), _as_it_is(fields, name)
    old = fields.get(name)
    if isinstance(old, Mapping):
        inner, back = changed_field(old, replace(change, names=rest))
        if old and not inner and len(rest) <= change.tidy:
            return _without(fields, name), back.under(name)
        return {**fields, name: inner}, back.under(name)
    if change.takes_away:
        return dict(fields), change
    inner, back = changed_field({}, replace(change, names=rest))
    if name in fields:
        return {**fields, name: inner}, _as_it_is(fields, name)
    return {**fields, name: inner}, replace(back.under(name), tidy=len(rest))


def _without(fields: Mapping[str, Any], name: str) -> dict[str, Any]:
    return {key: value for key, value in fields.items() if key != name}


def _with_key(fields: Mapping[str, Any], name: str, change: FieldChange) -> dict[str, Any]:
    if change.takes_away:
        return _without(fields, name)
    if name in fields or change.before not in fields:
        return {**fields, name: change.value}
    new: dict[str, Any] = {}
    for key, value in fields.items():
        if key == change.before:
            new[name] = change.value
        new[key] = value
    return new


def _as_it_is(fields: Mapping[str, Any], name: str) -> FieldChange:
    """Return the change to what a key is now: its value, ``null``, or not there; with its place."""
    if name not in fields:
        return FieldChange((name,))
    keys = list(fields)
    place = keys.index(name) + 1
    return FieldChange((name,), fields[name], fields[name] is None, 0, keys[place] if place < len(keys) else None)
