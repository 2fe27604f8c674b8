"""Photos of every kind that reaches a maker's folder, each made ready by itself."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from catalog_builder.photo_files.photo_file import MOST_BYTES, PhotoError
from catalog_builder.publish.pictures.photo import Prints, check_photo, make_prints
from tests.publish.photos import COLOURS, quarters, saved
from tests.publish.pictures.ink import (
    INKS,
    LOOKS,
    ink_profile,
    inked,
    looks_as_srgb,
    quarters_seen,
    with_luma,
    without_adobe,
)
from tests.publish.profile import as_signs, grey_profile, linear, p3_as_srgb, p3_profile

SIZE = (600, 400)
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><!-- to the owner --></x:xmpmeta>'
# The matrices of CSS Color 4 (W3C Candidate Recommendation Draft, 2022, 17: sample code for colour conversions).
P3_TO_XYZ = np.array(
    [
        [608311 / 1250200, 189793 / 714400, 198249 / 1000160],
        [35783 / 156275, 247089 / 357200, 198249 / 2500400],
        [0, 32229 / 714400, 5220557 / 5000800],
    ]
)
XYZ_TO_SRGB = np.array(
    [
        [12831 / 3959, -329 / 214, -1974 / 3959],
        [-851781 / 878810, 1648619 / 878810, 36519 / 878810],
        [705 / 12673, -2585 / 12673, 705 / 667],
    ]
)


def prints_of(folder: Path, data: bytes, name: str = "photo") -> Prints:
    """Make a photo ready from its bytes."""
    path = folder / name
    path.write_bytes(data)
    return make_prints(path.read_bytes())


def pixels(data: bytes) -> Image.Image:
    """Read a picture that was made."""
    with Image.open(BytesIO(data)) as image:
        return image.convert("RGB")


def far(seen: NDArray[np.int64], wanted: object) -> int:
    """Give how far two lists of colours are apart in the channel where they differ most."""
    return int(np.abs(seen - np.array(wanted)).max())


def css_srgb(colour: tuple[int, int, int]) -> tuple[int, ...]:
    """Say by CSS Color 4's own matrices how a Display P3 colour is written in sRGB."""
    return as_signs(XYZ_TO_SRGB @ P3_TO_XYZ @ linear(np.array(colour) / 255))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_red_of_a_wide_screen_is_the_same_red(tmp_path: Path, kind: str) -> None:
    """A phone's red, 201 80 61 on a Display-P3 screen, is 217 69 51 in sRGB, within 2 of 255 in every format."""
    red = (201, 80, 61)
    options = {"lossless": True} if kind == "WEBP" else {}
    data = saved(Image.new("RGB", (640, 480), red), kind, icc_profile=p3_profile("a wide screen"), **options)
    assert css_srgb(red) == (217, 69, 51)
    for one in prints_of(tmp_path, data).renditions:
        for made in (one.jpeg, one.data("webp")):
            assert far(quarters_seen(pixels(made)), css_srgb(red)) <= 2


def test_expected_colours_agree_on_two_roads() -> None:
    """The matrices that CSS prints and those from the primaries' chromaticities give the same numbers."""
    for colour in (*COLOURS, (201, 80, 61), (255, 0, 0), (0, 255, 0), (12, 34, 56)):
        assert far(np.array(css_srgb(colour)), p3_as_srgb(colour)) <= 1


def test_inks_with_a_profile_look_as_it_says(tmp_path: Path) -> None:
    """A photo in printer's inks with their profile shows what the profile says of each, as formulas alone turn it."""
    data = saved(inked(SIZE), "JPEG", icc_profile=ink_profile())
    seen = quarters_seen(pixels(prints_of(tmp_path, data).renditions[-1].jpeg))
    assert far(seen, [looks_as_srgb(look) for look in LOOKS]) <= 4
    assert far(seen, plain_inks()) > 20


