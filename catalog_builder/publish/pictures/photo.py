"""Photos: any phone's picture becomes sRGB in several sizes and two formats, upright, with nothing else in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageCms

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.photo_files.photo_file import (
    DAMAGED,
    MOST_BYTES,
    PhotoError,
    closed,
    hold_weight,
    on_paper,
    opened,
    orientation_of,
    plain,
    upright,
)

# The long edge of each size in pixels, the largest first: smaller ones are made from larger ones.
LONG_EDGES = (1600, 960, 480, 240)
# What each size is written as.
FORMATS_MADE = ("jpeg", "webp")


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
    opened(path).close()


def read_photo(path: Path) -> bytes:
    """Read a photo once, so that its digest and its sizes cannot be of two versions of the file.

    Raises:
        PhotoError: it cannot be read, or is too large.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as fault:
        raise closed(fault) from None
    hold_weight(len(data))
    return data


def make_prints(photo: Path | bytes) -> Prints:
    """Make all sizes of a photo, from its file or from the bytes of it.

    Raises:
        PhotoError: it is not a picture that can be read to its end.
    """
    image = opened(photo)
    try:
        with image:
            return _prints(image)
    except DAMAGED:
        raise PhotoError("it is damaged or cut short") from None


def _prints(image: Image.Image) -> Prints:
    orientation = orientation_of(image)
    largest = LONG_EDGES[0]
    if image.format in ("JPEG", "MPO"):
        # The decoder can give a half, quarter or eighth at once, where both sides stay as long as they are needed:
        # asked for a square, it would decode nearly every photo whole.
        image.draft("RGB" if image.mode == "RGB" else None, _size_within(image, largest))
    profile = image.info.get("icc_profile")
    picture = plain(image)
    picture.thumbnail((largest, largest), Image.Resampling.LANCZOS, reducing_gap=3.0)
    picture = _in_srgb(on_paper(picture), profile)
    if orientation in range(2, 9):
        picture = upright(picture, orientation)
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


def _saved(picture: Image.Image, kind: str) -> bytes:
    data = BytesIO()
    if kind == "JPEG":
        picture.save(data, "JPEG", quality=82, optimize=True)
    else:
        picture.save(data, "WEBP", quality=80, method=2)
    return data.getvalue()
