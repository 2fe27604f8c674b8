"""Photos in printer's inks for the tests: a profile of four inks, and the ways in which a JPEG stores them."""

from __future__ import annotations

import struct
from itertools import product

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops

from tests.publish.photos import saved
from tests.publish.profile import BRADFORD, D50_XYZ, D65, SRGB, as_signs, linked, to_xyz, xyz

# One full ink in each quarter, in reading order: cyan, magenta, yellow, black.
INKS = ((255, 0, 0, 0), (0, 255, 0, 0), (0, 0, 255, 0), (0, 0, 0, 255))
# What those inks look like on this invented paper, in the 8 bits of Lab of ICC.1:2010, table 12 (lut8).
LOOKS = ((140, 108, 92), (122, 190, 120), (220, 122, 196), (64, 128, 129))


def inked(size: tuple[int, int]) -> Image.Image:
    """Make a picture in inks whose quarters are one full ink each."""
    width, height = size
    image = Image.new("CMYK", size)
    for index, ink in enumerate(INKS):
        left, top = (index % 2) * (width // 2), (index // 2) * (height // 2)
        image.paste(ink, (left, top, left + width - width // 2, top + height - height // 2))
    return image


def looks_as_srgb(look: tuple[int, int, int]) -> tuple[int, ...]:
    """Say by formulas alone how a colour of the profile is written in sRGB (CIE 15: Lab to XYZ, then Bradford)."""
    level, a, b = look[0] * 100 / 255, look[1] - 128, look[2] - 128
    across = (level + 16) / 116
    cubes = np.array([across + a / 500, across, across - b / 200])
    shares = np.where(cubes > 6 / 29, cubes**3, 3 * (6 / 29) ** 2 * (cubes - 4 / 29))
    white = xyz(*D65)
    turn = np.linalg.solve(BRADFORD, np.diag((BRADFORD @ white) / (BRADFORD @ D50_XYZ)) @ BRADFORD)
    return as_signs(np.linalg.solve(to_xyz(SRGB), turn @ (shares * D50_XYZ)))


def ink_profile() -> bytes:
    """Make a profile of four inks by a table of two steps an ink (ICC.1:2010, 10.10: lut8Type)."""
    straight = bytes(range(256))
    table = b""
    for inks in product((0, 1), repeat=4):
        # All four together are quite black, so that no scaling of the darkest to black moves the others.
        table += bytes(_mixed(inks) if 0 < sum(inks) < 4 else (0 if any(inks) else 255, 128, 128))
    matrix = struct.pack(">9i", *(65536 if at % 4 == 0 else 0 for at in range(9)))
    lut = b"mft1" + bytes(4) + bytes((4, 3, 2, 0)) + matrix + straight * 4 + table + straight * 3
    return linked((b"prtr", b"CMYK", b"Lab "), {b"A2B0": lut}, "four inks")


def _mixed(inks: tuple[int, ...]) -> tuple[int, int, int]:
    levels, reds, yellows = zip(*(look for ink, look in zip(inks, LOOKS, strict=True) if ink), strict=True)
    return min(levels), sum(reds) // len(reds), sum(yellows) // len(yellows)


def without_adobe(image: Image.Image, **options: object) -> bytes:
    """Store inks as a JPEG without Adobe's mark: a high number is much ink."""
    data = saved(ImageChops.invert(image), "JPEG", **options)
    at = data.index(b"\xff\xee")
    return data[:at] + data[at + 2 + int.from_bytes(data[at + 2 : at + 4], "big") :]


def with_luma(image: Image.Image) -> bytes:
    """Store inks as a JPEG whose first three are turned into light and colour: Adobe's mark says 2 (YCCK)."""
    cyan, magenta, yellow, black = image.split()
    turned = Image.merge("RGB", (cyan, magenta, yellow)).convert("YCbCr")
    stored = [ImageChops.invert(band) for band in turned.split()]
    data = saved(Image.merge("CMYK", (*stored, black)), "JPEG")
    at = data.index(b"Adobe") + 11
    return data[:at] + b"\x02" + data[at + 1 :]


def quarters_seen(image: Image.Image) -> NDArray[np.int64]:
    """Read the colours in the middle of a picture's quarters, in reading order."""
    plain = image.convert("RGB")
    places = [(x * plain.width // 4, y * plain.height // 4) for y in (1, 3) for x in (1, 3)]
    return np.array([plain.getpixel(place) for place in places])
