"""Photographs as files in a folder, each written whole or not at all."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from typing import TYPE_CHECKING

from weftline.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

PART = ".part"
"""How a file ends that is still being written."""


class PhotographFolder:
    """Files by name in one folder, which is made when the first is written.

    Parameters
    ----------
    folder : Path
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def put(self, name: str, data: bytes) -> None:
        """Write a file, on disk when this returns.

        Raises
        ------
        StoreError
        """
        path = self._folder / name
        part = self._folder / f"{name}.{secrets.token_hex(4)}{PART}"
        try:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            if path.is_file() and path.read_bytes() == data:
                return
            try:
                with part.open("xb") as file:
                    file.write(data)
                    file.flush()
                    os.fsync(file.fileno())
                part.replace(path)
            finally:
                with suppress(FileNotFoundError):
                    part.unlink()
            _sync_folder(self._folder)
        except OSError as cause:
            raise StoreError(f"{path} cannot be written: {cause.strerror or cause}") from None

    def get(self, name: str) -> bytes | None:
        """Return what a file holds.

        Raises
        ------
        StoreError
        """
        try:
            return (self._folder / name).read_bytes()
        except FileNotFoundError:
            return None
        except OSError as cause:
            raise StoreError(f"photograph {name[:12]} cannot be read: {cause.strerror or cause}") from None

    def names(self) -> Sequence[str]:
        """Return every name."""
        if not self._folder.is_dir():
            return []
        return sorted(path.name for path in self._folder.iterdir() if path.suffix != PART)


def _sync_folder(folder: Path) -> None:
    """Bring a folder's own list of names to disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
