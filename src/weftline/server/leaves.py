"""The pages of the printed pattern as pictures: of the very PDF that is given out."""

from __future__ import annotations

import io
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

from weftline._version import __version__
from weftline.errors import OutOfPlaceError
from weftline.formats.native import dumps
from weftline.sheets.paper import PAPERS
from weftline.sheets.refusal import PatternError
from weftline.sheets.typeset import pattern

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan

PPI = 120
"""Pixels to the inch of paper: sharp two up on a wide screen, and alone on a telephone."""
CSS_PX_PER_MM = 96 / 25.4
MOST_PAGES = 400


@dataclass(frozen=True, slots=True)
class Print:
    """How a piece is to be printed.

    Parameters
    ----------
    paper : str
        ``a4`` or ``letter``.
    units : str
        ``metric`` or ``imperial``.
    """

    paper: str
    units: str

    def key(self, plan: Plan) -> tuple[object, ...]:
        """Return what tells one print from all others."""
        return ("print", dumps(plan.project), self.paper, self.units)

    def size_px(self) -> tuple[int, int]:
        """Return width and height of a page, px of a screen."""
        paper = PAPERS[self.paper]
        return round(paper.width_mm * CSS_PX_PER_MM), round(paper.height_mm * CSS_PX_PER_MM)

    def address(self, piece: str, seq: int, number: int) -> str:
        """Return where the picture of a page is found."""
        asked = f"paper={self.paper}&units={self.units}&seq={seq}&by={__version__}"
        return f"/pieces/{piece}/leaves/{number}.webp?{asked}"


def printed(plan: Plan, wish: Print) -> bytes:
    """Return a print as it is kept: how many pages, a line's end, the PDF.

    Raises
    ------
    PatternError
    """
    found = pattern(plan, wish.paper, wish.units)
    return b"%d\n%b" % (found.pages, found.pdf)


def parts(kept: bytes) -> tuple[int, bytes]:
    """Return how many pages a print has, and its PDF."""
    pages, _, pdf = kept.partition(b"\n")
    return int(pages), pdf


def leaf(kept: bytes, number: int, paper: str) -> bytes:
    """Return the picture of one page of a print, as WebP.

    Raises
    ------
    OutOfPlaceError
        For a page that it does not have.
    PatternError
        When the typesetter cannot read the pages.
    """
    import typst

    pages, pdf = parts(kept)
    if not 1 <= number <= pages:
        raise OutOfPlaceError(f"the pattern has pages 1 to {pages}, not {number}")
    size = PAPERS[paper]
    page = (
        f"#set page(width: {size.width_mm}mm, height: {size.height_mm}mm, margin: 0pt)\n"
        f'#image("pattern.pdf", page: {number}, width: 100%)\n'
    )
    with tempfile.TemporaryDirectory(prefix="weftline-") as folder:
        root = Path(folder)
        (root / "pattern.pdf").write_bytes(pdf)
        (root / "leaf.typ").write_text(page, encoding="utf-8")
        try:
            drawn = typst.compile(root / "leaf.typ", root=root, format="png", ppi=PPI, ignore_system_fonts=True)
        except typst.TypstError as cause:
            raise PatternError(f"page {number} cannot be shown: {cause.message.splitlines()[0]}") from cause
    assert isinstance(drawn, bytes)
    out = io.BytesIO()
    Image.open(io.BytesIO(drawn)).convert("RGB").save(out, format="WEBP", quality=88, method=0)
    return out.getvalue()
