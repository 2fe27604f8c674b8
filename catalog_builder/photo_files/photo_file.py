"""A picture file opened: a known format, no larger than the limits, looked at before a pixel is read."""

from __future__ import annotations

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from threading import Lock

from PIL import Image, ImageChops

from catalog_builder.photo_files.heic import HOW_TO_ADD, HeicMissingError, is_heic, let_heic_be_read

MOST_PIXELS = 80_000_000
MOST_BYTES = 200_000_000
# A phone's MPO is opened as the JPEG that it begins with.
FORMATS = ("JPEG", "PNG", "WEBP")
HEIC = ("HEIF",)
EXPORT_AGAIN = "export it again, or take the line out"
EXPORT_SMALLER = "export it with fewer pixels"
PAPER = (255, 255, 255)
# What the decoders raise for bytes that are not a picture, or not a whole one.
DAMAGED = (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, OverflowError, struct.error)
_WARNINGS = Lock()


class PhotoError(ValueError):
    """A photo that cannot be used; its text says why, and ``mend`` what helps."""

    def __init__(self, why: str, mend: str = EXPORT_AGAIN) -> None:
        super().__init__(why)
        self.mend = mend


def closed(fault: OSError) -> PhotoError:
    """Give the error of a file that cannot be read."""
    return PhotoError(f"it cannot be read ({fault.strerror})", "close it in other programs and check its permissions")


def hold_weight(weight: int) -> None:
    """Refuse a file of more bytes than a photo has.

    Raises:
        PhotoError: it is larger.
    """
    if weight > MOST_BYTES:
        raise PhotoError(f"it has {weight / 1e6:.0f} MB, more than {MOST_BYTES // 1_000_000}", EXPORT_SMALLER)


@contextmanager
def unwarned() -> Iterator[None]:
    """Keep a damaged Exif block from being warned of: it is thrown away with the rest of it.

    Warnings are switched for the whole process, so that only one thread may do so at a time.
    """
    with _WARNINGS, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def opened(photo: Path | bytes) -> Image.Image:
    """Open a picture, from its file or its bytes, without reading its pixels.

    Raises:
        PhotoError: it is no picture of a known kind, or too large.
    """
    Image.MAX_IMAGE_PIXELS = None  # the size is checked here, before a pixel is read
    try:
        hold_weight(len(photo) if isinstance(photo, bytes) else photo.stat().st_size)
        formats = _formats(photo)
    except OSError as fault:
        raise closed(fault) from None
    try:
        with unwarned():
            image = Image.open(BytesIO(photo) if isinstance(photo, bytes) else photo, formats=formats)
    except DAMAGED:
        if formats == HEIC:
            raise PhotoError("it is a damaged HEIC picture") from None
        raise PhotoError("it is not a JPEG, PNG, WebP or HEIC picture") from None
    if image.width * image.height > MOST_PIXELS:
        size = f"{image.width} x {image.height}"
        image.close()
        raise PhotoError(f"it has {size} pixels, more than {MOST_PIXELS // 1_000_000} million", EXPORT_SMALLER)
    return image


def _formats(photo: Path | bytes) -> tuple[str, ...]:
    """Give the formats to open a photo as, by its first bytes: phones also name HEIC files ``.jpg``."""
    with BytesIO(photo) if isinstance(photo, bytes) else photo.open("rb") as file:
        if not is_heic(file.read(64)):
            return FORMATS
    try:
        let_heic_be_read()
    except HeicMissingError:
        raise PhotoError("it is a HEIC picture, and what reads those is not installed", HOW_TO_ADD) from None
    return HEIC


def orientation_of(image: Image.Image) -> int:
    """Give the Exif orientation that is still to be followed, 1 to 8; 1 is upright."""
    with unwarned():
        # A HEIC picture comes turned already; its tag is not to be followed once more.
        tag = 1 if image.format in HEIC else image.getexif().get(0x0112, 1)
    return tag if isinstance(tag, int) else 1


def plain(image: Image.Image) -> Image.Image:
    """Give the picture in eight bits: grey, RGB, RGBA, or CMYK where a profile is still to be applied."""
    if image.mode.startswith("I"):
        # Sixteen bits of grey: scaled down, where a plain conversion would clip to white.
        return image.convert("F").point(lambda value: value * (255.0 / 65535.0)).convert("L")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        return image.convert("RGBA")
    if image.mode == "CMYK":
        # Pillow takes every CMYK JPEG for Adobe's, which writes the inks upside down; others do not.
        return image.copy() if "adobe" in image.info else ImageChops.invert(image)
    return image.copy() if image.mode == "L" else image.convert("RGB")


def on_paper(picture: Image.Image) -> Image.Image:
    """Lay what is clear onto paper white; made smaller before, it takes a fraction of the memory."""
    if picture.mode != "RGBA":
        return picture
    sheet = Image.new("RGBA", picture.size, (*PAPER, 255))
    return Image.alpha_composite(sheet, picture).convert("RGB")


def upright(picture: Image.Image, orientation: int) -> Image.Image:
    """Turn a picture by its Exif orientation: the transforms of CIPA DC-008 as Pillow's own ImageOps does them."""
    ways = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_270,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_90,
    }
    return picture.transpose(ways[orientation])
