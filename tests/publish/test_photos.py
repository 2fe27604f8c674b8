"""Photos as they are published: upright, in sRGB, in several sizes, and with nothing else in them."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from catalog_builder.build import calculate
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.studio_pictures import make_pictures
from tests.publish.demo import DAY, Demo, build_in, give_photos, lay_out_known
from tests.publish.page import read_page, structured_data
from tests.publish.photos import COLOURS, apart, quarters, quarters_of, saved
from tests.publish.profile import p3_as_srgb, p3_profile

PRODUCT = "net-loft-panel"
WIDE = (600, 400)
# Where the first row and the first column of the stored picture are seen: CIPA DC-008, tag 274 (from memory).
SEEN = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}
GREY = (40, 90, 160, 220)
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><photographer>somebody</photographer></x:xmpmeta>'


def stored(upright: Image.Image, orientation: int) -> Image.Image:
    """Lay an upright picture down so that a viewer who follows the tag sees it upright."""
    pixels = np.asarray(upright)
    row, column = SEEN[orientation]
    if row in ("left", "right"):
        pixels = pixels.transpose(1, 0, 2)
    if row in ("bottom", "right"):
        pixels = pixels[::-1]
    if column in ("bottom", "right"):
        pixels = pixels[:, ::-1]
    return Image.fromarray(np.ascontiguousarray(pixels))


def with_everything(orientation: int) -> bytes:
    """Make a photo as a phone does: turned, with the place, the person, a comment, a profile and a thumbnail."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x013B] = "somebody"
    exif.get_ifd(0x8825)[2] = (53.0, 21.0, 7.5)
    image = stored(quarters(WIDE), orientation)
    return saved(image, "JPEG", exif=exif, comment=b"a comment", xmp=XMP)


def grey(kind: str) -> Image.Image:
    """Make a picture whose quarters are four greys, in 16 bits or 8."""
    tones = np.kron(np.array(GREY).reshape(2, 2), np.ones((200, 300)))
    return Image.fromarray((tones * 257).astype(np.uint16) if kind == "I;16" else tones.astype(np.uint8))


def deep_png(pixels: NDArray[np.uint8]) -> bytes:
    """Write a PNG with sixteen bits a channel by hand (RFC 2083): each byte doubled."""
    height, width, _ = pixels.shape
    deep = pixels.repeat(2, axis=2)
    rows = b"".join(b"\0" + row.tobytes() for row in deep)
    chunks = ((b"IHDR", struct.pack(">IIBBBBB", width, height, 16, 2, 0, 0, 0)), (b"IDAT", zlib.compress(rows)))
    out = b"\x89PNG\r\n\x1a\n"
    for name, data in (*chunks, (b"IEND", b"")):
        out += struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    return out


