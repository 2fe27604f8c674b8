"""HEIC, as phones write it: read where its package is installed, told how to add it where it is not."""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from catalog_builder.photo_files.heic import is_heic, let_heic_be_read
from catalog_builder.photo_files.photo_file import PhotoError
from catalog_builder.publish.pictures.photo import check_photo, make_prints
from tests.publish.photos import COLOURS, quarters, saved
from tests.publish.pictures.ink import quarters_seen
from tests.publish.profile import p3_as_srgb, p3_profile

SIZE = (600, 400)
# How a picture is laid down for each tag, so that who follows the tag sees it upright (CIPA DC-008).
LAID = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
SERIAL = "Zyqwrothserial"


def heic(image: Image.Image, **options: object) -> bytes:
    """Store a picture as HEIC."""
    let_heic_be_read()
    return saved(image, "HEIF", quality=90, **options)


def turned(tag: int) -> bytes:
    """Make an Exif block with an orientation and a camera's serial number.

    What writes HEIC stores the turn of the Exif block as the picture's own property too, as phones do.
    """
    exif = Image.Exif()
    exif[0x0112] = tag
    exif.get_ifd(0x8769)[0xA431] = SERIAL
    return exif.tobytes()


@pytest.mark.parametrize("name", ["photo.heic", "photo.HEIF", "photo.jpg"])
@pytest.mark.parametrize("tag", LAID)
def test_heic_stands_upright_once(tmp_path: Path, tag: int, name: str) -> None:
    """A HEIC photo stands upright, turned once and not twice, whatever its file is called."""
    way = LAID[tag]
    image = quarters(SIZE) if way is None else quarters(SIZE).transpose(way)
    data = heic(image, exif=turned(tag))
    assert (tag == 1) or b"irot" in data or b"imir" in data
    assert SERIAL.encode() in data
    (tmp_path / name).write_bytes(data)
    largest = make_prints((tmp_path / name).read_bytes()).renditions[-1]
    assert (largest.width, largest.height) == SIZE
    for made in (largest.jpeg, largest.data("webp")):
        assert SERIAL.encode() not in made
        with Image.open(BytesIO(made)) as read:
            assert np.abs(quarters_seen(read) - np.array(COLOURS)).max() <= 16


def test_wide_colours_of_heic_become_srgb(tmp_path: Path) -> None:
    """A HEIC photo in Display P3 comes out in the same colours as sRGB writes them."""
    path = tmp_path / "photo.heic"
    path.write_bytes(heic(Image.new("RGB", SIZE, (201, 80, 61)), icc_profile=p3_profile("a wide screen")))
    with Image.open(BytesIO(make_prints(path.read_bytes()).renditions[-1].jpeg)) as read:
        assert np.abs(quarters_seen(read) - np.array(p3_as_srgb((201, 80, 61)))).max() <= 4


def test_damaged_heic_is_told(tmp_path: Path) -> None:
    """A HEIC photo that is cut short is refused with its reason, at its head or where it is made ready."""
    whole = heic(quarters(SIZE))
    path = tmp_path / "photo.heic"
    for cut in (40, 200, len(whole) // 2):
        path.write_bytes(whole[:cut])
        with pytest.raises(PhotoError, match="damaged"):
            make_prints(path.read_bytes())


def test_heic_without_its_package_says_how_to_add_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing reads HEIC, the photo's mistake says how to add it, and other photos are read as ever."""
    path, plain = tmp_path / "photo.heic", tmp_path / "photo.jpg"
    path.write_bytes(heic(quarters(SIZE)))
    plain.write_bytes(saved(quarters(SIZE), "JPEG"))
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    with pytest.raises(PhotoError, match="HEIC picture, and what reads those is not installed") as told:
        check_photo(path)
    assert f"`{sys.executable} -m pip install pillow-heif`" in told.value.mend
    assert make_prints(plain.read_bytes()).renditions


def test_package_is_imported_only_for_heic(tmp_path: Path) -> None:
    """A studio without HEIC photos never loads the package that reads them."""
    (tmp_path / "photo.jpg").write_bytes(saved(quarters(SIZE), "JPEG"))
    program = (
        "import sys; from pathlib import Path; from catalog_builder.publish.pictures.photo import make_prints;"
        f"make_prints(Path({str(tmp_path / 'photo.jpg')!r})); sys.exit('pillow_heif' in sys.modules)"
    )
    assert subprocess.run((sys.executable, "-c", program), check=False).returncode == 0


@pytest.mark.parametrize(
    ("head", "is_one"),
    [
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", True),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", True),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif", False),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", False),
        (b"\0\0\0\x18ftypisom\0\0\0\0isomheic", False),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", False),
        (b"ftyp", False),
        (b"", False),
    ],
)
def test_heic_is_known_by_its_beginning(head: bytes, is_one: bool) -> None:
    """HEIC is known by the brands that its file type box names; films and AVIF have others."""
    assert is_heic(head) is is_one
