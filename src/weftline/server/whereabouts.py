"""Where something went wrong, in the words of a weaver: the band and the line, not the path in a file."""

from __future__ import annotations

import contextlib
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weftline.core.piece.draft import Node
    from weftline.errors import PieceError

_PLACE = re.compile(r"sections\[(\d+)\]\.strips\[(\d+)\]\.bands\[(\d+)\](?:\.lines\[(\d+)\])?")


def in_place(cause: PieceError, draft: Node) -> PieceError:
    """Return an error that names band and line as a weaver does, not as the file does."""
    found = _PLACE.fullmatch(cause.path)
    if found is None or not str(cause).startswith(f"{cause.path}: "):
        return cause
    section, strip, band, line = (None if part is None else int(part) for part in found.groups())
    name = f"Band {(band or 0) + 1}"
    with contextlib.suppress(IndexError):
        name = draft.children[section or 0].children[strip or 0].children[band or 0].fields.get("name") or name
    where = name if line is None else f"{name}, line {line + 1}"
    return type(cause)("", f"{where}: {str(cause).removeprefix(f'{cause.path}: ')}", hint=cause.hint)
