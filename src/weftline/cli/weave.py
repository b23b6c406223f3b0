"""``weftline weave``: weaving in the terminal, every throw on disk before it is shown."""

from __future__ import annotations

import json as json_module
from typing import TYPE_CHECKING, Annotated

import typer

from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.stored import DEVICE
from weftline.cli.taken_in import kept_piece

if TYPE_CHECKING:
    from weftline.services.log_answers import Noted
    from weftline.wiring import Services


def weave(
    project: ProjectArgument,
    count: Annotated[
        int | None,
        typer.Option("--count", min=1, help="Acknowledge so many throws of the plan, one line each, and end."),
    ] = None,
    json: JsonOption = False,
) -> None:
    """Weave: space for the next throw, u to unweave. A file is taken into the store the first time, and only read.

    With --count, standard output has one line for each throw, its ordinal in the cloth, once it is on disk.
    """
    with kept_piece(project) as (services, piece):
        if services.weaving.woven(piece).device not in (None, DEVICE):
            services.weaving.weave_here(piece, services.ids.new(), DEVICE)
            typer.echo("Another device was weaving; this terminal weaves now.", err=True)
        if count is None:
            from weftline.cli.weave_keys import weave_by_keys

            weave_by_keys(services, piece)
        else:
            _weave_count(services, piece, count, json=json)


def _weave_count(services: Services, piece: str, count: int, *, json: bool) -> None:
    from weftline.errors import NothingLeftError

    for done in range(count):
        try:
            noted = services.weaving.throw_next(piece, services.ids.new(), DEVICE)
        except NothingLeftError as cause:
            if services.weaving.stand(piece).left:
                raise
            typer.echo(f"{str(cause)[0].upper()}{str(cause)[1:]}; {done} of {count} were thrown now.", err=True)
            return
        if noted.held is not None:
            typer.echo(
                "Another device took over the weaving; the last throw is kept for a choice. "
                "Weave on there, or call weave again to weave here.",
                err=True,
            )
            raise typer.Exit(2)
        _acknowledge(noted, json=json)


def _acknowledge(noted: Noted, *, json: bool) -> None:
    data = {"ordinal": noted.woven_picks, "seq": noted.seq, "id": noted.id}
    print(json_module.dumps(data) if json else noted.woven_picks, flush=True)
