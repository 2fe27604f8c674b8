"""The pixels of a photo or scan, upright and no more of them than tracing needs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.photo_files.photo_file import (
    DAMAGED,
    EXPORT_AGAIN,
    PhotoError,
    on_paper,
    opened,
    orientation_of,
    plain,
    upright,
)
from catalog_builder.tracing.arrays import Pixels

# With more than a phone's usual twelve million the picture is made smaller; A4 at 300 dots per inch has 8.7 million.
ENOUGH_PIXELS = 12_500_000
# Two channels that nowhere differ by more are of a grey picture.
GREY_WITHIN = 3
# Exif tags of what made a picture; the dots per inch that a camera writes mean nothing.
_CAMERA_TAGS = (0x010F, 0x0110)
_SHORTEST_SIDE = 300
_EXPECTED = "a photo or scan of a drawing: JPEG, PNG, WebP, or HEIC where that is installed"


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """Pixels of shape (height, width), or (height, width, 3) where there is colour.

    ``dpi`` is what the file says of these pixels, if a scanner wrote it; ``shrunk`` is how many of them stand for one
    pixel of the file, along a side.
    """

    pixels: Pixels
    dpi: float | None
    path: Path
    shrunk: float = 1.0

    @property
    def place(self) -> Place:
        """The file, for messages."""
        return Place(path=self.path.as_posix())

    @property
    def width(self) -> int:
        """The width in pixels."""
        return int(self.pixels.shape[1])

    @property
    def height(self) -> int:
        """The height in pixels."""
        return int(self.pixels.shape[0])


def read_sheet_picture(path: Path) -> SheetPicture:
    """Read a picture of a drawing, under the same limits as photos of products.

    Raises:
        MistakeError: it is missing, no plain file, no picture of a known kind, too large, too small or damaged.
    """
    place = Place(path=path.as_posix())
    if not path.is_file():
        wrong = "there is no such file" if not path.exists() else "this is no plain file"
        raise MistakeError.at(place, wrong=wrong, expected=_EXPECTED, mend="check the path")
    try:
        with opened(path) as image:
            return _read(image, path)
    except PhotoError as fault:
        mend = "export it again as JPEG or PNG, whole and unchanged" if fault.mend == EXPORT_AGAIN else fault.mend
        raise MistakeError.at(place, wrong=str(fault), expected=_EXPECTED, mend=mend) from None
    except DAMAGED:
        wrong, mend = "it is damaged or cut short", "copy it from the phone or scanner once more"
        raise MistakeError.at(place, wrong=wrong, expected=_EXPECTED, mend=mend) from None


def _read(image: Image.Image, path: Path) -> SheetPicture:
    if min(image.size) < _SHORTEST_SIDE:
        raise PhotoError(
            f"it has {image.width} x {image.height} pixels, too few to trace",
            "take the picture as the camera or scanner made it",
        )
    orientation, dpi, width = orientation_of(image), _written_dpi(image), image.width
    if image.format in ("JPEG", "MPO") and image.width * image.height > 4 * ENOUGH_PIXELS:
        image.draft(None, (image.width // 2, image.height // 2))
    picture = on_paper(plain(image))
    image.close()
    if picture.width * picture.height > ENOUGH_PIXELS:
        times = (ENOUGH_PIXELS / (picture.width * picture.height)) ** 0.5
        size = round(picture.width * times), round(picture.height * times)
        picture = picture.resize(size, Image.Resampling.BILINEAR, reducing_gap=2.0)
    shrunk = picture.width / width
    if picture.mode == "CMYK":
        picture = picture.convert("RGB")
    if orientation in range(2, 9):
        picture = upright(picture, orientation)
    pixels = np.asarray(picture)
    if pixels.ndim == 3 and _is_grey(pixels):
        pixels = np.ascontiguousarray(pixels[..., 1])
    return SheetPicture(pixels, dpi * shrunk if dpi else None, path, shrunk)


def _is_grey(pixels: Pixels) -> bool:
    some = pixels[::5, ::5].astype(np.int16)
    return bool(np.ptp(some, axis=2).max() < GREY_WITHIN)


def _written_dpi(image: Image.Image) -> float | None:
    """Give the dots per inch that a scanner wrote; None for a camera's and for those that programs write unasked."""
    written: Any = image.info.get("dpi")
    try:
        across, down = float(written[0]), float(written[1])
        made_by_camera = any(image.getexif().get(tag) for tag in _CAMERA_TAGS)
    except (TypeError, ValueError, IndexError, KeyError, ZeroDivisionError, *DAMAGED):
        return None
    is_scan = abs(across - down) < 1 and 100 <= across <= 2400
    return across if is_scan and not made_by_camera else None
