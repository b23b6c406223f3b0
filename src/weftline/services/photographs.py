"""Photographs: files named by their content, of a kind that can be shown."""

from __future__ import annotations

import hashlib
import io
import re
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PIL import Image, UnidentifiedImageError

from weftline.errors import OutOfPlaceError, PhotographError, quoted

if TYPE_CHECKING:
    from weftline.services.ports import PhotographFiles

MAX_BYTES = 40_000_000
MAX_PIXELS = 200_000_000
KINDS = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
_NAME = re.compile("[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph that is kept.

    Parameters
    ----------
    name : str
        SHA-256 of its bytes.
    media_type : str
    width_px, height_px : int
        As stored; turning by its camera's mark is left to who shows it.
    bytes : int
    """

    name: str
    media_type: str
    width_px: int
    height_px: int
    bytes: int


class Photographs:
    """Photographs by their content.

    Parameters
    ----------
    files : PhotographFiles
    """

    def __init__(self, files: PhotographFiles) -> None:
        self._files = files

    def keep(self, data: bytes) -> Photograph:
        """Keep a photograph; it is on disk when this returns, and keeping it again changes nothing.

        Raises
        ------
        PhotographError
            For what is no JPEG, PNG or WebP, or larger than 40 MB or 200 megapixels.
        """
        photograph = look_at(data)
        self._files.put(photograph.name, data)
        return photograph

    def read(self, name: str) -> tuple[Photograph, bytes]:
        """Return a photograph and its bytes.

        Raises
        ------
        OutOfPlaceError
            When it is not there, or not what its name says.
        """
        data = self._files.get(name) if _NAME.fullmatch(name) else None
        if data is None:
            raise OutOfPlaceError(f"no photograph is called {quoted(name)}")
        photograph = look_at(data)
        if photograph.name != name:
            raise OutOfPlaceError(f"the file of photograph {name[:12]} was damaged; put it in again")
        return photograph, data


def look_at(data: bytes) -> Photograph:
    """Return what a photograph is, by its content alone.

    Raises
    ------
    PhotographError
    """
    if len(data) > MAX_BYTES:
        raise PhotographError(f"a photograph has at most 40 MB, this one {len(data) / 1e6:.1f} MB; make it smaller")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=list(KINDS)) as image:
                width, height, kind = image.width, image.height, image.format or ""
    except Image.DecompressionBombError:
        width, height, kind = MAX_PIXELS, 2, ""
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise PhotographError("this is no photograph that can be shown; use JPEG, PNG or WebP") from None
    if width * height > MAX_PIXELS:
        raise PhotographError("a photograph has at most 200 megapixels; make it smaller")
    return Photograph(hashlib.sha256(data).hexdigest(), KINDS[kind], width, height, len(data))
