"""What devices send to the log, read and checked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field, StringConstraints, TypeAdapter, ValidationError, model_validator

from weftline.core.piece.values import Count, Number, Shed, Value
from weftline.core.weaving.log import HAPPENINGS
from weftline.errors import EntryError
from weftline.services.requests import MAX_SEQ, Sender, Seq, Word

if TYPE_CHECKING:
    from collections.abc import Mapping

MAX_THROWS = 2000
"""Throws of one entry."""
MAX_TEXT = 10_000

Text = Annotated[str, StringConstraints(max_length=MAX_TEXT)]
Many = Annotated[int, Field(ge=1, le=1_000_000)]
Millimetres = Annotated[Number, Field(gt=0, le=1_000_000)]
Strand = Annotated[tuple[Word, Annotated[int, Field(ge=1, le=40)]], Field(strict=False)]


class SentPlanned(Value):
    """A planned throw: the version of the plan that the device had, and the place in it."""

    seq: Annotated[int, Field(ge=1, le=MAX_SEQ)]
    ordinal: Annotated[int, Field(ge=1, le=MAX_SEQ)]


class SentThrow(Value):
    """One throw; where it stands for a planned one, what is left out is as planned."""

    plan: SentPlanned | None = None
    strip: Word | None = None
    piece: Count | None = None
    shed: Shed | None = None
    strands: Annotated[tuple[Strand, ...], Field(strict=False, min_length=1, max_length=40)] | None = None
    begins_line: bool | None = None

    @model_validator(mode="after")
    def _whole(self) -> SentThrow:
        if self.plan is None and None in (self.strip, self.shed, self.strands):
            raise ValueError("a throw without a planned pick says its strip, shed and strands")
        return self


class LogSender(Sender):
    """Who sends, under which id, what it knew, and when it happened by the device's own clock."""

    base_seq: Seq = 0
    when: Annotated[str, StringConstraints(max_length=40)] | None = None


class Thrown(LogSender):
    """One pick of one strip, or several in the order thrown."""

    kind: Literal["thrown"]
    throws: Annotated[tuple[SentThrow, ...], Field(strict=False, min_length=1, max_length=MAX_THROWS)]


class Unwoven(LogSender):
    """So many throws taken back."""

    kind: Literal["unwoven"]
    throws: Many = 1


class Skipped(LogSender):
    """So many planned throws passed over."""

    kind: Literal["skipped"]
    throws: Many = 1


class Left(LogSender):
    """The plan is left."""

    kind: Literal["left"]


class Rejoined(LogSender):
    """The plan is followed again, from a place or from where it was left."""

    kind: Literal["rejoined"]
    plan: SentPlanned | None = None


class WeaveHere(LogSender):
    """The device that sends it weaves from now on."""

    kind: Literal["weave-here"]


class Chosen(LogSender):
    """What another device recorded was woven, or was not."""

    kind: Literal["chosen"]
    entries: Annotated[tuple[Seq, ...], Field(strict=False, min_length=1, max_length=10_000)]
    woven: bool


class Measured(LogSender):
    """What a tape said: length or width of so many lines, under tension or not."""

    kind: Literal["measured"]
    length_mm: Millimetres | None = None
    width_mm: Millimetres | None = None
    lines: Many | None = None
    tension: bool | None = Field(None, description="Whether the warp was under tension.")

    @model_validator(mode="after")
    def _something(self) -> Measured:
        if self.length_mm is None and self.width_mm is None:
            raise ValueError("a measurement has a length or a width")
        return self


class Note(LogSender):
    """A note."""

    kind: Literal["note"]
    text: Annotated[str, StringConstraints(min_length=1, max_length=MAX_TEXT)]


class Photograph(LogSender):
    """A photograph, by the name under which it is kept: SHA-256 of its bytes."""

    kind: Literal["photograph"]
    name: Annotated[str, StringConstraints(pattern="^[0-9a-f]{64}$")]
    text: Text = ""


class Happened(LogSender):
    """What happened to the warp."""

    kind: Literal["happened"]
    what: str
    end: Annotated[int, Field(ge=1, le=4000)] | None = None
    yarn: Word | None = None
    text: Text = ""

    @model_validator(mode="after")
    def _known(self) -> Happened:
        if self.what not in HAPPENINGS:
            raise ValueError(f"what happened is one of: {', '.join(HAPPENINGS)}")
        return self


LogEntry = Annotated[
    Thrown | Unwoven | Skipped | Left | Rejoined | WeaveHere | Chosen | Measured | Note | Photograph | Happened,
    Field(discriminator="kind"),
]
_ENTRIES: TypeAdapter[LogEntry] = TypeAdapter(LogEntry)


def log_entry_of(data: Mapping[str, Any]) -> LogEntry:
    """Read an entry of the log.

    Raises
    ------
    EntryError
        For what is none.
    """
    try:
        return _ENTRIES.validate_python(data)
    except ValidationError as cause:
        error = cause.errors(include_url=False, include_input=False)[0]
        where = ".".join(str(part)[:40] for part in error["loc"][1:]) or "the entry"
        said = error["msg"].removeprefix("Value error, ")
        raise EntryError(f"{where}: {said[0].lower()}{said[1:]}") from None


def payload_of(sent: LogEntry) -> dict[str, Any]:
    """Return what an entry says beside its sender, without what stands at its default."""
    about = {"id", "device", "base_seq", "kind"}
    return sent.model_dump(mode="json", exclude=about, exclude_defaults=True)
