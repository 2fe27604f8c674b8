"""Photos: any phone's picture becomes sRGB in several sizes and two formats, upright, with nothing else in it."""

from __future__ import annotations

import struct
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from threading import Lock

from PIL import Image, ImageChops, ImageCms

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.publish.pictures.heic import HOW_TO_ADD, HeicMissingError, is_heic, let_heic_be_read

# The long edge of each size in pixels, the largest first: smaller ones are made from larger ones.
LONG_EDGES = (1600, 960, 480)
MOST_PIXELS = 80_000_000
MOST_BYTES = 200_000_000
# A phone's MPO is opened as the JPEG that it begins with.
FORMATS = ("JPEG", "PNG", "WEBP")
HEIC = ("HEIF",)
# What each size is written as.
FORMATS_MADE = ("jpeg", "webp")
EXPORT_AGAIN = "export it again, or take the line out"
PAPER = (255, 255, 255)
# What the decoders raise for bytes that are not a picture, or not a whole one.
DAMAGED = (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, OverflowError, struct.error)
_WARNINGS = Lock()


class PhotoError(ValueError):
    """A photo that cannot be used; its text says why, and ``mend`` what helps."""

    def __init__(self, why: str, mend: str = EXPORT_AGAIN) -> None:
        super().__init__(why)
        self.mend = mend


def _nowhere(_kind: str) -> bytes:
    raise LookupError("the bytes of this size are not known")


@dataclass(frozen=True, slots=True)
class Rendition:
    """One size of a photo: its pixels, and the way to its bytes and their digests, by ``FORMATS_MADE``."""

    width: int
    height: int
    data: Callable[[str], bytes] = _nowhere
    digests: Mapping[str, str] = field(default_factory=dict)

    @property
    def jpeg(self) -> bytes:
        """The bytes of it as JPEG."""
        return self.data("jpeg")


@dataclass(frozen=True, slots=True)
class Prints:
    """All sizes of a photo, the smallest first, and its mean colour as #rrggbb.

    ``key`` is that of the photo and the program, under which the store keeps them.
    """

    renditions: tuple[Rendition, ...]
    colour: str
    key: str = ""


def check_photo(path: Path) -> None:
    """Look at a photo's head: that it is a picture of a known kind and not too large.

    Raises:
        PhotoError: it is not.
    """
    _opened(path).close()


