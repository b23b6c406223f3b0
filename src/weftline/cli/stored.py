"""The store as commands meet it: services for those that write, and nothing made by those that only read."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from weftline.errors import OutOfPlaceError, SeveralError, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.piece.values import Project
    from weftline.services.learned import Learned
    from weftline.wiring import Services

DEVICE = "command line"
"""Who sends what this program's commands change."""


@contextmanager
def services_if_any() -> Iterator[Services | None]:
    """Yield the services, or nothing where nothing was ever stored: reading makes no store."""
    from weftline.wiring import Settings, data_folder, opened

    settings = Settings(data_folder())
    if not settings.store.exists():
        yield None
        return
    with opened(settings) as services:
        yield services


@contextmanager
def stored_piece(words: str) -> Iterator[tuple[Services, str]]:
    """Yield the services and the id of the piece with this name or id.

    Raises
    ------
    OutOfPlaceError
        When there is none, or the name fits several.
    """
    with services_if_any() as services:
        if services is None:
            raise OutOfPlaceError(f"no piece is called {quoted(words)}; none is stored yet (weftline import FILE)")
        yield services, services.pieces.find(words)


def stored_project(words: str) -> Project | None:
    """Return the stored project with this name or id, if there is one.

    Raises
    ------
    SeveralError
        When the name fits several.
    """
    try:
        with stored_piece(words) as (services, piece):
            return services.pieces.project(piece)
    except SeveralError:
        raise
    except OutOfPlaceError:
        return None


def shelf_learned() -> Learned:
    """Return what the samples on the shelf taught; nothing where nothing was ever stored."""
    from weftline.services.learned import Learned, learned

    with services_if_any() as services:
        return Learned() if services is None else learned(services.shelf.open())
