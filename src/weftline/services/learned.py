"""The shelf's samples, and what they taught: the belief that every forecast starts from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from weftline.core.learning.belief import NO_SAMPLE, Belief, Doubt, learn
from weftline.core.learning.readings import Reading, readings_of
from weftline.errors import WeftlineError
from weftline.formats.sample_json import sample_of

if TYPE_CHECKING:
    from weftline.core.learning.sample import Sample
    from weftline.services.shelf import ShelfState

SAMPLES = "samples"


@dataclass(frozen=True, slots=True)
class KeptSample:
    """A sample as it lies on the shelf.

    Parameters
    ----------
    id, name, piece : str
    sample : Sample or None
        None where it cannot be read.
    readings : tuple of Reading
    doubts : tuple of Doubt
        Readings that count for less.
    trouble : str
        Why it cannot be read.
    """

    id: str
    name: str
    piece: str
    sample: Sample | None
    readings: tuple[Reading, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    trouble: str = ""

    @property
    def words(self) -> str:
        """What was read, as far as a tape says it: ``62 lines over 150 mm, width in the reed and on the loom``."""
        if self.sample is None:
            return ""
        sample = self.sample
        said = []
        if sample.counted is not None:
            said.append(f"{sample.counted.lines[0]:g} lines over {sample.counted.over_mm:g} mm")
        widths = [
            name for name in ("in_reed_mm", "on_loom_mm", "off_loom_mm", "washed_mm") if getattr(sample.width, name)
        ]
        said += ["widths"] if len(widths) > 1 else []
        said += ["weight"] if sample.weighed is not None else []
        said += ["thickness"] if sample.thickness_mm is not None else []
        said += ["warp marks"] if sample.marks is not None else []
        said += ["a length of weft"] if sample.laid else []
        said += [f"sett {sample.verdict.value}"] if sample.verdict is not None else []
        return ", ".join(said)


@dataclass(frozen=True, slots=True)
class Learned:
    """The samples in the order they were kept, and what is held after them."""

    samples: tuple[KeptSample, ...] = ()
    belief: Belief = NO_SAMPLE


def learned(shelf: ShelfState) -> Learned:
    """Return what the samples of the shelf taught, each taken in the order it was kept."""
    documents = shelf.documents.get(SAMPLES, {})
    return _learned(tuple((key, _Same(document)) for key, document in documents.items()))


@dataclass(frozen=True, eq=False)
class _Same:
    """A document that is the same as long as it is the same object: the shelf never changes one in place."""

    document: dict[str, Any]

    def __hash__(self) -> int:
        return id(self.document)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.document is self.document


@lru_cache(maxsize=4)
def _learned(documents: tuple[tuple[str, _Same], ...]) -> Learned:
    belief = NO_SAMPLE
    found = []
    for key, same in documents:
        document = same.document
        name, piece = str(document.get("name", "Sample")), str(document.get("piece", ""))
        try:
            sample = sample_of(key, document)
            belief, doubts = learn(belief, sample)
        except WeftlineError as cause:
            found.append(KeptSample(key, name, piece, None, trouble=str(cause)))
            continue
        found.append(KeptSample(key, name, piece, sample, tuple(readings_of(sample)), doubts))
    return Learned(tuple(found), belief)
