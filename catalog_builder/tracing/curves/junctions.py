"""Junctions, where the end curves of the lines that meet come together when they are led on.

The ink's own middle is pulled aside there; curves fitted to the clean stretches are not (compare G. Noris and others,
Topology-driven vectorization of clean line drawings, 2013).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Mask, Points, along

# A line's end is led on so far beyond its border's end, at least.
LED_ON_MM = 4.0
_FITTED_MM = 7.0
_CURVED_OVER_MM = 4.0


@dataclass(frozen=True, slots=True)
class EndCurve:
    """A line's end as polynomials of the length along it, 0 at its first clean point, towards the line.

    ``end`` is where the border itself ends, ``span`` the length that was fitted.
    """

    x: Points
    y: Points
    end: float
    span: float

    def at(self, place: Points) -> Points:
        """Give points (n, 2) at lengths along it."""
        return np.stack([np.polyval(self.x, place), np.polyval(self.y, place)], axis=-1)

    def led_on(self, beyond: float) -> Points:
        """Give the lengths at which it is looked at near its junction: led on beyond the border's end, and inwards."""
        return np.linspace(min(1.8 * self.end, self.end - beyond), 0.5, 60)

    def misses(self, point: Points, beyond: float) -> float:
        """Give how far it passes from a point when it is led on so far beyond the border's end, in mm."""
        return float(np.hypot(*(self.at(self.led_on(beyond)) - point).T).min())


def end_curve(points: Points, clean: Mask, pen_mm: float) -> EndCurve | None:
    """Fit the first clean stretch of a line (n, 2) in mm that begins at a junction; None where none is near."""
    at = along(points)
    usable = np.flatnonzero(clean & (at > 0.45 * pen_mm))
    if len(usable) == 0 or at[usable[0]] > max(9 * pen_mm, 9.0):
        return None
    first = at[usable[0]]
    chosen = clean & (at >= first) & (at < first + _FITTED_MM)
    if chosen.sum() < 4 or at[chosen][-1] - first < 1.0:
        return None
    places = at[chosen] - first
    span = float(places[-1])
    degree = 2 if span > _CURVED_OVER_MM else 1
    weights = np.exp(-places / 6)
    x, y = (np.polyfit(places, points[chosen, axis], degree, w=weights) for axis in (0, 1))
    return EndCurve(x, y, -float(first), span)


def meeting_point(near: Points, curves: Sequence[EndCurve], beyond: float = LED_ON_MM) -> Points:
    """Give the point that lies nearest to all end curves, led on; ``near`` holds it where they leave it open."""
    point = near.copy()
    for _ in range(6):
        matrix, right = 0.03 * np.eye(2), 0.03 * near
        for curve in curves:
            places = curve.led_on(beyond)
            line = curve.at(places)
            best = int(((line - point) ** 2).sum(axis=1).argmin())
            across = np.array(
                [-np.polyval(np.polyder(curve.y), places[best]), np.polyval(np.polyder(curve.x), places[best])]
            )
            across = across / max(float(np.hypot(*across)), 1e-9)
            weight = min(1.0, curve.span / 5) / (1 + abs(places[best]) / 3)
            matrix = matrix + weight * np.outer(across, across)
            right = right + weight * across * (across @ line[best])
        point = np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    return point


def point_on_fold(near: Points, curve: EndCurve, fold_x: float, pen_mm: float) -> Points:
    """Give where a line's end curve meets the upright fold at ``fold_x``; the border's own end where it does not."""
    places = np.linspace(2 * curve.end - 3, 1.0, 400)
    line = curve.at(places)
    best = int((np.abs(line[:, 0] - fold_x) + 0.02 * np.abs(places - curve.end)).argmin())
    point = line[best] if np.hypot(*(line[best] - near)) < 2.5 * pen_mm else near
    return np.array([fold_x, point[1]])
