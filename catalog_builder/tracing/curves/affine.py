"""Affine placings of points in a plane as matrices of shape (3, 3)."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from catalog_builder.tracing.arrays import Points


def placed(matrix: Points, points: Points) -> Points:
    """Place points (..., 2)."""
    return np.asarray(points @ matrix[:2, :2].T + matrix[:2, 2])


def shifted(by: Points) -> Points:
    """Give the shift by a vector."""
    matrix = np.eye(3)
    matrix[:2, 2] = by
    return matrix


def scaled(times: float) -> Points:
    """Give the scaling about the corner."""
    return np.diag([times, times, 1.0])


def turned(radians: float) -> Points:
    """Give the turn about the corner that takes x towards y, clockwise as seen."""
    cos, sin = math.cos(radians), math.sin(radians)
    return np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])


def quarter_turned(turns: int, width: float, height: float) -> Points:
    """Undo ``numpy.rot90`` by ``turns`` of a picture whose size was (width, height) before.

    A turn takes (x, y) of the picture before to (y, width - x).
    """
    match turns % 4:
        case 1:
            return np.array([[0.0, -1.0, width], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
        case 2:
            return np.array([[-1.0, 0.0, width], [0.0, -1.0, height], [0.0, 0.0, 1.0]])
        case 3:
            return np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, height], [0.0, 0.0, 1.0]])
        case _:
            return np.eye(3)


def along_curves(curves: Sequence[Points], steps: int = 16) -> Points:
    """Give ``steps`` + 1 points at even parameters along each cubic curve (4, 2), shape (n, steps + 1, 2)."""
    share = np.linspace(0, 1, steps + 1)[:, None]
    held = np.array(curves)
    weights = ((1 - share) ** 3, 3 * (1 - share) ** 2 * share, 3 * (1 - share) * share**2, share**3)
    return np.asarray(sum(weight[None] * held[:, [index]] for index, weight in enumerate(weights)))
