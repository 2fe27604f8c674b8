"""Least squares in which what is far off counts less: K. Levenberg (1944), D. Marquardt (1963).

Each step weighs the rest r by 1 / sqrt(1 + r^2), so that the sum of 2 (sqrt(1 + r^2) - 1) falls: squares near 0, and
about 2 r far off. scipy.optimize does the same; its import takes as long as the whole fit.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from catalog_builder.tracing.arrays import Points

_MOST_STEPS, _STEP, _ENOUGH = 40, 1e-6, 1e-8


def robust_fit(off: Callable[[Points], Points], start: Points) -> Points:
    """Give the values, shape (n,), for which ``off`` of them, shape (m,), is least; ``start`` is near them."""
    values, rest = start, off(start)
    damping = 1e-3
    for _ in range(_MOST_STEPS):
        slopes = np.stack([(off(values + step) - rest) / _STEP for step in _STEP * np.eye(len(values))], axis=1)
        weights = 1 / np.sqrt(1 + rest**2)
        square, down = slopes.T @ (weights[:, None] * slopes), slopes.T @ (weights * rest)
        before = _sum(rest)
        while damping < 1e9:
            ridge = damping * np.diag(np.maximum(np.diag(square), 1e-12))
            tried = values - np.linalg.solve(square + ridge, down)
            rest_there = off(tried)
            if _sum(rest_there) <= before:
                break
            damping *= 8
        else:
            return values
        values, rest, damping = tried, rest_there, damping / 8
        if before - _sum(rest) <= _ENOUGH * before:
            break
    return values


def _sum(rest: Points) -> float:
    return float((2 * (np.sqrt(1 + rest**2) - 1)).sum())
