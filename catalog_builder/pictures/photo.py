"""Photos: any phone's picture becomes sRGB in several sizes and two formats, upright, with nothing else in it."""

from __future__ import annotations

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from threading import Lock

from PIL import Image, ImageCms, ImageOps

# The long edge of each size in pixels, the largest first: smaller ones are made from larger ones.
LONG_EDGES = (1600, 960, 480)
MOST_PIXELS = 80_000_000
# A phone's MPO is opened as the JPEG that it begins with.
FORMATS = ("JPEG", "PNG", "WEBP")
PAPER = (255, 255, 255)
# What the decoders raise for bytes that are not a picture, or not a whole one.
DAMAGED = (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, OverflowError, struct.error)
_WARNINGS = Lock()


class PhotoError(ValueError):
    """A photo that cannot be used; its text says why."""


@dataclass(frozen=True, slots=True)
class Rendition:
    """One size of a photo: its pixels, and the bytes of it as JPEG and as WebP."""

    width: int
    height: int
    jpeg: bytes
    webp: bytes


@dataclass(frozen=True, slots=True)
class Prints:
    """All sizes of a photo, the smallest first, and its mean colour as #rrggbb."""

    renditions: tuple[Rendition, ...]
    colour: str


def check_photo(path: Path) -> None:
    """Look at a photo's head: that it is a picture of a known kind and not too large.

    Raises:
        PhotoError: it is not.
    """
    _opened(path).close()


def make_prints(path: Path) -> Prints:
    """Make all sizes of a photo.

    Raises:
        PhotoError: it is not a picture that can be read to its end.
    """
    image = _opened(path)
    try:
        with image:
            return _prints(image)
    except DAMAGED:
        raise PhotoError("it is damaged or cut short") from None


@contextmanager
def _unwarned() -> Iterator[None]:
    """Keep a damaged Exif block from being warned of: it is thrown away with the rest of it.

    Warnings are switched for the whole process, so that only one thread may do so at a time.
    """
    with _WARNINGS, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def _opened(path: Path) -> Image.Image:
    Image.MAX_IMAGE_PIXELS = None  # the size is checked here, before a pixel is read
    try:
        with _unwarned():
            image = Image.open(path, formats=FORMATS)
    except DAMAGED:
        raise PhotoError("it is not a JPEG, PNG or WebP picture") from None
    if image.width * image.height > MOST_PIXELS:
        size = f"{image.width} x {image.height}"
        image.close()
        raise PhotoError(f"it has {size} pixels, more than {MOST_PIXELS // 1_000_000} million")
    return image


def _prints(image: Image.Image) -> Prints:
    with _unwarned():
        orientation = image.getexif().get(0x0112, 1)
    largest = LONG_EDGES[0]
    if image.format in ("JPEG", "MPO"):
        # The decoder can give a half, quarter or eighth at once; it asks for the size before turning.
        image.draft("RGB" if image.mode == "RGB" else None, (largest, largest))
    profile = image.info.get("icc_profile")
    picture = _plain(image)
    picture.thumbnail((largest, largest), Image.Resampling.LANCZOS, reducing_gap=3.0)
    picture = _in_srgb(picture, profile)
    if orientation in range(2, 9):
        picture = _upright(picture, orientation)
    sizes: list[Rendition] = []
    for edge in LONG_EDGES:
        if edge < max(picture.size):
            picture = ImageOps.contain(picture, (edge, edge), Image.Resampling.LANCZOS)
        if sizes and picture.size == (sizes[-1].width, sizes[-1].height):
            continue
        sizes.append(Rendition(picture.width, picture.height, _saved(picture, "JPEG"), _saved(picture, "WEBP")))
    mean = picture.resize((1, 1), Image.Resampling.BOX).getpixel((0, 0))
    assert isinstance(mean, tuple)  # noqa: S101 - told to the type checker: the picture is RGB
    return Prints(tuple(reversed(sizes)), "#" + "".join(f"{int(part):02x}" for part in mean[:3]))


def _plain(image: Image.Image) -> Image.Image:
    """Give the picture as RGB, or CMYK where a profile is still to be applied, on paper white where it is clear."""
    if image.mode.startswith("I") or image.mode == "F":
        # Sixteen bits of grey: scale down, where a plain conversion would clip to white.
        low, high = image.getextrema()
        top = 65535.0 if isinstance(high, int | float) and high > 255 else 255.0
        del low
        return image.convert("F").point(lambda value: value * (255.0 / top)).convert("L").convert("RGB")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        clear = image.convert("RGBA")
        sheet = Image.new("RGBA", clear.size, (*PAPER, 255))
        return Image.alpha_composite(sheet, clear).convert("RGB")
    if image.mode == "CMYK":
        return image.copy()
    return image.convert("RGB")


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            turned = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
            if turned is not None:
                picture = turned
        except (OSError, ImageCms.PyCMSError, ValueError):
            pass  # a damaged or foreign profile: the colours are taken as they are
    return picture.convert("RGB")


def _upright(picture: Image.Image, orientation: int) -> Image.Image:
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


def _saved(picture: Image.Image, kind: str) -> bytes:
    bare = picture.copy()
    bare.info.clear()  # a JPEG comment would travel along in it
    data = BytesIO()
    if kind == "JPEG":
        bare.save(data, "JPEG", quality=82, optimize=True)
    else:
        bare.save(data, "WEBP", quality=80, method=2)
    return data.getvalue()
