"""Sets the pages with Typst: document in, PDF bytes out; the same document gives the same bytes."""

from __future__ import annotations

import json
import tempfile
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from weftline.sheets.document import Document, document
from weftline.sheets.fonts import FAMILIES, font_folders
from weftline.sheets.paper import PAPERS
from weftline.sheets.refusal import PatternError

if TYPE_CHECKING:
    import typst

    from weftline.core.plan.plan import Plan

NO_DATE = 0
"""The date in the file's data: always the same, so that nothing depends on when it was printed."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """The printed pattern.

    Parameters
    ----------
    pdf : bytes
    pages : int
    paper : str
    """

    pdf: bytes
    pages: int
    paper: str


def pattern(plan: Plan, paper: str = "a4", units: str | None = None) -> Pattern:
    """Return the pattern of a piece as PDF.

    Parameters
    ----------
    plan : Plan
    paper : str
        ``a4`` or ``letter``.
    units : str, optional
        ``metric`` or ``imperial``; as the piece says if left out.

    Raises
    ------
    PatternError
        When a font is missing or the typesetter has anything to say against the pages.
    """
    if paper not in PAPERS:
        raise PatternError(f"no paper is called {paper}; use {' or '.join(PAPERS)}")
    pdf, pages = typeset(document(plan, PAPERS[paper], units or plan.project.units))
    return Pattern(pdf, pages, paper)


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    import typst

    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(path) for path in font_folders()]
    )
    missing = [family for family in FAMILIES if family not in fonts.families()]
    if missing:
        raise PatternError(f"the font {missing[0]} cannot be read; install its package anew, then print again")
    return fonts


def typeset(pages: Document) -> tuple[bytes, int]:
    """Return the PDF of a document and how many pages it has.

    Raises
    ------
    PatternError
    """
    import typst

    fonts = _fonts()
    with tempfile.TemporaryDirectory(prefix="weftline-") as folder:
        root = Path(folder)
        _lay_out(root, pages)
        try:
            compiler = typst.Compiler(root / "pattern.typ", root=root, font_paths=fonts, ignore_system_fonts=True)
            pdf, warnings = compiler.compile_with_warnings(
                format="pdf", timestamp=NO_DATE, pdf_standards="ua-1", pdf_tags=True
            )
            count = compiler.query("<last-page>", field="value", one=True)
        except typst.TypstError as cause:
            raise PatternError(f"the pages cannot be set: {cause.message.splitlines()[0]}") from cause
    if warnings:
        raise PatternError(f"the pages cannot be set as meant: {warnings[0].message.splitlines()[0]}")
    assert isinstance(pdf, bytes)
    return pdf, int(json.loads(count))


def _lay_out(root: Path, pages: Document) -> None:
    """Write templates, data and pictures where the typesetter finds them."""
    for template in (resources.files("weftline.sheets") / "templates").iterdir():
        if template.name.endswith(".typ"):
            (root / template.name).write_bytes(template.read_bytes())
    (root / "data.json").write_text(json.dumps(pages.data, ensure_ascii=False), encoding="utf-8")
    for name, content in pages.files.items():
        (root / name).write_bytes(content)
