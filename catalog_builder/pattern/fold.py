"""The fold line: half a drawing, mirrored across it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog_builder.pattern.svg.curve import Points, applied


@dataclass(frozen=True, slots=True)
class Fold:
    """A fold through ``at`` along the unit vector ``along``, which points up the page or, if level, to the right."""

    at: Points
    along: Points

    @classmethod
    def through(cls, points: Points) -> Fold:
        """Make a fold through the first and last of ``points``, shape (n, 2)."""
        direction = points[-1] - points[0]
        direction = direction / np.hypot(*direction)
        if direction[1] > 1e-9 or (abs(direction[1]) <= 1e-9 and direction[0] < 0):
            direction = -direction
        return cls(points[0], direction)

    def side(self, points: Points) -> Points:
        """Give each point's distance from the fold: below zero on its left, looking along it; shape (n,)."""
        away = points - self.at
        return np.asarray(away[:, 1] * self.along[0] - away[:, 0] * self.along[1])

    @property
    def matrix(self) -> Points:
        """The mirror as an affine matrix of shape (3, 3)."""
        # A reflection in a line along the unit vector u: 2 u u^T - I.
        x, y = self.along
        mirror = np.array([[2 * x * x - 1, 2 * x * y], [2 * x * y, 2 * y * y - 1]])
        matrix = np.eye(3)
        matrix[:2, :2] = mirror
        matrix[:2, 2] = self.at - mirror @ self.at
        return matrix

    def mirrored(self, points: Points) -> Points:
        """Mirror points of shape (n, 2)."""
        return applied(self.matrix, points)

    def snapped(self, points: Points, distance: float) -> Points:
        """Move the two ends of a line onto the fold where they miss it by up to ``distance``."""
        moved = points.copy()
        normal = np.array([-self.along[1], self.along[0]])
        for end in (0, -1):
            off = float(self.side(points[[end]])[0])
            if abs(off) <= distance:
                moved[end] = points[end] - off * normal
        return moved

    def grain(self, degrees: float) -> float:
        """Mirror a grain, in degrees anticlockwise from horizontal as seen, into 0 to 180."""
        # A line at angle a, mirrored in a line at angle f, lies at 2 f - a.
        fold = math.degrees(math.atan2(-self.along[1], self.along[0]))
        return (2 * fold - degrees) % 180
