"""The project exactly as a weaver wrote it: frozen values, checked one by one.

A key that was left out stays left out (``model_fields_set`` tells), so that a file written back
says no more than its weaver did; what stands for a missing key is told in ``settings``. Keys are
metric with the unit in the name, as in the project file that these values are.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, Tag

from weftline.core.weave.technique import MAX_SHAFTS

FORMAT_VERSION = 1
MAX_ENDS = 4000
MAX_PICKS = 200_000
MAX_STRIPS = 12
MAX_YARNS = 64
MAX_SECTIONS = 24
MAX_BANDS = 2000
MAX_WINDINGS = 4000

Number = int | float
Name = Annotated[str, Field(max_length=200)]
Share = Annotated[Number, Field(ge=0, le=0.9)]
Length = Annotated[Number, Field(ge=0, le=100_000)]
Count = Annotated[int, Field(ge=1, le=1000)]
Shaft = Annotated[int, Field(ge=1, le=MAX_SHAFTS)]
Shed = Annotated[tuple[Shaft, ...], Field(strict=False, fail_fast=True, min_length=1, max_length=MAX_SHAFTS)]
Sheds = Annotated[tuple[Shed, ...], Field(strict=False, fail_fast=True, min_length=1, max_length=MAX_SHAFTS)]

PLAIN, SPELT = "(plain)", "(spelt out)"
"""Tags of values that may be one word or an object; they are left out of paths shown to people."""


def _plain_or_spelt(value: Any) -> str:
    return SPELT if isinstance(value, (dict, BaseModel)) else PLAIN


class Value(BaseModel):
    """A frozen value that refuses keys it does not know, wrong types, NaN and infinities."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False, hide_input_in_errors=True)


class OwnTechnique(Value):
    """A technique written out: how many shafts, one repeat of the threading, the sheds of a line."""

    shafts: Shaft
    threading: Annotated[tuple[Shaft, ...], Field(strict=False, fail_fast=True, min_length=1, max_length=MAX_ENDS)]
    sheds: Sheds


class Weave(Value):
    """How the piece is woven."""

    technique: Annotated[
        Annotated[Annotated[str, Field(max_length=80)], Tag(PLAIN)] | Annotated[OwnTechnique, Tag(SPELT)],
        Discriminator(_plain_or_spelt),
    ] = Field("krokbragd", description="A trade name, or the technique written out with one repeat.")
    face: Literal["up", "down"] = Field("up", description="Which face of the cloth lies upwards in the loom.")


class Pack(Value):
    """How a yarn is sold."""

    mass_g: Annotated[Number, Field(ge=0.1, le=100_000)]
    price: Annotated[Number, Field(ge=0, le=1_000_000)] | None = None


class Yarn(Value):
    """A yarn, by its key in ``yarns``."""

    name: Name | None = None
    fibre: Annotated[str, Field(max_length=80)] | None = None
    size: Annotated[str, Field(max_length=80)] | None = Field(None, description="As the label says it: NeC 12/6.")
    m_per_kg: Annotated[Number, Field(ge=1, le=10_000_000)] | None = Field(
        None, description="Length by the label, in metres per kilogram; overrides the size."
    )
    colour: Annotated[str, Field(pattern="^#[0-9a-fA-F]{6}$")] | None = None
    strands: Annotated[int, Field(ge=1, le=40)] = Field(1, description="Strands wound together when it stands alone.")
    lot: Annotated[str, Field(max_length=80)] | None = None
    pack: Pack | None = None
    on_hand_g: Annotated[Number, Field(ge=0, le=10_000_000)] | None = None


class Edge(Value):
    """The edge of each strip: extra warp that is no column of the cloth."""

    kind: Literal["none", "floating", "doubled"]
    ends: Annotated[int, Field(ge=1, le=8)] = Field(1, description="Extra ends a side of each strip.")


class Warp(Value):
    """The warp."""

    yarn: Name | None = None
    sett_per_cm: Annotated[Number, Field(ge=0.1, le=60)] | None = None
    ends: Annotated[int, Field(ge=1, le=MAX_ENDS)] | None = Field(
        None, description="Threaded ends, where several sections lie on the same warp."
    )
    edge: Annotated[
        Annotated[Literal["none", "floating", "doubled"], Tag(PLAIN)] | Annotated[Edge, Tag(SPELT)],
        Discriminator(_plain_or_spelt),
    ] = "none"


class Beat(Value):
    """How many lines close up into a centimetre, and what that number rests on."""

    lines_per_cm: Annotated[Number, Field(ge=0.05, le=200)] | None = None
    basis: Literal["measured", "computed", "default", "label"] | None = None


