"""How dark each place of a sheet is against the paper about it: shadows, tints and folds even out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageFilter

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.tracing.arrays import Grey, Mask, Pixels, grown

# The paper's own lightness is that of a closing with a square so wide: wider than any line.
_PAPER_MM = 6.0
# A blot in which many lines meet is wider, up to so much. Paper in a shadow keeps more than this share of the light.
_BLOT_MM, _IN_SHADOW = 20.0, 0.55
_DARK = 70
# The grain of a photo is smoothed over so much on either side.
_SMOOTH_MM = 0.05
# Of the pen's own darkness: pencil and squares are lighter than that.
_SHARE_OF_INK = 0.62
_LOWEST, _HIGHEST = 60, 150
# What lies so near to the edge of the sheet may be its shadow.
MARGIN_MM = 2.5
_LEAST_PIXELS = 200
# Paper is looked at with fewer pixels: so many to a side become one.
_SMALLER = 4
_ROWS = 64


@dataclass(frozen=True, slots=True)
class Darkness:
    """Values of shape (height, width), 0 for paper to 255 for black; ``level`` is that of the pen.

    ``ink`` is where it is dark enough to be drawn with the pen.
    """

    values: Grey
    level: float
    ink: Mask


def darkness_of(pixels: Pixels, px_per_mm: float, place: Place) -> Darkness:
    """Give how dark a flat sheet is, in the channel in which a colour is darkest.

    Raises:
        MistakeError: nothing is drawn on it.
    """
    values = _against_paper(pixels, px_per_mm)
    counts = np.array(Image.fromarray(values).histogram()[_DARK:])
    if counts.sum() < _LEAST_PIXELS:
        raise MistakeError.at(
            place,
            wrong="no lines were found on the sheet",
            expected="a drawing in pen, black or coloured, on lighter paper",
            mend="go over the lines with a pen or marker of 0.7 to 2.5 mm, and take the photo in better light",
        )
    level = _DARK + int(np.searchsorted(np.cumsum(counts) / counts.sum(), 0.75))
    ink = _closed(values > np.clip(_SHARE_OF_INK * level, _LOWEST, _HIGHEST))
    margin = round(MARGIN_MM * px_per_mm)
    ink[:margin] = ink[-margin:] = False
    ink[:, :margin] = ink[:, -margin:] = False
    return Darkness(values, float(level), ink)


def _against_paper(pixels: Pixels, px_per_mm: float) -> Grey:
    """Divide by the lightness of the paper, a closing that keeps the edge of a shadow where it is."""
    from scipy.ndimage import maximum_filter, minimum_filter

    height, width = pixels.shape[:2]
    side = int(_PAPER_MM * px_per_mm / _SMALLER) | 1
    lightest = np.full((height, width), 255, dtype=np.uint8)
    for channel in Image.fromarray(pixels).split():
        small = np.asarray(channel.reduce(_SMALLER))
        paper = _without_blots(minimum_filter(maximum_filter(small, side), side), px_per_mm / _SMALLER)
        large = Image.fromarray(paper).resize((width, height), Image.Resampling.BILINEAR)
        _keep_darker(lightest, np.asarray(channel), np.asarray(large))
    np.subtract(255, lightest, out=lightest)
    return np.asarray(Image.fromarray(lightest).filter(ImageFilter.BoxBlur(_SMOOTH_MM * px_per_mm)))


def _keep_darker(lightest: Grey, channel: Grey, paper: Grey) -> None:
    """Lower ``lightest``, of 255, to the channel as a share of the paper, a few rows at a time to save memory."""
    paper_of, channel_of = np.mgrid[:256, :256]
    shares = np.minimum(255 * channel_of / np.maximum(paper_of, 1), 255).astype(np.uint8).ravel()
    for top in range(0, len(lightest), _ROWS):
        rows = slice(top, top + _ROWS)
        pairs = paper[rows].astype(np.uint16)
        pairs <<= 8
        pairs |= channel[rows]
        np.minimum(lightest[rows], shares[pairs], out=lightest[rows])


def _without_blots(paper: Grey, px_per_mm: float) -> Grey:
    """Give what is too dark for paper in a shadow the lightness of the paper about it."""
    from scipy.ndimage import maximum_filter, minimum_filter

    height, width = paper.shape
    few = Image.fromarray(paper).resize((max(1, width // 2), max(1, height // 2)), Image.Resampling.BOX)
    side = int(_BLOT_MM * px_per_mm / 2) | 1
    around = minimum_filter(maximum_filter(np.asarray(few), side), side)
    around = np.asarray(Image.fromarray(around).resize((width, height), Image.Resampling.BILINEAR))
    return np.asarray(np.where(paper < around * np.float32(_IN_SHADOW), around, paper))


def _closed(mask: Mask) -> Mask:
    """Fill what is one pixel wide."""
    return ~grown(~grown(mask))
