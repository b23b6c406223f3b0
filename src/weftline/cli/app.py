"""Every command under one roof."""

from __future__ import annotations

from typing import Annotated

import typer

from weftline._version import __version__
from weftline.cli import check, demo, new, picture, plan, schema, steps

app = typer.Typer(
    help="Plan and understand weft-faced cloth. Without a command: the demo pieces, planned and drawn.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(__version__)
        raise typer.Exit


@app.callback(invoke_without_command=True)
def root(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Plan and understand weft-faced cloth. Without a command: the demo pieces, planned and drawn."""
    if context.invoked_subcommand is None:
        demo.show_all()


app.command("plan")(plan.plan)
app.command("check")(check.check)
app.command("picture")(picture.picture)
app.command("steps")(steps.steps)
app.command("new")(new.new)
app.command("demo")(demo.demo)
app.command("schema")(schema.schema)
