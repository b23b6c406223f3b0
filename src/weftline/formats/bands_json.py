"""Found bands as JSON: bands in the project file's own form, slips and what comes again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.weaving.bands import words_of
from weftline.core.weaving.motifs import borders, look_of, recurrences

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weftline.core.piece.values import Band
    from weftline.core.weaving.bands import FoundBands, Slip
    from weftline.core.weaving.motifs import Again


def band_data(bands: Sequence[Band]) -> list[dict[str, Any]]:
    """Return bands as the project file holds them, only the keys that were written."""
    return [band.model_dump(mode="json", exclude_unset=True) for band in bands]


def found_data(found: FoundBands) -> dict[str, Any]:
    """Return what the band finder says of one strip; lines, sheds and bands count from 1."""
    again = recurrences(found.bands)
    return {
        "bands": band_data(found.bands),
        "first_lines": [line + 1 for line in found.first_lines],
        "looks": [look_of(band) for band in found.bands],
        "words": words_of(found.bands),
        "slips": [_slip_data(slip) for slip in found.slips],
        "meant": band_data(found.meant),
        "again": [_again_data(each) for each in again],
        "borders": borders(found.bands, again),
    }


def _slip_data(slip: Slip) -> dict[str, Any]:
    other = None if slip.other is None else {"line": slip.other[0] + 1, "shed": slip.other[1] + 1}
    return {
        "line": slip.line + 1,
        "shed": slip.shed + 1,
        "thrown": slip.thrown,
        "meant": slip.meant,
        "agreeing": slip.agreeing,
        "other": other,
    }


def _again_data(again: Again) -> dict[str, Any]:
    return {
        "band": again.band + 1,
        "line": again.line + 1,
        "earlier_band": again.earlier_band + 1,
        "earlier_line": again.earlier_line + 1,
        "lines": again.lines,
        "turned": again.turned,
        "renamed": dict(again.renamed),
        "whole": again.whole,
    }