LoomKind = Literal[
    "floor", "jack", "counterbalance", "countermarch", "table", "rigid heddle", "frame", "upright", "warp-weighted"
]


class Loom(Value):
    """The loom that the piece will be woven on."""

    kind: LoomKind | None = None
    shed: Literal["rising", "sinking"] | None = None
    shafts: Annotated[int, Field(ge=1, le=64)] | None = None
    treadles: Annotated[int, Field(ge=0, le=64)] | None = None
    reed_dents_per_10cm: Annotated[Number, Field(ge=0.1, le=1000)] | None = None
    waste_cm: Length | None = None
    weaving_width_cm: Annotated[Number, Field(ge=0.1, le=10_000)] | None = None


class Allowances(Value):
    """Shares and lengths by which warp and cloth differ."""

    draw_in: Share | None = None
    weft_take_up: Share | None = None
    warp_take_up: Share | None = None
    relax_width: Share | None = None
    relax_length: Share | None = None
    shrink_width: Share | None = None
    shrink_length: Share | None = None
    between_pieces_cm: Length | None = None
    sample_cm: Length | None = None
    tail_cm: Length | None = None
    heading_cm: Length | None = Field(None, description="Scrap at each end of a piece: warp, but no lines and no weft.")
    fringe_each_end_cm: Length | None = None


class Limits(Value):
    """Floats longer than this are a finding."""

    float_ends: Annotated[int, Field(ge=1, le=MAX_ENDS)] | None = None
    float_mm: Annotated[Number, Field(ge=0.1, le=10_000)] | None = None


class Pace(Value):
    """How fast this weaver throws."""

    picks_per_hour: Annotated[Number, Field(ge=0.1, le=100_000)] | None = None


Mirror = Literal["none", "lines", "picks"]
Meeting = Literal["single", "double"]


class Band(Value):
    """A run of written lines, optionally mirrored and repeated."""

    name: Name | None = None
    sheds: Sheds | None = Field(None, description="Shafts covered on the face by each pick of a line.")
    lines: Annotated[tuple[str, ...], Field(strict=False, fail_fast=True, min_length=1, max_length=MAX_PICKS)]
    times: Annotated[int, Field(ge=1, le=MAX_PICKS)] = 1
    mirror: Mirror = "none"
    middle: Meeting = "single"
    joint: Meeting | None = Field(None, description="Between times; as the middle where it is left out.")
    resume: bool = Field(False, description="Drop the first pick if the shed before it was the same.")
    lines_per_cm: Annotated[Number, Field(ge=0.05, le=200)] | None = None


class Strip(Value):
    """One width of cloth."""

    name: Name | None = None
    ends: Annotated[int, Field(ge=1, le=MAX_ENDS)]
    start: Annotated[int, Field(ge=1, le=MAX_ENDS)] = Field(1, description="Place in the repeat of the first end.")
    gap_after_cm: Annotated[Number, Field(ge=0, le=1000)] = 0
    idle_after: Annotated[int, Field(ge=0, le=MAX_ENDS)] = Field(0, description="Threaded ends left idle to its right.")
    seam_after: bool = Field(False, description="Will be sewn to the next strip.")
    bands: Annotated[tuple[Band, ...], Field(strict=False, fail_fast=True, max_length=MAX_BANDS)] = Field(
        (), description="From the foot up; none yet is a bare warp."
    )


class Section(Value):
    """A stretch of the warp's length with its own strips, woven ``pieces`` times."""

    name: Name | None = None
    pieces: Count = 1
    strips: Annotated[tuple[Strip, ...], Field(strict=False, fail_fast=True, min_length=1, max_length=MAX_STRIPS)]


class Project(Value):
    """A piece as written: the project file, version 1."""

    weftline: Literal[1] = Field(description="Version of the project file.")
    name: Name = "Untitled"
    id: Annotated[str, Field(pattern="^[A-Za-z0-9_-]{3,64}$")] | None = Field(
        None, description="By which the piece is found again in the store, wherever the file lies."
    )
    units: Literal["metric", "imperial"] = "metric"
    weave: Weave = Weave()
    yarns: Annotated[dict[str, Yarn], Field(min_length=1, max_length=MAX_YARNS)]
    ground: Name | None = None
    warp: Warp = Warp()
    beat: Beat = Beat()
    loom: Loom = Loom()
    allowances: Allowances = Allowances()
    limits: Limits = Limits()
    pace: Pace = Pace()
    currency: Annotated[str, Field(min_length=1, max_length=8)] | None = None
    sections: Annotated[tuple[Section, ...], Field(strict=False, fail_fast=True, min_length=1, max_length=MAX_SECTIONS)]
