"""The plain word for a colour of glass: a dozen words, chosen as the eye does.

A colour is taken to OKLCH, whose lightness, chroma and hue follow what is seen; there each word has its room.
"""

from __future__ import annotations

import math

from catalog_builder.publish.pictures.glass_paint import channels

WORDS = (
    "white",
    "grey",
    "black",
    "brown",
    "red",
    "pink",
    "orange",
    "yellow",
    "green",
    "turquoise",
    "blue",
    "purple",
)
# Where one hue's word ends and the next begins, in degrees of OKLCH, round the circle from magenta red.
_HUES = (
    (8.0, "pink"),
    (38.0, "red"),
    (78.0, "orange"),
    (113.0, "yellow"),
    (168.0, "green"),
    (215.0, "turquoise"),
    (283.0, "blue"),
    (328.0, "purple"),
    (360.0, "pink"),
)


def colour_word(colour: str) -> str:
    """Give the word of ``WORDS`` for a #rrggbb colour.

    Source: the rooms are this project's own, drawn so that most of the colours that people named in an open
    survey fall under the names that they gave (see the tests).
    """
    lightness, chroma, hue = oklch(colour)
    if lightness < 0.24 and chroma < 0.06:
        return "black"
    if chroma < 0.045:
        return "white" if lightness > 0.895 else "grey"
    word = next(word for end, word in _HUES if hue <= end)
    if word in _SHADES:
        return _SHADES[word](lightness, chroma, hue)
    return "yellow" if word == "green" and hue < 125 and lightness > 0.86 else word


def _pink(lightness: float, _chroma: float, hue: float) -> str:
    if lightness > 0.56:
        return "pink"
    return "purple" if hue > 300 else "red"


def _red(lightness: float, chroma: float, hue: float) -> str:
    if chroma > 0.17 and hue > 31:
        return "orange"
    if lightness > 0.66 and chroma < 0.21:
        return "pink"
    return "brown" if chroma < 0.12 else "red"


def _orange(lightness: float, chroma: float, _hue: float) -> str:
    return "brown" if lightness < 0.55 or chroma < 0.09 or (lightness < 0.64 and chroma < 0.14) else "orange"


def _yellow(lightness: float, chroma: float, hue: float) -> str:
    if lightness < 0.69 or (lightness < 0.75 and chroma < 0.1):
        return "brown" if hue < 98 else "green"
    return "yellow"


# What a hue is called when it is dark, pale or dull.
_SHADES = {"pink": _pink, "red": _red, "orange": _orange, "yellow": _yellow}


def oklch(colour: str) -> tuple[float, float, float]:
    """Take a #rrggbb colour to OKLCH: lightness from 0 to 1, chroma, and hue in degrees.

    Source: sRGB's transfer curve by IEC 61966-2-1 and OKLab's matrices by Björn Ottosson, both as CSS Color
    Level 4 has them. Its own example: #008000 is 0.51975, 0.17686, 142.495.
    """
    red, green, blue = (_linear(part / 255) for part in channels(colour))
    long = math.cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue)
    middle = math.cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue)
    short = math.cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue)
    lightness = 0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short
    a = 1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short
    b = 0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short
    return lightness, math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
