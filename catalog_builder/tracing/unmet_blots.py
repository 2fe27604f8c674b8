"""Blots of ink that no traced line runs through: lines that meet in one were not led on to their meeting point."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from catalog_builder.tracing.arrays import Mask, Points
from catalog_builder.tracing.curves.placing import along_curves, placed
from catalog_builder.tracing.trace_finding import TraceFinding

# Looked at with so many pixels skipped each way.
_COARSE = 3
# Ink is a blot where it is this deep, and is not met where the nearest line is so far off; both in pens.
_DEEP, _OFF = 0.8, 1.5
_TEXT = "lines run together in a blot of ink, and where they meet in it is unsure: draw them thinner there, or look"


def unmet_blots(
    ink: Mask, work: Sequence[Sequence[Points]], from_px: Points, px_per_mm: float, pen_mm: float
) -> Iterator[TraceFinding]:
    """Tell the blots of a net; ``from_px`` takes its pixels to the mm of the lines, as wide as those of ``pen_mm``."""
    from scipy.ndimage import distance_transform_edt, label, maximum_position

    depth = distance_transform_edt(ink[::_COARSE, ::_COARSE]) * _COARSE
    blots, count = label(depth > _DEEP * pen_mm * px_per_mm)
    if count == 0:
        return
    net = shapely.MultiLineString([along_curves(line).reshape(-1, 2) for line in work])
    far = np.zeros(depth.shape)
    rows, columns = np.nonzero(blots)
    places = placed(from_px, np.stack([columns, rows], axis=1).astype(np.float64) * _COARSE + _COARSE / 2)
    far[rows, columns] = shapely.distance(shapely.points(places), net)
    for row, column in maximum_position(far, blots, range(1, count + 1)):
        if far[row, column] > _OFF * pen_mm:
            x, y = placed(from_px, np.array([column, row], dtype=np.float64) * _COARSE + _COARSE / 2).tolist()
            yield TraceFinding("blot", (round(x, 1), round(y, 1)), _TEXT, doubt=True)
