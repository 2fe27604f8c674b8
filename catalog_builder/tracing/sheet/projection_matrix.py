"""Homographies: the matrix that maps a plane onto its image."""

from __future__ import annotations

import numpy as np

from catalog_builder.tracing.arrays import Points


def homography(places: Points, images: Points) -> Points:
    """Give the matrix (3, 3) that maps four places onto four images, shapes (4, 2), in homogeneous coordinates."""
    rows: list[list[float]] = []
    right: list[float] = []
    for (x, y), (u, v) in zip(places, images, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
        right.extend((u, v))
    return np.append(np.linalg.solve(np.array(rows), np.array(right)), 1.0).reshape(3, 3)
