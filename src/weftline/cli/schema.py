"""``weftline schema``: the JSON Schema of the project file."""

from __future__ import annotations

from typing import Annotated

import typer

from weftline.cli.answers import answer_json


def schema(json: Annotated[bool, typer.Option("--json", help="The answer is JSON anyway.")] = False) -> None:
    """Print the JSON Schema (2020-12) of the project file, version 1."""
    from weftline.formats.native import schema as schema_of

    answer_json(schema_of())
