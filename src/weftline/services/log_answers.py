"""What the log answers when something was sent to it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Noted:
    """An entry of the log is on disk.

    Parameters
    ----------
    id : str
    seq : int
        Its place; of one that was sent before, its first place.
    is_new : bool
    held : str or None
        Why it is held for a choice; None where it was done.
    woven_picks : int
        How many throws lay in the cloth after it, where it threw; how many do now for others.
    """

    id: str
    seq: int
    is_new: bool
    held: str | None = None
    woven_picks: int = 0
