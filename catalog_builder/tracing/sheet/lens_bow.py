"""The bow that a lens gives to straight edges: one radial coefficient about the middle of the picture."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from catalog_builder.tracing.arrays import Points

_MOST = 0.12
# Less than this cannot be told from an edge that is not cut straight.
_LEAST = 0.0015
# The edges must come out so much straighter.
_GAIN = 0.35


def straightened(points: Points, bow: float, shape: tuple[int, ...]) -> Points:
    """Give where a lens without bow would show places (..., 2): at p (1 + k r^2), half the diagonal as unit."""
    middle, unit = _frame(shape)
    away = (points - middle) / unit
    return np.asarray(away * (1 + bow * (away**2).sum(axis=-1, keepdims=True)) * unit + middle)


def bowed(points: Points, bow: float, shape: tuple[int, ...]) -> Points:
    """Give where a lens of this bow shows places (..., 2): the inverse of ``straightened``."""
    middle, unit = _frame(shape)
    straight = (points - middle) / unit
    away = straight.copy()
    for _ in range(8):
        away = straight / (1 + bow * (away**2).sum(axis=-1, keepdims=True))
    return np.asarray(away * unit + middle)


def bow_of(edges: Sequence[Points], shape: tuple[int, ...]) -> float:
    """Give the coefficient that makes four edges straight, each with points (n, 2); 0 where they are straight as is."""
    from scipy.optimize import minimize_scalar

    def crookedness(bow: float) -> float:
        total = 0.0
        for points in edges:
            straight = straightened(points, bow, shape)
            total += float(np.linalg.svd(straight - straight.mean(axis=0), compute_uv=False)[1] ** 2)
        return total

    best = minimize_scalar(crookedness, bounds=(-_MOST, _MOST), method="bounded", options={"xatol": 1e-5})
    bow = float(best.x)
    return bow if crookedness(bow) < _GAIN * crookedness(0.0) and abs(bow) > _LEAST else 0.0


def _frame(shape: tuple[int, ...]) -> tuple[Points, float]:
    height, width = shape[:2]
    return np.array([width / 2, height / 2]), float(np.hypot(width, height) / 2)
