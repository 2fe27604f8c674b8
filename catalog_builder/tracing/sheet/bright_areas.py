"""Quadrilaterals about large areas of a small picture that are lighter, darker or of another hue than the rest."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Mask, Points, grown, length
from catalog_builder.tracing.sheet.edge_line import meeting

# A sheet fills at least this share of the picture.
LEAST_SHARE = 0.12
_ON_FRAME = 3
_TIMES_OF_THRESHOLD = (1.0, 0.8, 1.15, 0.65)


def quadrilaterals(values: NDArray[np.float64], *, both_ways: bool) -> Iterator[Points]:
    """Give the corners, shape (4, 2), of areas that stand out; ``both_ways`` also of darker ones."""
    from scipy.ndimage import gaussian_filter

    smooth = gaussian_filter(values, 2)
    low, high = np.percentile(smooth, [1, 99])
    if high - low < 6:
        return
    grey = np.clip((smooth - low) / (high - low) * 255, 0, 255).astype(np.uint8)
    threshold = _otsu(grey)
    for times in _TIMES_OF_THRESHOLD:
        for darker in (False, True) if both_ways else (False,):
            area = (grey <= threshold * times) if darker else (grey > threshold * times)
            corners = _quadrilateral(_opened(area))
            if corners is not None:
                yield corners


def _opened(area: Mask) -> Mask:
    """Leave out what is less than five pixels wide."""
    free = grown(~area)
    free[0] = free[-1] = free[:, 0] = free[:, -1] = True  # as is all beyond the frame
    return grown(grown(~grown(free)))


def _otsu(grey: NDArray[np.uint8]) -> int:
    """Give the threshold that parts a histogram in two best (N. Otsu, 1979)."""
    counts = np.bincount(grey.ravel(), minlength=256).astype(float)
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * np.arange(256))
    with np.errstate(divide="ignore", invalid="ignore"):
        between = below * above * (sums / below - (sums[-1] - sums) / above) ** 2
    return int(np.nan_to_num(between).argmax())


def _quadrilateral(area: Mask) -> Points | None:
    """Give the quadrilateral through the four longest straight stretches of the largest area's hull."""
    from scipy.ndimage import label

    height, width = area.shape
    labels, count = label(area)
    if count == 0:
        return None
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    largest = labels == int(sizes.argmax())
    if sizes.max() < LEAST_SHARE * height * width:
        return None
    rows = np.flatnonzero(largest.any(axis=1))
    first = largest[rows].argmax(axis=1)
    last = width - 1 - largest[rows, ::-1].argmax(axis=1)
    outline = np.concatenate([np.stack([first, rows], axis=1), np.stack([last + 1, rows], axis=1)]).astype(float)
    hull = shapely.convex_hull(shapely.MultiPoint(np.concatenate([outline, outline + np.array([0.0, 1.0])])))
    simple = shapely.simplify(hull, 0.008 * hull.length)
    points = shapely.get_coordinates(simple)[:-1]
    return _four_longest(points, width, height)


def _four_longest(points: Points, width: int, height: int) -> Points | None:
    """Give the corners of the four longest sides of a hull that do not lie along the picture's frame."""
    sides = []
    for index, begin in enumerate(points):
        end = points[(index + 1) % len(points)]
        both = np.array([begin, end])
        near_frame = (both < _ON_FRAME).all(axis=0).any() or (both > [width - _ON_FRAME, height - _ON_FRAME]).all(
            0
        ).any()
        if not near_frame:
            sides.append((length(end - begin), index, begin, end))
    if len(sides) < 4:
        return None
    longest = sorted(sorted(sides, key=lambda side: -side[0])[:4], key=lambda side: side[1])
    corners = []
    for index in range(4):
        before, here = longest[index - 1], longest[index]
        corner = meeting((before[2], before[3]), (here[2], here[3]))
        if corner is None or not (-0.6 * width < corner[0] < 1.6 * width and -0.6 * height < corner[1] < 1.6 * height):
            return None
        corners.append(corner)
    return np.array(corners)
