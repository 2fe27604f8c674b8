"""The bow that a lens gives to straight edges: one radial coefficient about the middle of the picture."""

from __future__ import annotations

import numpy as np

from catalog_builder.tracing.arrays import Points


def bowed(points: Points, bow: float, shape: tuple[int, ...]) -> Points:
    """Give where a lens of this bow shows places (..., 2).

    A place p that it shows is seen at p (1 + k r^2) without bow, half the diagonal of the picture as unit.
    """
    middle, unit = lens_frame(shape)
    straight = (points - middle) / unit
    away = straight.copy()
    for _ in range(8):
        away = straight / (1 + bow * (away**2).sum(axis=-1, keepdims=True))
    return np.asarray(away * unit + middle)


def lens_frame(shape: tuple[int, ...]) -> tuple[Points, float]:
    """Give the middle of a picture of a shape, and half its diagonal, both in pixels."""
    height, width = shape[:2]
    return np.array([width / 2, height / 2]), float(np.hypot(width, height) / 2)
