"""Lines and curves of a drawing, kept exact until they are flattened to a chord tolerance.

Points are arrays of shape (n, 2), in drawing units or mm; y grows downwards, as in SVG.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _PointSegment:
    """A segment by its ``points``, shape (n, 2), which hold it in."""

    points: Points

    def moved(self, matrix: Points) -> Self:
        """Apply an affine matrix of shape (3, 3)."""
        return type(self)(applied(matrix, self.points))

    @property
    def reach(self) -> float:
        """The largest coordinate of a point, its sign left out."""
        return float(np.abs(self.points).max())


class Straight(_PointSegment):
    """A polyline through ``points``."""

    __slots__ = ()

    def flat(self, tolerance: float) -> Points:
        """Give the points as they are; a polyline is flat already."""
        del tolerance
        return self.points


class Bezier(_PointSegment):
    """A quadratic or cubic curve by its 3 or 4 control points; it lies in their convex hull."""

    __slots__ = ()

    def flat(self, tolerance: float) -> Points:
        """Give points on the curve whose chords stay within ``tolerance`` of it.

        A curve of degree d leaves its chords by at most d(d-1)/8 of its largest second difference over
        n squared (the known bound on linear interpolation of a polynomial).
        """
        degree = len(self.points) - 1
        bend = float(np.abs(np.hypot(*np.diff(self.points, 2, axis=0).T)).max())
        count = max(1, math.ceil(math.sqrt(degree * (degree - 1) / 8 * bend / tolerance)))
        t = np.linspace(0.0, 1.0, count + 1)[:, None]
        weights = [math.comb(degree, k) * t**k * (1 - t) ** (degree - k) for k in range(degree + 1)]
        flat = sum(weight * point for weight, point in zip(weights, self.points, strict=True))
        return np.asarray(flat)


@dataclass(frozen=True, slots=True)
class Arc:
    """An elliptical arc: centre + axes[0] cos(angle) + axes[1] sin(angle), from ``start`` over ``sweep`` radians."""

    centre: Points
    axes: Points
    start: float
    sweep: float

    def moved(self, matrix: Points) -> Arc:
        """Apply an affine matrix of shape (3, 3); an ellipse stays an ellipse."""
        return Arc(applied(matrix, self.centre[None, :])[0], self.axes @ matrix[:2, :2].T, self.start, self.sweep)

    @property
    def reach(self) -> float:
        """The largest coordinate of the box round the whole ellipse, its sign left out."""
        return float((np.abs(self.centre) + np.abs(self.axes).sum(axis=0)).max())

    def flat(self, tolerance: float) -> Points:
        """Give points on the arc whose chords stay within ``tolerance``: sagitta s = r (1 - cos(angle / 2))."""
        radius = float(np.linalg.norm(self.axes, 2))
        count = 4
        if radius > tolerance:
            count = max(count, math.ceil(abs(self.sweep) / (2 * math.acos(1 - tolerance / radius))))
        angles = self.start + self.sweep * np.linspace(0.0, 1.0, count + 1)
        return np.asarray(self.centre + np.cos(angles)[:, None] * self.axes[0] + np.sin(angles)[:, None] * self.axes[1])


Segment = Straight | Bezier | Arc


@dataclass(frozen=True, slots=True)
class Subpath:
    """Segments joined end to end; ``closed`` where the last returns to the first."""

    segments: tuple[Segment, ...]
    closed: bool

    def moved(self, matrix: Points) -> Subpath:
        """Apply an affine matrix of shape (3, 3)."""
        return Subpath(tuple(segment.moved(matrix) for segment in self.segments), self.closed)

    @property
    def reach(self) -> float:
        """How far the run may reach from the origin, along x or y: its control points hold it in."""
        return max(segment.reach for segment in self.segments)

    def flat(self, tolerance: float) -> Points:
        """Give the whole run as points, shape (n, 2), each once; a closed run ends where it began."""
        points = np.concatenate([segment.flat(tolerance) for segment in self.segments])
        keep = np.ones(len(points), dtype=bool)
        keep[1:] = np.abs(np.diff(points, axis=0)).max(axis=1) > 1e-9
        points = points[keep]
        if self.closed and len(points) > 1:
            if np.abs(points[0] - points[-1]).max() <= 1e-6:
                points[-1] = points[0]
            else:
                points = np.concatenate([points, points[:1]])
        return points


def applied(matrix: Points, points: Points) -> Points:
    """Apply an affine matrix of shape (3, 3) to points of shape (n, 2)."""
    return np.asarray(points @ matrix[:2, :2].T + matrix[:2, 2])


def arc_between(
    begin: Points, end: Points, radii: tuple[float, float], turn: float, flags: tuple[bool, bool]
) -> Segment:
    """Make an arc from its end points, radii, turn in degrees and the flags large and sweep.

    Source: SVG 2, implementation notes on elliptical arcs: radii too small are scaled up, a radius of
    zero gives a straight line.
    """
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0 or np.array_equal(begin, end):
        return Straight(np.array([begin, end]))
    phi = math.radians(turn)
    rotation = np.array([[math.cos(phi), -math.sin(phi)], [math.sin(phi), math.cos(phi)]])
    half = rotation.T @ ((begin - end) / 2)
    excess = (half[0] / rx) ** 2 + (half[1] / ry) ** 2
    if excess > 1:
        rx, ry = rx * math.sqrt(excess), ry * math.sqrt(excess)
    wide = (rx * half[1]) ** 2 + (ry * half[0]) ** 2
    factor = math.sqrt(max(0.0, ((rx * ry) ** 2 - wide) / wide))
    if flags[0] == flags[1]:
        factor = -factor
    centre_turned = factor * np.array([rx * half[1] / ry, -ry * half[0] / rx])
    centre = rotation @ centre_turned + (begin + end) / 2
    first = math.atan2((half[1] - centre_turned[1]) / ry, (half[0] - centre_turned[0]) / rx)
    last = math.atan2((-half[1] - centre_turned[1]) / ry, (-half[0] - centre_turned[0]) / rx)
    sweep = last - first
    if flags[1] and sweep < 0:
        sweep += 2 * math.pi
    elif not flags[1] and sweep > 0:
        sweep -= 2 * math.pi
    axes = np.array([rotation[:, 0] * rx, rotation[:, 1] * ry])
    return Arc(centre, axes, first, sweep)
