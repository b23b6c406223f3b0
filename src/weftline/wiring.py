"""Where the parts meet: settings, then the store, then the services on it; the only place that knows everything.

SQL is loaded when services are opened and not before, so that quick commands stay quick.
"""

from __future__ import annotations

import os
import secrets
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from weftline.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.services.designing import Designing
    from weftline.services.following import Following
    from weftline.services.photographs import Photographs
    from weftline.services.pieces import Pieces
    from weftline.services.ports import Cache, Clock, EntryLog, Ids, PhotographFiles, Watch
    from weftline.services.shelf import Shelf
    from weftline.services.weaving import Weaving

LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
ID_LETTERS = 12


@dataclass(frozen=True, slots=True)
class Settings:
    """Where things lie.

    Parameters
    ----------
    data : Path
        The data folder.
    """

    data: Path

    @property
    def store(self) -> Path:
        """The file of entries."""
        return self.data / "weftline.sqlite3"

    @property
    def photographs(self) -> Path:
        """The folder of photographs."""
        return self.data / "photographs"


@dataclass(frozen=True, slots=True)
class Services:
    """Everything that can be asked for; ``watch`` is there where other processes may write too."""

    pieces: Pieces
    designing: Designing
    shelf: Shelf
    following: Following
    weaving: Weaving
    photographs: Photographs
    ids: Ids
    watch: Watch | None = None


class SystemClock:
    """The machine's clock."""

    def now(self) -> str:
        """Return date and time in UTC, to the millisecond."""
        return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


class RandomIds:
    """Identifiers by chance: twelve letters that are not mixed up in reading."""

    def new(self) -> str:
        """Return an identifier that nothing else has."""
        return "".join(secrets.choice(LETTERS) for _ in range(ID_LETTERS))


def data_folder() -> Path:
    """Return where Weftline keeps what it makes: ``WEFTLINE_DATA``, else the platform's user data folder."""
    import platformdirs

    return Path(os.environ.get("WEFTLINE_DATA") or platformdirs.user_data_dir("weftline", appauthor=False))


def make_data_folder(folder: Path) -> None:
    """Make the data folder, for its owner alone.

    Raises
    ------
    StoreError
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as cause:
        raise StoreError(f"{folder} cannot be made: {cause.strerror or cause}; set WEFTLINE_DATA") from None


def wire(
    log: EntryLog, cache: Cache, files: PhotographFiles, clock: Clock, ids: Ids, watch: Watch | None = None
) -> Services:
    """Return the services on any store, clock and ids."""
    from weftline.services.designing import Designing
    from weftline.services.following import Following
    from weftline.services.photographs import Photographs
    from weftline.services.pieces import Pieces
    from weftline.services.shelf import Shelf
    from weftline.services.weaving import Weaving

    pieces, shelf = Pieces(log, cache, clock, ids), Shelf(log, cache, clock)
    designing = Designing(pieces)
    following = Following(pieces, designing, shelf)
    return Services(pieces, designing, shelf, following, Weaving(pieces), Photographs(files), ids, watch)


@contextmanager
def opened(settings: Settings | None = None) -> Iterator[Services]:
    """Open the store and yield the services on it.

    Raises
    ------
    NewerStoreError
        When a newer Weftline wrote the store.
    StoreError
        When it cannot be opened.
    """
    from weftline.store.opening import open_store
    from weftline.store.photograph_folder import PhotographFolder

    settings = settings or Settings(data_folder())
    make_data_folder(settings.data)
    store = open_store(settings.store)
    try:
        files = PhotographFolder(settings.photographs)
        yield wire(store.log, store.cache, files, SystemClock(), RandomIds(), store.watch)
    finally:
        store.close()
