"""Projects that are written to: a stored one by its name, or a file, which is taken into the store the first time."""

from __future__ import annotations

import hashlib
from contextlib import contextmanager
from typing import TYPE_CHECKING

import typer

from weftline.cli.files import read_file
from weftline.cli.stored import DEVICE, services_if_any, stored_piece
from weftline.errors import EntryError, OutOfPlaceError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from weftline.core.piece.values import Project
    from weftline.wiring import Services

FIRST_ENTRY = "taken in"


@contextmanager
def kept_piece(path: Path) -> Iterator[tuple[Services, str]]:
    """Yield the services and the id of a piece; a file is taken in if it was not, and never written.

    Raises
    ------
    OutOfPlaceError
        When there is neither such a file nor a stored piece.
    PieceError
        When the file holds no piece that can be followed.
    """
    from weftline.wiring import opened

    if not path.is_file():
        with stored_piece(str(path)) as found:
            yield found
        return
    project = read_file(path)
    with opened() as services:
        piece = _found(services, path, project)
        if piece is None:
            piece = piece_of_file(path, project)
            _take_in(services, piece, project)
            typer.echo(f"{path} is taken into the store as {piece}; the file stays as it is.", err=True)
        elif services.pieces.project(piece) != project:
            typer.echo(f"{path} is not as the store has it; {piece} is woven as it is stored.", err=True)
        yield services, piece


@contextmanager
def piece_if_any(path: Path) -> Iterator[tuple[Services, str] | None]:
    """Yield the services and the id of a piece; nothing for a file that was never taken in. Nothing is written.

    Raises
    ------
    OutOfPlaceError
        When there is neither such a file nor a stored piece.
    PieceError
        When the file holds no piece that can be followed.
    """
    if not path.is_file():
        with stored_piece(str(path)) as found:
            yield found
        return
    project = read_file(path)
    with services_if_any() as services:
        piece = None if services is None else _found(services, path, project)
        yield None if services is None or piece is None else (services, piece)


def _found(services: Services, path: Path, project: Project) -> str | None:
    """Return the stored piece of a file: by id, also of one that was imported under another, or else by its path."""
    piece = piece_of_file(path, project)
    if _is_there(services, piece):
        return piece
    if project.id is None:
        return None
    every = (one.id for one in services.pieces.list(put_away=True))
    return next((one for one in every if services.pieces.open(one).draft.fields.get("id") == project.id), None)


def piece_of_file(path: Path, project: Project) -> str:
    """Return the id under which a file is taken in: its own, or else one by its absolute path."""
    if project.id is not None:
        return project.id
    return f"file-{hashlib.sha256(str(path.resolve()).encode('utf-8', 'surrogateescape')).hexdigest()[:16]}"


def _is_there(services: Services, piece: str) -> bool:
    try:
        services.pieces.open(piece)
    except OutOfPlaceError:
        return False
    return True


def _take_in(services: Services, piece: str, project: Project) -> None:
    try:
        services.pieces.create(project, DEVICE, FIRST_ENTRY, piece)
    except EntryError:
        if not _is_there(services, piece):  # another program was quicker otherwise
            raise
