"""How well a colour can be read on another.

Source: Web Content Accessibility Guidelines (WCAG) 2.2, W3C Recommendation: the definitions "relative luminance" and
"contrast ratio", and success criterion 1.4.3, which asks 4.5 to 1 for text.
"""

from __future__ import annotations

from collections.abc import Sequence

READABLE = 4.5
_BLACK, _WHITE = "#000000", "#ffffff"


def contrast(colour: str, other: str) -> float:
    """Give the contrast ratio of two #rrggbb colours, from 1 (alike) to 21 (black on white).

    (L1 + 0.05) / (L2 + 0.05), where L1 is the relative luminance of the lighter and L2 that of the darker one.
    """
    darker, lighter = sorted((luminance(colour), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """Give the relative luminance of a #rrggbb colour, from 0 (black) to 1 (white)."""
    red, green, blue = (_linear(part / 255) for part in _parts(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def least_contrast(colour: str, papers: Sequence[str]) -> float:
    """Give the contrast of a colour with that paper on which it is read worst."""
    return min(contrast(colour, paper) for paper in papers)


def mixed(colour: str, other: str, share: float) -> str:
    """Give a colour with a share, 0 to 1, of another mixed into it, part by part in sRGB."""
    parts = zip(_parts(colour), _parts(other), strict=True)
    return "#" + "".join(f"{round(part + (mixed_in - part) * share):02x}" for part, mixed_in in parts)


def readable(colour: str, papers: Sequence[str], least: float = READABLE) -> str:
    """Give the colour itself if it can be read on all papers, else the nearest that can.

    Black or white is mixed in, as little as will do; where neither will do, that which comes nearer to it.
    """
    for step in range(256):
        fitting = [
            tried
            for pole in (_BLACK, _WHITE)
            if least_contrast(tried := mixed(colour, pole, step / 255), papers) >= least
        ]
        if fitting:
            return max(fitting, key=lambda tried: least_contrast(tried, papers))
    return max((_BLACK, _WHITE), key=lambda pole: least_contrast(pole, papers))


def _parts(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _linear(part: float) -> float:
    # WCAG 2.2 gives 0.04045; earlier editions had 0.03928, which changes no colour of eight bits.
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
