"""Colours in OKLab, where equal distances look about equally far apart."""

from __future__ import annotations

import math
from typing import NamedTuple

from catalog_builder.publish.pictures.glass.glass_paint import channels


class Oklab(NamedTuple):
    """A colour's lightness from 0 to 1, how red (below zero: green) it is, and how yellow (below zero: blue)."""

    lightness: float
    red: float
    yellow: float


def oklab(colour: str) -> Oklab:
    """Take a #rrggbb colour to OKLab.

    Source: sRGB's transfer curve by IEC 61966-2-1.
    """
    red, green, blue = (_linear(part / 255) for part in channels(colour))
    return oklab_of_linear(red, green, blue)


def oklab_of_linear(red: float, green: float, blue: float) -> Oklab:
    """Take linear parts of red, green and blue of sRGB, 0 to 1, to OKLab.

    Source: Björn Ottosson, A perceptual color space for image processing (2020),
    https://bottosson.github.io/posts/oklab/, as CSS Color Level 4 has its matrices.
    """
    long = math.cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue)
    middle = math.cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue)
    short = math.cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue)
    return Oklab(
        0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short,
    )


def distance(colour: str, other: str) -> float:
    """Give how far two #rrggbb colours are apart: the length of their difference in OKLab; black to white is 1."""
    return math.dist(oklab(colour), oklab(other))


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


def plain_colour(text: str) -> str | None:
    """Give a colour that a drawing writes by its name or its parts as #rrggbb; None where it cannot be read."""
    from PIL import ImageColor

    try:
        red, green, blue = ImageColor.getrgb(text.strip().lower())[:3]
    except ValueError:
        return None
    return f"#{red:02x}{green:02x}{blue:02x}"
