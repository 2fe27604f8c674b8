"""The plain word for a colour of glass: a dozen words, chosen as the eye does.

A colour is taken to OKLCH, whose lightness, chroma and hue follow what is seen; there each word has its room.
"""

from __future__ import annotations

import math

from catalog_builder.publish.pictures.glass.oklab import oklab

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

    Its example in CSS Color Level 4: #008000 is 0.51975, 0.17686, 142.495.
    """
    lightness, a, b = oklab(colour)
    return lightness, math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360
