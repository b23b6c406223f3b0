"""What devices send, read and checked: every one has an id of its own, so that it can be sent again."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeVar

from pydantic import Field, StringConstraints, ValidationError

from weftline.core.piece.commands import Command
from weftline.core.piece.values import Value
from weftline.errors import EntryError, EntryTooLargeError

if TYPE_CHECKING:
    from collections.abc import Mapping

MAX_PAYLOAD_BYTES = 4_000_000
MAX_SEQ = 2**53

Word = Annotated[str, StringConstraints(min_length=1, max_length=200)]
Kind = TypeVar("Kind", bound=Value)
Seq = Annotated[int, Field(ge=0, le=MAX_SEQ)]


class Sender(Value):
    """Who sends, and under which id."""

    id: Word
    device: Word


class Change(Sender):
    """A change of a piece.

    ``base_seq`` is the last entry that the device knew; ``name`` says what undo will call it.
    """

    base_seq: Seq
    command: Command
    name: Annotated[str, StringConstraints(min_length=1, max_length=80)] | None = None


class Reversal(Sender):
    """Undo or redo.

    After a clash the weaver chooses: ``mine`` does it although others changed the same up to
    ``base_seq``, ``theirs`` leaves everything as it is and goes on to the change before.
    """

    choice: Literal["mine", "theirs"] | None = None
    base_seq: Seq = 0


def change_of(data: Mapping[str, Any]) -> Change:
    """Read a change.

    Raises
    ------
    EntryError
        For what is none.
    """
    return _read(Change, data)


def reversal_of(data: Mapping[str, Any]) -> Reversal:
    """Read an undo or redo.

    Raises
    ------
    EntryError
        For what is none.
    """
    return _read(Reversal, data)


def sender_of(entry_id: str, device: str) -> Sender:
    """Return a sender.

    Raises
    ------
    EntryError
        For an id or device that is empty, too long or no text.
    """
    return _read(Sender, {"id": entry_id, "device": device})


def _read(kind: type[Kind], data: Mapping[str, Any]) -> Kind:
    try:
        return kind.model_validate(data)
    except ValidationError as cause:
        error = cause.errors(include_url=False, include_input=False)[0]
        where = ".".join(str(part)[:40] for part in error["loc"]) or "the whole"
        raise EntryError(f"{where}: {error['msg'][0].lower()}{error['msg'][1:]}") from None


def payload_data(payload: Mapping[str, Any], limit: int | None = MAX_PAYLOAD_BYTES) -> dict[str, Any]:
    """Return a payload as it will be read back.

    Raises
    ------
    EntryError
        For what is not JSON.
    EntryTooLargeError
        Over the limit in bytes.
    """
    try:
        text = json.dumps(payload, ensure_ascii=False, allow_nan=False)
        size = len(text.encode())
    except (ValueError, TypeError, RecursionError):
        raise EntryError("an entry holds JSON: texts, finite numbers, lists and objects, not nested too deep") from None
    if limit is not None and size > limit:
        raise EntryTooLargeError(
            f"an entry has at most {limit / 1e6:g} MB, this one {size / 1e6:.1f} MB; send it in parts"
        )
    found: dict[str, Any] = json.loads(text)
    return found
