"""The arrays that tracing works on. A place in a picture is continuous: the pixel i covers i to i + 1."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Points: TypeAlias = NDArray[np.float64]
Mask: TypeAlias = NDArray[np.bool_]
Labels: TypeAlias = NDArray[np.int32]
Grey: TypeAlias = NDArray[np.uint8]
Pixels: TypeAlias = NDArray[np.uint8]


def sampled(picture: NDArray[Any], points: Points) -> Points:
    """Give the values of a picture of shape (height, width) at places (..., 2) by bilinear interpolation."""
    from scipy.ndimage import map_coordinates

    places = [points[..., 1].ravel() - 0.5, points[..., 0].ravel() - 0.5]
    values = map_coordinates(picture, places, output=np.float32, order=1, mode="nearest")
    return np.asarray(values, dtype=np.float64).reshape(points.shape[:-1])


def along(points: Points) -> Points:
    """Give the length along a run of points, shape (n, 2), up to each of them."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate([[0.0], np.cumsum(steps)])


def length(vector: Points) -> float:
    """Give the length of a vector of shape (2,)."""
    return float(np.hypot(vector[0], vector[1]))


def grown(mask: Mask) -> Mask:
    """Give a mask with its eight neighbours of each pixel."""
    wide = mask.copy()
    wide[:, 1:] |= mask[:, :-1]
    wide[:, :-1] |= mask[:, 1:]
    high = wide.copy()
    high[1:] |= wide[:-1]
    high[:-1] |= wide[1:]
    return high
