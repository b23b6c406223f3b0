"""Arguments and options that several commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

ProjectArgument = Annotated[
    Path, typer.Argument(metavar="PROJECT", help="Path of a project file, or the name of a stored project; only read.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer in JSON.")]
ForceOption = Annotated[bool, typer.Option("--force", help="Write over a file that is there.")]


class Units(StrEnum):
    """Unit systems for people; files are always metric."""

    METRIC = "metric"
    IMPERIAL = "imperial"


UnitsOption = Annotated[
    Units | None, typer.Option("--units", help="Units of the answer; as the piece says if left out.")
]
