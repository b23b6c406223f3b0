"""Every command under one roof."""

from __future__ import annotations

from typing import Annotated

import typer

from weftline._version import __version__
from weftline.cli import (
    bands,
    check,
    demo,
    export,
    foretell,
    history,
    import_,
    log,
    new,
    open_,
    pattern,
    picture,
    plan,
    resize,
    schema,
    sett,
    sley,
    steps,
    weave,
    yarn,
)
from weftline.cli import list as stored_list

app = typer.Typer(
    help="Plan and understand weft-faced cloth. Without a command: the workbench in your browser.",
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
    """Plan and understand weft-faced cloth. Without a command: the workbench in your browser."""
    if context.invoked_subcommand is None:
        open_.start(browser=True, demos=True)


app.command("open")(open_.open_workbench)
app.command("plan")(plan.plan)
app.command("check")(check.check)
app.command("picture")(picture.picture)
app.command("pattern")(pattern.pattern)
app.command("steps")(steps.steps)
app.command("bands")(bands.bands)
app.command("resize")(resize.resize)
app.command("foretell")(foretell.foretell)
app.command("yarn")(yarn.yarn)
app.command("sett")(sett.sett)
app.command("sley")(sley.sley)
app.command("new")(new.new)
app.command("demo")(demo.demo)
app.command("schema")(schema.schema)
app.command("list")(stored_list.list_pieces)
app.command("import")(import_.import_files)
app.command("export")(export.export)
app.command("history")(history.history)
app.command("weave")(weave.weave)
app.command("log")(log.log)
