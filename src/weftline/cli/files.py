"""Files that a command reads or writes; the only place in the command line that touches the disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weftline.errors import OutOfPlaceError

if TYPE_CHECKING:
    from pathlib import Path

    from weftline.core.piece.values import Project


def read_project(path: Path) -> Project:
    """Read a project file, or the stored project that is called so where there is no such file.

    Raises
    ------
    OutOfPlaceError
        When there is neither, or it cannot be read.
    SeveralError
        When several stored projects are called so.
    PieceError
        When it holds no piece that can be followed.
    """
    from weftline.cli.stored import stored_project

    what = _not_a_file(path)
    if what is None:
        return read_file(path)
    found = stored_project(str(path))
    if found is None:
        raise OutOfPlaceError(f"{path} {what}; give the path of a project file, or the name of a stored project")
    return found


def read_file(path: Path) -> Project:
    """Read a project file; its size is looked at before it is opened.

    Raises
    ------
    OutOfPlaceError
        When there is no such file, or it cannot be read.
    PieceError
        When it holds no piece that can be followed.
    """
    from weftline.formats.native import MAX_BYTES, loads, refuse_size

    what = _not_a_file(path)
    if what is not None:
        raise OutOfPlaceError(f"{path} {what}; give the path of a project file")
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= MAX_BYTES else b""
    except OSError as cause:
        raise OutOfPlaceError(f"{path} cannot be read: {cause.strerror or cause}") from None
    refuse_size(size)
    return loads(data)


def _not_a_file(path: Path) -> str | None:
    try:
        if path.is_file():
            return None
        return "is a folder" if path.is_dir() else "is not a plain file" if path.exists() else "is not there"
    except OSError as cause:
        return f"cannot be looked at: {cause.strerror or cause}"


def write_file(path: Path, data: str | bytes, *, force: bool = True) -> None:
    """Write a file.

    Raises
    ------
    OutOfPlaceError
        When it cannot be written, or is there already and ``force`` is not set.
    """
    if not force and path.exists():
        raise OutOfPlaceError(f"{path} is there already; choose another name or add --force")
    try:
        path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    except OSError as cause:
        raise OutOfPlaceError(f"{path} cannot be written: {cause.strerror or cause}") from None
