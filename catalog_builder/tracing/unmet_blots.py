"""Blots of ink that no traced line runs through: lines that meet in one, or a narrow bay that the pen filled."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from PIL import Image, ImageDraw

from catalog_builder.tracing.arrays import Mask, Points
from catalog_builder.tracing.curves.affine import along_curves, placed
from catalog_builder.tracing.trace_finding import TraceFinding

# Ink this deep is clearly wider than the pen, whose own line is half a pen deep; and it is not met where the nearest
# traced line is so far off. Both in pens.
_DEEP, _OFF = 0.68, 0.85
# Looked at with so many pixels skipped each way; what is smaller, in pens across, is the ragged edge of a line.
_COARSE, _LEAST = 2, 0.3
_TEXT = (
    "there is more ink here than the traced line has: a bay that the pen filled, or lines that run together in a blot;"
    " where the border lies in it is unsure, draw it with a thinner pen, or wider apart"
)


def unmet_blots(
    ink: Mask, work: Sequence[Sequence[Points]], from_px: Points, px_per_mm: float, pen_mm: float
) -> Iterator[TraceFinding]:
    """Tell the blots of a net; ``from_px`` takes its pixels to the mm of the lines, as wide as those of ``pen_mm``."""
    from scipy.ndimage import distance_transform_edt, find_objects, label

    pen = pen_mm * px_per_mm
    far = ink[::_COARSE, ::_COARSE] & ~_covered(
        ink.shape, work, np.asarray(np.linalg.inv(from_px), dtype=np.float64), _OFF * pen
    )
    blots, count = label(far)
    sizes = np.bincount(blots.ravel(), minlength=count + 1)
    for number, box in enumerate(find_objects(blots), start=1):
        if sizes[number] < (_LEAST * pen / _COARSE) ** 2:
            continue
        low = [max(0, round(side.start * _COARSE - pen)) for side in box]
        high = [round(side.stop * _COARSE + pen) for side in box]
        depth = distance_transform_edt(np.pad(ink[low[0] : high[0], low[1] : high[1]], 1))[1:-1, 1:-1]
        places = (np.argwhere(blots[box] == number) + [side.start for side in box]) * _COARSE
        depths = depth[places[:, 0] - low[0], places[:, 1] - low[1]]
        if depths.max() > _DEEP * pen:
            at = places[int(depths.argmax()), ::-1] + 0.5
            x, y = placed(from_px, at).tolist()
            yield TraceFinding("blot", (round(x, 1), round(y, 1)), _TEXT, doubt=True)


def _covered(shape: tuple[int, ...], work: Sequence[Sequence[Points]], to_px: Points, off_px: float) -> Mask:
    """Give the places, ``_COARSE`` pixels apart, that lie within ``off_px`` of a line."""
    height, width = (len(range(0, side, _COARSE)) for side in shape)
    canvas = Image.new("1", (width, height))
    pen = ImageDraw.Draw(canvas)
    for line in work:
        points = placed(to_px, along_curves(line).reshape(-1, 2)) / _COARSE
        way = [tuple(point) for point in points.tolist()]
        reach = off_px / _COARSE
        pen.line(way, fill=1, width=max(1, round(2 * reach)), joint="curve")
        for x, y in (way[0], way[-1]):
            pen.ellipse((x - reach, y - reach, x + reach, y + reach), fill=1)
    return np.asarray(canvas)
