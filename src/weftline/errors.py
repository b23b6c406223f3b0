"""Every error that may reach a person.

::

    WeftlineError
    ├── PieceError (ValueError)        something written in a piece cannot be followed; carries its path
    │   └── PieceTooLargeError         more ends, picks, strips or bytes than a piece may have
    ├── YarnSizeError (ValueError)     a yarn size that no numbering system reads (core.yarn)
    ├── DensityError (ValueError)      a sett, a reed or a width that nobody can read (core.looms)
    ├── SampleError (ValueError)       something in a sample that no cloth can have (core.learning)
    ├── OutOfPlaceError (LookupError)  a name, file, piece or demo piece that is not there
    │   └── SeveralError               a name that fits several pieces
    ├── EntryError (ValueError)        what was sent is no entry: its id, its base, its shape
    │   └── EntryTooLargeError         more bytes than an entry may have
    ├── NothingLeftError (LookupError) nothing left to undo or redo
    ├── PhotographError (ValueError)   what was given is no photograph, or too large a one
    ├── StoreError (RuntimeError)      the store cannot be opened, read or written
    │   └── NewerStoreError            it was written by a newer Weftline
    └── PictureError (ValueError)      a picture that cannot be drawn at the size asked for

Each message is one sentence: what is wrong, where, and what would be right.
"""


def quoted(text: str, limit: int = 40) -> str:
    """Return a text as messages quote it: short, on one line, control characters spelt out.

    Examples
    --------
    >>> quoted("x" * 100, limit=8)
    "'xxxxxxxx...'"
    """
    spelt = repr(text[: 2 * limit])
    return spelt if len(spelt) <= limit + 2 else f"{spelt[: limit + 1]}...{spelt[0]}"


class WeftlineError(Exception):
    """Root of all errors meant for a person.

    Attributes
    ----------
    code : str
        Short stable name of the kind of error.
    hint : str or None
        The next step, where the message alone does not tell it.
    """

    code = "weftline"

    def __init__(self, message: str, *, hint: str | None = None) -> None:
        super().__init__(message)
        self.hint = hint


class PieceError(WeftlineError, ValueError):
    """Something written in a piece cannot be followed.

    Attributes
    ----------
    path : str
        Where in the file, as ``sections[0].strips[0].ends``; empty for the file as a whole.
    """

    code = "piece"

    def __init__(self, path: str, message: str, *, hint: str | None = None) -> None:
        super().__init__(f"{path}: {message}" if path else message, hint=hint)
        self.path = path


class PieceTooLargeError(PieceError):
    """A piece with more ends, picks, strips or bytes than one may have."""

    code = "piece-too-large"


class OutOfPlaceError(WeftlineError, LookupError):
    """A file, demo piece or name that is not there."""

    code = "not-there"


class SeveralError(OutOfPlaceError):
    """A name that fits several pieces."""

    code = "several"


class EntryError(WeftlineError, ValueError):
    """What was sent is no entry."""

    code = "entry"


class EntryTooLargeError(EntryError):
    """An entry of more bytes than one may have."""

    code = "entry-too-large"


class NothingLeftError(WeftlineError, LookupError):
    """Nothing is left to undo or redo."""

    code = "nothing-left"


class PhotographError(WeftlineError, ValueError):
    """What was given is no photograph that can be kept."""

    code = "photograph"


class StoreError(WeftlineError, RuntimeError):
    """The store cannot be opened, read or written."""

    code = "store"


class NewerStoreError(StoreError):
    """A store that a newer Weftline wrote."""

    code = "store-newer"


class PictureError(WeftlineError, ValueError):
    """A picture that cannot be drawn at the size asked for."""

    code = "picture"
