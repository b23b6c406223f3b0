"""Whether a draft is a piece that could be read from a file; a change that makes it unreadable is refused."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from pydantic import ValidationError

from weftline.core.piece.draft import file_data
from weftline.core.piece.reading import check_project
from weftline.core.piece.values import Project
from weftline.formats.native import MAX_BYTES, dumps, loads, refuse_size

if TYPE_CHECKING:
    from weftline.core.piece.draft import Node

GROWS = 4
"""Laid out with its indents, a project file has at most so many times the bytes of its bare JSON."""


def read_draft(draft: Node) -> Project:
    """Return the project of a draft.

    Raises
    ------
    PieceError
        Where its file could not be read, in the words of the project file.
    """
    data = file_data(draft)
    text = json.dumps(data)
    try:
        project = Project.model_validate(data)
    except ValidationError:
        return loads(text)  # the same once more, for its sentence
    check_project(project)
    if len(text) * GROWS > MAX_BYTES:
        refuse_size(len(dumps(project).encode()))
    return project
