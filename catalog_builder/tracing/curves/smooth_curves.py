"""Few smooth cubic curves through the points of a line: a spline of least squares, with as few knots as will do."""

from __future__ import annotations

import numpy as np

from catalog_builder.tracing.arrays import Mask, Points, along, length
from catalog_builder.tracing.curves.cubic_spline import CubicSpline, fitted_spline

TOLERANCE_MM = 0.05
# No more than one curve for so many millimetres.
_LEAST_MM = 4.5
_HELD = 300.0


def smooth_curves(points: Points, clean: Mask, begin: Points, end: Points) -> list[Points]:
    """Give cubic Bezier curves, shape (4, 2) each, from ``begin`` to ``end`` along a line (n, 2), all in mm."""
    chosen = clean.copy()
    chosen[0] = chosen[-1] = False
    kept = between(points[chosen], begin, end)
    if len(kept) < 4 or along(points)[-1] < 1.2:
        return [_straight(begin, end)]
    held = np.vstack([begin, kept, end])
    at = along(held) + np.arange(len(held)) * 1e-7
    weights = np.ones(len(at))
    weights[0] = weights[-1] = _HELD
    most = max(1, int(at[-1] / _LEAST_MM))
    pieces = 1
    best = None
    while True:
        inner = np.quantile(at, np.linspace(0, 1, pieces + 1)[1:-1]) if pieces > 1 else np.empty(0)
        spline = fitted_spline(at, held, inner, weights)
        if spline is None:
            break
        best = spline, np.concatenate([[0.0], inner, [at[-1]]])
        off = np.hypot(*(spline.at(at) - held).T)
        close = np.sqrt((off**2).mean()) < TOLERANCE_MM and np.quantile(off, 0.98) < 3 * TOLERANCE_MM
        if close or pieces >= most:
            break
        pieces = min(most, pieces + max(1, pieces // 2))
    return _as_bezier(*best, begin, end) if best is not None else [_straight(begin, end)]


def between(points: Points, begin: Points, end: Points) -> Points:
    """Leave out the points that lie behind an end, where the junction was moved along the line."""
    if len(points) < 4:
        return points
    keep = np.ones(len(points), dtype=bool)
    for corner, inner in ((begin, points[min(3, len(points) - 1)]), (end, points[-min(4, len(points))])):
        away = points - corner
        keep &= ~((np.hypot(*away.T) < 1.5) & (away @ (inner - corner) <= 0.1))
    return np.asarray(points[keep])


def _straight(begin: Points, end: Points) -> Points:
    return np.array([begin, begin + (end - begin) / 3, begin + (end - begin) * 2 / 3, end])


def _as_bezier(spline: CubicSpline, breaks: Points, begin: Points, end: Points) -> list[Points]:
    corners, slopes = spline.at(breaks), spline.slopes(breaks)
    corners[0], corners[-1] = begin, end
    curves = []
    for index in range(len(breaks) - 1):
        third = (breaks[index + 1] - breaks[index]) / 3
        first, last = corners[index], corners[index + 1]
        curves.append(np.array([first, first + third * slopes[index], last - third * slopes[index + 1], last]))
    return curves


def is_straight(curve: Points, within_mm: float) -> bool:
    """Say whether a cubic curve (4, 2) is a straight line, up to a distance."""
    chord = curve[3] - curve[0]
    far = length(chord)
    if far == 0:
        return False
    off = np.abs((curve[1:3, 0] - curve[0, 0]) * chord[1] - (curve[1:3, 1] - curve[0, 1]) * chord[0]) / far
    along_it = ((curve[1:3] - curve[0]) @ chord) / far**2
    return bool((off < within_mm).all() and (along_it > 0).all() and (along_it < 1).all())
