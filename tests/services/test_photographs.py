"""Photographs: by their content, of a kind that can be shown, none too large."""

import hashlib
import io
import struct
import zlib

import pytest
from PIL import Image

from tests.fakes import FakeFiles
from weftline.errors import OutOfPlaceError, PhotographError
from weftline.services.photographs import MAX_BYTES, Photographs


def picture(kind: str = "PNG", size: tuple[int, int] = (6, 4)) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", size, "#a8382c").save(file, kind)
    return file.getvalue()


def vast_png(side: int) -> bytes:
    """A small file that says it is a vast picture."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"0")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("kind, media", [("PNG", "image/png"), ("JPEG", "image/jpeg"), ("WEBP", "image/webp")])
def test_a_photograph_is_named_by_its_content(kind: str, media: str) -> None:
    files = FakeFiles()
    data = picture(kind)
    kept = Photographs(files).keep(data)
    assert kept.name == hashlib.sha256(data).hexdigest()
    assert (kept.media_type, kept.width_px, kept.height_px, kept.bytes) == (media, 6, 4, len(data))
    assert Photographs(files).keep(data) == kept
    assert Photographs(files).read(kept.name) == (kept, data)
    assert files.names() == [kept.name]


@pytest.mark.parametrize(
    "data, says",
    [
        (b"", "no photograph that can be shown; use JPEG, PNG or WebP"),
        (b"<svg onload='alert(1)'/>", "no photograph that can be shown"),
        (picture("GIF"), "no photograph that can be shown"),
        (picture("BMP"), "no photograph that can be shown"),
        (picture()[:20], "no photograph that can be shown"),
        (bytes(MAX_BYTES + 1), r"at most 40 MB, this one 40\.0 MB"),
        (vast_png(15_000), "at most 200 megapixels"),
        (vast_png(60_000), "at most 200 megapixels"),
    ],
    ids=["empty", "svg", "gif", "bmp", "cut off", "large", "vast", "bomb"],
)
def test_what_is_no_photograph_is_refused(data: bytes, says: str) -> None:
    files = FakeFiles()
    with pytest.raises(PhotographError, match=says):
        Photographs(files).keep(data)
    assert files.files == {}


@pytest.mark.parametrize("name", ["", "../../etc/passwd", "A" * 64, "0" * 64, "0" * 63 + "\n"])
def test_a_photograph_that_is_not_there_is_told(name: str) -> None:
    with pytest.raises(OutOfPlaceError, match="no photograph is called"):
        Photographs(FakeFiles()).read(name)


def test_a_damaged_photograph_is_told() -> None:
    files = FakeFiles()
    kept = Photographs(files).keep(picture())
    files.files[kept.name] = picture(size=(7, 4))
    with pytest.raises(OutOfPlaceError, match="was damaged; put it in again"):
        Photographs(files).read(kept.name)
