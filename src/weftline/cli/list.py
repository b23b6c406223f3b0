"""``weftline list``: the stored pieces."""

from __future__ import annotations

from typing import Annotated

import typer

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption
from weftline.cli.stored import services_if_any


def list_pieces(
    everything: Annotated[bool, typer.Option("--all", help="Those put away too.")] = False, json: JsonOption = False
) -> None:
    """List the stored pieces, last changed first: id, when, name."""
    with services_if_any() as services:
        found = services.pieces.list(put_away=everything) if services else []
    if json:
        answer_json(
            [
                {
                    "id": one.id,
                    "name": one.name,
                    "updated": one.updated,
                    "put_away": one.put_away,
                    "seq": one.seq,
                }
                for one in found
            ]
        )
        return
    for one in found:
        say(f"{one.id:14} {one.updated[:16].replace('T', ' ')}  {one.name}{' (put away)' if one.put_away else ''}")
    if not found:
        say("No piece is stored here; take one in with: weftline import FILE")