def plain_inks() -> list[tuple[int, ...]]:
    """Say what inks without a profile are shown as: white less each ink."""
    return [tuple((255 - part) * (255 - ink[3]) // 255 for part in ink[:3]) for ink in INKS]


@pytest.mark.parametrize(
    "data",
    [saved(inked(SIZE), "JPEG"), without_adobe(inked(SIZE)), with_luma(inked(SIZE))],
    ids=["adobe", "no-mark", "luma"],
)
def test_inks_without_a_profile_keep_their_hue(tmp_path: Path, data: bytes) -> None:
    """Inks without a profile come out as plain colours, whichever way up and however turned the JPEG stores them."""
    prints = prints_of(tmp_path, data)
    for made in (prints.renditions[-1].jpeg, prints.renditions[-1].data("webp")):
        assert far(quarters_seen(pixels(made)), plain_inks()) <= 12


def test_damaged_profile_leaves_a_usable_photo(tmp_path: Path) -> None:
    """A profile that is cut short, foreign or for another kind of picture is passed over; the photo is still shown."""
    whole = p3_profile("a wide screen")
    for profile in (whole[:200], whole[:131], b"", bytes(500), ink_profile(), grey_profile(2.2)):
        data = saved(quarters(SIZE), "JPEG", icc_profile=profile)
        seen = quarters_seen(pixels(prints_of(tmp_path, data).renditions[-1].jpeg))
        assert far(seen, COLOURS) <= 12
    inks = saved(inked(SIZE), "JPEG", icc_profile=ink_profile()[:300])
    assert far(quarters_seen(pixels(prints_of(tmp_path, inks).renditions[-1].jpeg)), plain_inks()) <= 12


def test_grey_profile_is_followed(tmp_path: Path) -> None:
    """A grey photo whose profile says that 128 is 0.5 of the light comes out as light as half is in sRGB: 188."""
    data = saved(Image.new("L", SIZE, 128), "JPEG", icc_profile=grey_profile(1.0))
    seen = quarters_seen(pixels(prints_of(tmp_path, data).renditions[-1].jpeg))
    assert as_signs(np.array([128 / 255])) == (188,)
    assert far(seen, 188) <= 2


def test_dark_photo_in_sixteen_bits_stays_dark(tmp_path: Path) -> None:
    """Sixteen bits of a grey so dark that all its numbers are under 256 are black, not stretched to white."""
    data = saved(Image.fromarray(np.full((40, 60), 200, np.uint16)), "PNG")
    assert far(quarters_seen(pixels(prints_of(tmp_path, data).renditions[-1].jpeg)), 0) <= 2


@pytest.mark.parametrize("tag", [3, 6, 8])
@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_tag_of_other_kinds_is_followed(tmp_path: Path, kind: str, tag: int) -> None:
    """PNG and WebP that say they lie on their side are set upright as JPEG is."""
    exif = Image.Exif()
    exif[0x0112] = tag
    # The turns that undo what CIPA DC-008 says a viewer does: 3 half a turn, 6 a quarter clockwise, 8 the other way.
    undone = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}[tag]
    data = saved(quarters(SIZE).transpose(undone), kind, exif=exif)
    made = pixels(prints_of(tmp_path, data).renditions[-1].jpeg)
    assert made.size == SIZE
    assert far(quarters_seen(made), COLOURS) <= 16


@pytest.mark.parametrize("kind", ["WEBP", "PNG"])
def test_moving_picture_shows_its_first_frame(tmp_path: Path, kind: str) -> None:
    """Of a picture that moves, the first frame is published, and it stands still."""
    frames = [Image.new("RGB", SIZE, colour) for colour in COLOURS]
    data = saved(frames[0], kind, save_all=True, append_images=frames[1:], duration=100)
    with Image.open(BytesIO(data)) as image:
        assert getattr(image, "n_frames", 1) == 4
    prints = prints_of(tmp_path, data)
    for made in (prints.renditions[-1].jpeg, prints.renditions[-1].data("webp")):
        assert far(quarters_seen(pixels(made)), COLOURS[0]) <= 8
        with Image.open(BytesIO(made)) as image:
            assert getattr(image, "n_frames", 1) == 1


@pytest.mark.parametrize(
    ("size", "widths"),
    [
        ((1, 1), [(1, 1)]),
        ((2, 3), [(2, 3)]),
        ((40_000, 100), [(240, 1), (480, 1), (960, 2), (1600, 4)]),
        ((40_000, 1), [(240, 1), (480, 1), (960, 1), (1600, 1)]),
        ((1, 9_000), [(1, 240), (1, 480), (1, 960), (1, 1600)]),
        ((1600, 1600), [(240, 240), (480, 480), (960, 960), (1600, 1600)]),
        ((480, 481), [(240, 240), (479, 480), (480, 481)]),
    ],
)
def test_odd_shapes_keep_at_least_a_pixel(tmp_path: Path, size: tuple[int, int], widths: list[tuple[int, int]]) -> None:
    """A dot, a sliver and a panorama come out in the sizes that their long edge allows, none without height."""
    prints = prints_of(tmp_path, saved(Image.new("RGB", size, (200, 60, 60)), "PNG"))
    assert [(one.width, one.height) for one in prints.renditions] == widths
    assert prints.colour == "#c83c3c"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_pixels_is_left_of_a_photo(tmp_path: Path, kind: str) -> None:
    """A comment, a resolution or XMP of a photo without a profile is in none of its sizes."""
    extra: dict[str, dict[str, Any]] = {
        "JPEG": {"comment": b"to the owner", "dpi": (301, 301)},
        "PNG": {"dpi": (301, 301)},
        "WEBP": {"xmp": XMP},
    }
    data = saved(quarters(SIZE), kind, **extra[kind])
    with Image.open(BytesIO(data)) as image:
        assert set(extra[kind]) & set(image.info)
    for rendition in prints_of(tmp_path, data).renditions:
        for made in (rendition.jpeg, rendition.data("webp")):
            assert b"to the owner" not in made
            with Image.open(BytesIO(made)) as image:
                assert {"comment", "dpi", "xmp", "exif", "icc_profile"} & set(image.info) == set()


def test_bomb_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    """A file of few bytes that would unpack to 40,000 by 40,000 pixels is told by its head alone."""
    bomb = tmp_path / "bomb.png"
    Image.new("1", (40_000, 40_000)).save(bomb)
    assert bomb.stat().st_size < 1_000_000
    with pytest.raises(PhotoError, match="it has 40000 x 40000 pixels, more than 80 million"):
        check_photo(bomb)


def test_endless_file_is_refused_by_its_size(tmp_path: Path) -> None:
    """A file larger than any photo is refused without being read."""
    path = tmp_path / "photo.jpg"
    with path.open("wb") as file:
        file.write(saved(quarters((60, 40)), "JPEG"))
        file.truncate(MOST_BYTES + 1)
    with pytest.raises(PhotoError, match="it has 200 MB, more than 200"):
        check_photo(path)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_photo_cut_anywhere_is_told(tmp_path: Path, kind: str) -> None:
    """Wherever a copy broke off, a photo is either refused with a reason or was whole: nothing else comes of it."""
    rng = np.random.default_rng(7)
    noise = Image.fromarray(rng.integers(0, 255, (120, 160, 3), np.uint8))
    data = saved(noise, kind, quality=80) if kind != "PNG" else saved(noise, kind)
    refused = 0
    for cut in range(0, len(data) - 64, max(1, len(data) // 40)):
        with pytest.raises(PhotoError):
            prints_of(tmp_path, data[:cut])
        refused += 1
    assert refused >= 40


def test_colour_while_loading_is_the_mean(tmp_path: Path) -> None:
    """The colour shown before a photo comes is the mean of its pixels."""
    wanted = np.mean(COLOURS, axis=0)
    colour = prints_of(tmp_path, saved(quarters(SIZE), "PNG")).colour
    assert far(np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]), wanted) <= 1


@pytest.mark.parametrize("size", [(3200, 2400), (2400, 3200), (3200, 1800)])
def test_large_photo_is_halved_by_its_decoder(tmp_path: Path, size: tuple[int, int]) -> None:
    """A phone's photo, twice as long as its largest size, is halved while it is decoded, whatever its shape."""
    noise = np.random.default_rng(5).integers(0, 256, (size[1] // 2, size[0] // 2, 3), dtype=np.uint8)
    data = saved(Image.fromarray(noise).resize(size), "JPEG", quality=95)
    with Image.open(BytesIO(data)) as image:
        image.draft("RGB", (size[0] // 2, size[1] // 2))
        halved = saved(image.convert("RGB"), "JPEG", quality=82)
    made = prints_of(tmp_path, data).renditions[-1].jpeg
    assert np.array_equal(np.asarray(pixels(made)), np.asarray(pixels(halved)))


def test_sliver_of_a_jpeg_keeps_its_height(tmp_path: Path) -> None:
    """A JPEG of 20,000 pixels by one keeps its one pixel of height, however far it is made smaller."""
    made = prints_of(tmp_path, saved(Image.new("RGB", (20_000, 1), (90, 120, 60)), "JPEG"))
    assert [one.height for one in made.renditions] == [1, 1, 1, 1]
