"""``weftline history``: what happened to a stored piece."""

from __future__ import annotations

from typing import Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption
from weftline.cli.stored import stored_piece


def history(
    piece: Annotated[str, typer.Argument(metavar="NAME", help="Name of a stored piece, or the beginning of its id.")],
    json: JsonOption = False,
) -> None:
    """List every entry of a stored piece in order; each is a version that export --version gives out."""
    with stored_piece(piece) as (services, found):
        lines = services.pieces.history(found)
    if json:
        answer_json(
            [
                {"seq": line.seq, "at": line.at, "device": line.device, "kind": line.kind, "name": line.name}
                for line in lines
            ]
        )
        return
    for line in lines:
        say(f"{line.seq:6}  {line.at[:16].replace('T', ' ')}  {line.name} ({line.device})")
