"""Where a flat drawing stands in space: x to the right, y down, z towards the viewer, all in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.parts.join import LEVEL, Join
from catalog_builder.pattern.svg.curve import Points


@dataclass(frozen=True, slots=True, eq=False)
class Placing:
    """A point (x, y) of the drawing stands at ``origin + x * across + y * down``; each has shape (3,).

    ``across`` and ``down`` are unit vectors at right angles. ``mirrored``: it is the drawing's mirror image.
    """

    origin: Points
    across: Points
    down: Points
    mirrored: bool = False

    def points(self, flat: Points) -> Points:
        """Give points of shape (n, 2) in space, shape (n, 3)."""
        return np.asarray(self.origin + flat[:, :1] * self.across + flat[:, 1:2] * self.down)

    def point(self, x: float, y: float) -> tuple[float, float, float]:
        """Give one point in space."""
        right, down, out = (self.origin + x * self.across + y * self.down).tolist()
        return right, down, out


# The main drawing hangs in the plane of the viewer.
UPRIGHT = Placing(np.zeros(3), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]))


def turned_about(main: Join, own: Join, inside: tuple[float, float], degrees: float) -> Placing:
    """Place a part with its own join on a join of the main drawing, turned about it.

    The upper (or left) ends of the two meet. At 0 degrees the part lies flat to the right of the join, or below it
    where it lies level; at 90 it stands out towards the viewer. ``inside`` is a point of the part's glass, which
    says on which side of its own join the glass lies.
    """
    begin, along = own.points[0], own.direction
    off = np.array([-along[1], along[0]])
    if float((np.array(inside) - begin) @ off) < 0:
        off = -off
    x, y = main.direction
    right = np.array([-y, x]) if abs(y) < LEVEL else np.array([y, -x])
    turn = math.radians(degrees)
    on = np.array([x, y, 0.0])
    out = np.append(math.cos(turn) * right, math.sin(turn))
    across, down = along[0] * on + off[0] * out, along[1] * on + off[1] * out
    return Placing(np.append(main.points[0], 0.0) - begin[0] * across - begin[1] * down, across, down)


def across_fold(placing: Placing, fold: Fold) -> Placing:
    """Give the mirror image of a placed part across the main drawing's fold."""
    mirror = np.eye(3)
    mirror[:2, :2] = fold.matrix[:2, :2]
    shift = np.append(fold.matrix[:2, 2], 0.0)
    return Placing(mirror @ placing.origin + shift, mirror @ placing.across, mirror @ placing.down, mirrored=True)
