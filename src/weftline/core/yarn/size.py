"""What a label's size turns out to be: readings, and the question when there are several."""

from dataclasses import dataclass

from weftline.errors import WeftlineError


class YarnSizeError(WeftlineError, ValueError):
    """A size that no yarn-number system can read.

    Attributes
    ----------
    text : the size as it was given, whole
    hint : a likely repair to offer, or None
    """

    code = "yarn-size"

    def __init__(self, message: str, *, text: str = "", hint: str | None = None) -> None:
        """`message` is one sentence: what is wrong and what would be right."""
        super().__init__(message, hint=hint)
        self.text = text


@dataclass(frozen=True)
class Reading:
    """One way to read a size.

    Attributes
    ----------
    tex : g per 1000 m of the whole yarn, all plies together
    system : an id of ``SYSTEMS``
    count : the number in that system as the label prints it (of one ply, unless `words` says
        "finished"), or of the whole yarn where the label gives a length; None for unlike plies
    ply : how many singles make the yarn, None where the label is silent
    words : the reading in words, such as "cotton count 12, 6 plies"
    """

    tex: float
    system: str
    count: float | None
    ply: int | None
    words: str


@dataclass(frozen=True)
class Size:
    """A size as printed, with every way to read it.

    Attributes
    ----------
    text : the size as it was given
    readings : at least one, the likeliest first
    question : what to ask the weaver, None exactly when there is one reading
    """

    text: str
    readings: tuple[Reading, ...]
    question: str | None

    def __post_init__(self) -> None:
        """Hold the promise: never no reading, and a question exactly when there are several."""
        if not self.readings or (self.question is None) != (len(self.readings) == 1):
            raise ValueError("a size has one reading, or several and a question")

    @property
    def tex(self) -> float | None:
        """Tex of the whole yarn (g/km), None while the size is ambiguous: asked, not guessed."""
        return self.readings[0].tex if self.question is None else None

    @property
    def likeliest(self) -> Reading:
        """The reading to show first; a plan must not rest on it while there is a question."""
        return self.readings[0]


def shown(text: str) -> str:
    """The text as a message may quote it: at most 40 characters, all of them printable."""
    clean = " ".join("".join(c if c.isprintable() else " " for c in text[:200]).split())
    return clean if len(clean) <= 40 else clean[:39] + "…"


def number_words(value: float) -> str:
    """A number as a sentence prints it.

    >>> number_words(12.0), number_words(22.5), number_words(1000000)
    ('12', '22.5', '1000000')
    """
    return f"{float(value):.10g}"