def clear(size: tuple[int, int]) -> Image.Image:
    """Make the quarters picture with its last quarter clear."""
    image = quarters(size).convert("RGBA")
    image.paste((0, 0, 0, 0), (size[0] // 2, size[1] // 2, *size))
    return image


PLAIN = quarters(WIDE)
KINDS: dict[str, Callable[[], bytes]] = {
    **{f"turned-{tag}.jpg": lambda tag=tag: with_everything(tag) for tag in SEEN},  # type: ignore[misc]
    "progressive.jpg": lambda: saved(PLAIN, "JPEG", progressive=True),
    "cmyk.jpg": lambda: saved(PLAIN.convert("CMYK"), "JPEG"),
    "grey.jpg": lambda: saved(grey("L"), "JPEG"),
    "p3.jpg": lambda: saved(PLAIN, "JPEG", icc_profile=p3_profile("a wide screen")),
    "p3-turned.jpg": lambda: saved(stored(PLAIN, 6), "JPEG", icc_profile=p3_profile("a wide screen"), exif=_turned(6)),
    "profile-that-is-none.jpg": lambda: saved(PLAIN, "JPEG", icc_profile=b"not a profile at all"),
    "two.mpo.jpg": lambda: saved(PLAIN, "MPO", save_all=True, append_images=[quarters((200, 100)).rotate(180)]),
    "plain.png": lambda: saved(PLAIN, "PNG"),
    "deep-grey.png": lambda: saved(grey("I;16"), "PNG"),
    "deep.png": lambda: deep_png(np.asarray(PLAIN)),
    "clear.png": lambda: saved(clear(WIDE), "PNG"),
    "clear-grey.png": lambda: saved(clear(WIDE).convert("LA"), "PNG"),
    "palette.png": lambda: saved(PLAIN.quantize(16), "PNG"),
    "palette-clear.png": lambda: saved(clear(WIDE).quantize(16), "PNG"),
    "plain.webp": lambda: saved(PLAIN, "WEBP", quality=95, exif=_turned(1), xmp=XMP),
    "clear.webp": lambda: saved(clear(WIDE), "WEBP", lossless=True),
    "large.jpg": lambda: saved(quarters((5200, 3900)), "JPEG"),
    "panorama.jpg": lambda: saved(quarters((3200, 150)), "JPEG"),
    "little.png": lambda: saved(quarters((90, 60)), "PNG"),
}
IN_COLOUR = [name for name in KINDS if "grey" not in name and "clear" not in name and "p3" not in name]


def _turned(orientation: int) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112] = orientation
    return exif


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """A product with a photo of every kind, built."""
    project = lay_out_known(tmp_path_factory.mktemp("photos") / "studio", PRODUCT)
    give_photos(project, PRODUCT, {name: make() for name, make in KINDS.items()})
    return build_in(project)


def files_of(published: Demo, name: str, ending: str = "*") -> list[Path]:
    """Give the files that a photo became, the widest first."""
    number = list(KINDS).index(name) + 1
    paths = (published.output / "catalogue" / "pictures").glob(f"{PRODUCT}-{number}-*.{ending}")
    return sorted(paths, key=lambda path: (-int(path.stem.rpartition("-")[2]), path.suffix))


def colours_of(path: Path) -> list[tuple[int, int, int]]:
    """Read the colours of a published photo's quarters."""
    with Image.open(path) as image:
        return quarters_of(image)


@pytest.mark.parametrize("name", KINDS)
def test_photo_becomes_jpeg_and_webp(published: Demo, name: str) -> None:
    """Every kind of photo becomes a JPEG and a WebP of each width, in plain colour, as wide as its name says."""
    files = files_of(published, name)
    assert [path.suffix for path in files] == [".jpg", ".webp"] * (len(files) // 2)
    assert len(files) >= 2
    for path in files:
        with Image.open(path) as image:
            assert (image.format, image.mode) == ({".jpg": "JPEG", ".webp": "WEBP"}[path.suffix], "RGB")
            assert path.stem.endswith(f"-{image.width}")


@pytest.mark.parametrize("name", IN_COLOUR)
def test_photo_keeps_its_colours_and_stands_upright(published: Demo, name: str) -> None:
    """Whatever a photo was stored as, and however it was turned, its quarters are where the maker saw them."""
    for path in files_of(published, name):
        for colour, read in zip(COLOURS, colours_of(path), strict=True):
            assert apart(colour, read) <= 12, f"{path.name}: {colour} became {read}"


@pytest.mark.parametrize("tag", SEEN)
def test_turned_photo_has_the_sides_of_the_upright_one(published: Demo, tag: int) -> None:
    """A photo that was stored lying on its side is published as wide as it was seen."""
    with Image.open(files_of(published, f"turned-{tag}.jpg", "jpg")[0]) as image:
        assert image.size == WIDE


@pytest.mark.parametrize("name", ["grey.jpg", "deep-grey.png"])
def test_grey_photo_keeps_its_tones(published: Demo, name: str) -> None:
    """Grey in 8 or in 16 bits keeps its tones; none is clipped to white."""
    for path in files_of(published, name):
        for tone, read in zip(GREY, colours_of(path), strict=True):
            assert apart((tone, tone, tone), read) <= 6, f"{path.name}: {tone} became {read}"


@pytest.mark.parametrize("name", ["clear.png", "palette-clear.png", "clear.webp", "clear-grey.png"])
def test_clear_part_becomes_paper(published: Demo, name: str) -> None:
    """What is clear in a picture becomes white paper, not black."""
    for path in files_of(published, name):
        assert apart(colours_of(path)[3], (255, 255, 255)) <= 4


@pytest.mark.parametrize("name", ["p3.jpg", "p3-turned.jpg"])
def test_wide_colour_is_turned_into_srgb(published: Demo, name: str) -> None:
    """A phone's wide-gamut colours are written as the same colours in sRGB, not with the same numbers."""
    for path in files_of(published, name):
        for colour, read in zip(COLOURS, colours_of(path), strict=True):
            assert apart(p3_as_srgb(colour), read) <= 8, f"{path.name}: {colour} became {read}"
    assert max(apart(p3_as_srgb(colour), colour) for colour in COLOURS) > 16


def test_large_photo_comes_in_four_widths(published: Demo) -> None:
    """A large photo is published at 1600, 960, 480 and 240 pixels; a little one is never made larger."""
    widths = [path.stem.rpartition("-")[2] for path in files_of(published, "large.jpg", "jpg")]
    assert sorted(map(int, widths)) == [240, 480, 960, 1600]
    assert [path.stem.rpartition("-")[2] for path in files_of(published, "little.png", "jpg")] == ["90"]


def test_photo_keeps_its_shape(published: Demo) -> None:
    """No size of a photo is stretched: width over height stays within a pixel of the original's."""
    for name, (width, height) in (("large.jpg", (5200, 3900)), ("panorama.jpg", (3200, 150)), ("plain.png", WIDE)):
        for path in files_of(published, name):
            with Image.open(path) as image:
                assert abs(image.height - image.width * height / width) <= 1, path.name


@pytest.mark.parametrize("name", KINDS)
def test_published_photo_holds_nothing_but_pixels(published: Demo, name: str) -> None:
    """A published photo has no Exif, place, profile, XMP, comment or thumbnail: only what decoding its pixels takes."""
    for path in files_of(published, name):
        data = path.read_bytes()
        if path.suffix == ".jpg":
            # APP0 (JFIF), tables, frame and scan: ITU-T T.81, Annex B.
            assert set(jpeg_markers(data)) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}, path.name
        else:
            assert webp_chunks(data) == ["VP8 "], path.name
        with Image.open(BytesIO(data)) as image:
            assert not image.getexif()
            assert {"exif", "xmp", "comment", "icc_profile", "photoshop", "mp"} & set(image.info) == set()


def test_photo_goes_in_with_all_that_must_not_come_out() -> None:
    """The photos of these tests do hold a place, a name, a comment, XMP and a profile."""
    with Image.open(BytesIO(with_everything(6))) as image:
        exif = image.getexif()
        assert exif[0x0112] == 6
        assert exif.get_ifd(0x8825)[2] == (53.0, 21.0, 7.5)
        assert {"exif", "xmp", "comment"} <= set(image.info)
        assert image.size == WIDE[::-1]
    with Image.open(BytesIO(KINDS["p3.jpg"]())) as image:
        assert b"a wide screen" in image.info["icc_profile"]
    with Image.open(BytesIO(KINDS["two.mpo.jpg"]())) as image:
        assert (image.format, getattr(image, "n_frames", 1)) == ("MPO", 2)


def test_first_photo_is_the_link_preview(published: Demo) -> None:
    """A product's link preview is made of its first photo, and machines are told that photo at its largest."""
    page = read_page(published.output / "catalogue" / "products" / f"{PRODUCT}.html")
    first = structured_data(page)["image"][0].rpartition("/")[2]
    told = published.output / "catalogue" / "pictures" / first
    assert told.read_bytes() == files_of(published, "turned-1.jpg", "jpg")[0].read_bytes()
    card = published.output / "catalogue" / "previews" / "products" / f"{PRODUCT}.jpg"
    assert set(jpeg_markers(card.read_bytes())) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"a page of text", "it is not a JPEG, PNG, WebP or HEIC picture"),
        (b"", "it is not a JPEG, PNG, WebP or HEIC picture"),
        (saved(PLAIN, "GIF"), "it is not a JPEG, PNG, WebP or HEIC picture"),
        (saved(PLAIN, "JPEG")[:3000], "it is damaged or cut short"),
        (saved(PLAIN, "PNG")[:400], "it is damaged or cut short"),
        (saved(Image.new("1", (12_000, 9_000)), "PNG"), "it has 12000 x 9000 pixels, more than 80 million"),
    ],
    ids=["text", "empty", "other-kind", "cut-jpeg", "cut-png", "too-large"],
)
def test_photo_that_cannot_be_used_is_told(tmp_path: Path, data: bytes, why: str) -> None:
    """A file that is no photo, a damaged one and a huge one are told with the line that names it."""
    project = lay_out_known(tmp_path / "studio", PRODUCT)
    give_photos(project, PRODUCT, {"good.jpg": saved(PLAIN, "JPEG"), "bad.jpg": data})
    with pytest.raises(MistakeError) as told:
        make_pictures(calculate(project, DAY, quiet), 2, quiet)
    (mistake,) = told.value.mistakes
    assert mistake.wrong.startswith(f"the photo 'bad.jpg' cannot be used: {why}")
    assert "bad.jpg" in (mistake.place.text or "")


def jpeg_markers(data: bytes) -> list[int]:
    """Give the markers of a JPEG's segments up to its scan, after the start of the image."""
    assert data[:2] == b"\xff\xd8"
    assert data[-2:] == b"\xff\xd9"
    at, markers = 2, list[int]()
    while not markers or markers[-1] != 0xDA:
        assert data[at] == 0xFF
        markers.append(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return markers


def webp_chunks(data: bytes) -> list[str]:
    """Give the names of a WebP file's chunks (RIFF; RFC 9649)."""
    assert (data[:4], data[8:12]) == (b"RIFF", b"WEBP")
    at, names = 12, list[str]()
    while at < len(data):
        names.append(data[at : at + 4].decode("ascii"))
        size = int.from_bytes(data[at + 4 : at + 8], "little")
        at += 8 + size + size % 2
    return names