def read_photo(path: Path) -> bytes:
    """Read a photo once, so that its digest and its sizes cannot be of two versions of the file.

    Raises:
        PhotoError: it cannot be read, or is too large.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as fault:
        raise _closed(fault) from None
    _hold_weight(len(data))
    return data


def make_prints(photo: Path | bytes) -> Prints:
    """Make all sizes of a photo, from its file or from the bytes of it.

    Raises:
        PhotoError: it is not a picture that can be read to its end.
    """
    image = _opened(photo)
    try:
        with image:
            return _prints(image)
    except DAMAGED:
        raise PhotoError("it is damaged or cut short") from None


def _closed(fault: OSError) -> PhotoError:
    return PhotoError(f"it cannot be read ({fault.strerror})", "close it in other programs and check its permissions")


def _hold_weight(weight: int) -> None:
    if weight > MOST_BYTES:
        raise PhotoError(f"it has {weight / 1e6:.0f} MB, more than {MOST_BYTES // 1_000_000}")


@contextmanager
def _unwarned() -> Iterator[None]:
    """Keep a damaged Exif block from being warned of: it is thrown away with the rest of it.

    Warnings are switched for the whole process, so that only one thread may do so at a time.
    """
    with _WARNINGS, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def _opened(photo: Path | bytes) -> Image.Image:
    Image.MAX_IMAGE_PIXELS = None  # the size is checked here, before a pixel is read
    try:
        _hold_weight(len(photo) if isinstance(photo, bytes) else photo.stat().st_size)
        formats = _formats(photo)
    except OSError as fault:
        raise _closed(fault) from None
    try:
        with _unwarned():
            image = Image.open(BytesIO(photo) if isinstance(photo, bytes) else photo, formats=formats)
    except DAMAGED:
        if formats == HEIC:
            raise PhotoError("it is a damaged HEIC picture") from None
        raise PhotoError("it is not a JPEG, PNG, WebP or HEIC picture") from None
    if image.width * image.height > MOST_PIXELS:
        size = f"{image.width} x {image.height}"
        image.close()
        raise PhotoError(f"it has {size} pixels, more than {MOST_PIXELS // 1_000_000} million")
    return image


def _formats(photo: Path | bytes) -> tuple[str, ...]:
    """Say as what a photo is to be opened: by what it begins with, as phones also name HEIC ``.jpg``."""
    with BytesIO(photo) if isinstance(photo, bytes) else photo.open("rb") as file:
        if not is_heic(file.read(64)):
            return FORMATS
    try:
        let_heic_be_read()
    except HeicMissingError:
        raise PhotoError("it is a HEIC picture, and what reads those is not installed", HOW_TO_ADD) from None
    return HEIC


def _prints(image: Image.Image) -> Prints:
    with _unwarned():
        # A HEIC picture comes turned already; its tag is not to be followed once more.
        orientation = 1 if image.format in HEIC else image.getexif().get(0x0112, 1)
    largest = LONG_EDGES[0]
    if image.format in ("JPEG", "MPO"):
        # The decoder can give a half, quarter or eighth at once, where both sides stay as long as they are needed:
        # asked for a square, it would decode nearly every photo whole.
        image.draft("RGB" if image.mode == "RGB" else None, _size_within(image, largest))
    profile = image.info.get("icc_profile")
    picture = _plain(image)
    picture.thumbnail((largest, largest), Image.Resampling.LANCZOS, reducing_gap=3.0)
    picture = _in_srgb(_on_paper(picture), profile)
    if orientation in range(2, 9):
        picture = _upright(picture, orientation)
    picture.info.clear()  # Pillow would write a comment or profile that is left in it into every size
    sizes: list[Rendition] = []
    for edge in LONG_EDGES:
        if edge < max(picture.size):
            picture = _within(picture, edge)
        if sizes and picture.size == (sizes[-1].width, sizes[-1].height):
            continue
        data = {kind: _saved(picture, kind.upper()) for kind in FORMATS_MADE}
        digests = {kind: digest_of(data[kind]) for kind in FORMATS_MADE}
        sizes.append(Rendition(picture.width, picture.height, data.__getitem__, digests))
    mean = picture.resize((1, 1), Image.Resampling.BOX).getpixel((0, 0))
    assert isinstance(mean, tuple)  # noqa: S101 - for the type checker: the picture is RGB
    return Prints(tuple(reversed(sizes)), "#" + "".join(f"{int(part):02x}" for part in mean[:3]))


def _plain(image: Image.Image) -> Image.Image:
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


def _on_paper(picture: Image.Image) -> Image.Image:
    """Lay what is clear onto paper white; made smaller before, it takes a fraction of the memory."""
    if picture.mode != "RGBA":
        return picture
    sheet = Image.new("RGBA", picture.size, (*PAPER, 255))
    return Image.alpha_composite(sheet, picture).convert("RGB")


def _within(picture: Image.Image, edge: int) -> Image.Image:
    """Make a picture smaller, to a long edge in pixels; a sliver keeps one pixel of its short edge."""
    return picture.resize(_size_within(picture, edge), Image.Resampling.LANCZOS)


def _size_within(picture: Image.Image, edge: int) -> tuple[int, int]:
    longest = max(picture.size)
    return max(1, round(picture.width * edge / longest)), max(1, round(picture.height * edge / longest))


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
    data = BytesIO()
    if kind == "JPEG":
        picture.save(data, "JPEG", quality=82, optimize=True)
    else:
        picture.save(data, "WEBP", quality=80, method=2)
    return data.getvalue()
