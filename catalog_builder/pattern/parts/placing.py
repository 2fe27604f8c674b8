"""Where a flat drawing stands in space: x to the right, y down, z towards the viewer, all in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.parts.join import LEVEL, Join
from catalog_builder.pattern.svg.curve import Points

Place = tuple[float, float]


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

    @property
    def normal(self) -> Points:
        """The unit vector at right angles to the drawing, out of the side that is drawn; shape (3,)."""
        normal = np.cross(self.across, self.down)
        return np.asarray(-normal if self.mirrored else normal)

    def flat(self, points: Points) -> Points:
        """Give points in space, shape (n, 3), in the drawing's own plane, shape (n, 2): where they meet it upright."""
        return np.asarray((points - self.origin) @ np.stack([self.across, self.down], axis=1))

    def within(self, carrier: Placing) -> Placing:
        """Give where it stands in space if it is placed in the space of a drawing that is itself placed so."""
        axes = np.stack([carrier.across, carrier.down, carrier.normal], axis=1)
        mirrored = self.mirrored != carrier.mirrored
        return Placing(carrier.origin + axes @ self.origin, axes @ self.across, axes @ self.down, mirrored)

    def point(self, x: float, y: float) -> tuple[float, float, float]:
        """Give one point in space."""
        right, down, out = (self.origin + x * self.across + y * self.down).tolist()
        return right, down, out


# The main drawing hangs in the plane of the viewer.
UPRIGHT = Placing(np.zeros(3), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]))


def turned_about(main: Join, own: Join, inside: Place, degrees: float) -> Placing:
    """Place a part with its own join on a join of the main drawing, turned about it.

    The upper (or left) ends of the two meet. At 0 degrees the part lies flat to the right of the join, or below it
    where it lies level; at 90 it stands out towards the viewer. ``inside`` is a point of the part's glass, which
    says on which side of its own join the glass lies.
    """
    x, y = main.direction
    right = np.array([-y, x]) if abs(y) < LEVEL else np.array([y, -x])
    turn = math.radians(degrees)
    out = np.append(math.cos(turn) * right, math.sin(turn))
    return _laid_along(own.points, _off(own, inside), main.points, out)


def folded_about(main: Join, beside: Place, own: Join, inside: Place, degrees: float) -> Placing:
    """Place a part with its own join on an edge of a carrier's glass, so that the two faces stand at an inside angle.

    At 180 degrees the part lies flat beyond the edge; below that it comes out to the front, with degrees below zero at
    the back. The drawn side of the part faces outwards, away from what the faces enclose. ``beside`` is a point of the
    carrier's glass, ``inside`` one of the part's, each beside its join.
    """
    toward, off = _off(main, beside), _off(own, inside)
    turn = math.radians(abs(degrees))
    front = 1.0 if degrees > 0 else -1.0
    out = np.append(math.cos(turn) * toward, front * math.sin(turn))
    # Seen from outside with the carrier below, the part's left is where the carrier's glass lies on the left of
    # somebody who walks along the edge; at the back everything is the other way round.
    own_turns = own.direction[0] * off[1] - own.direction[1] * off[0]
    main_turns = main.direction[0] * toward[1] - main.direction[1] * toward[0]
    same = own_turns * main_turns * front > 0
    return _laid_along(own.points, off, main.points if same else main.points[::-1], out)


def _off(join: Join, inside: Place) -> Points:
    """Give the unit vector at right angles to a join, to the side where a point lies; shape (2,)."""
    along = join.direction
    off = np.array([-along[1], along[0]])
    return off if float((np.array(inside) - join.points[0]) @ off) >= 0 else -off


def _laid_along(own: Points, off: Points, main: Points, out: Points) -> Placing:
    """Lay the first end of a part's join, shape (2, 2), on that of a main one; what is ``off`` it goes ``out``."""
    along = (own[1] - own[0]) / np.hypot(*(own[1] - own[0]))
    on = np.append((main[1] - main[0]) / np.hypot(*(main[1] - main[0])), 0.0)
    across, down = along[0] * on + off[0] * out, along[1] * on + off[1] * out
    return Placing(np.append(main[0], 0.0) - own[0][0] * across - own[0][1] * down, across, down)


def across_fold(placing: Placing, fold: Fold) -> Placing:
    """Give the mirror image of a placed part across the main drawing's fold."""
    mirror = np.eye(3)
    mirror[:2, :2] = fold.matrix[:2, :2]
    shift = np.append(fold.matrix[:2, 2], 0.0)
    return Placing(mirror @ placing.origin + shift, mirror @ placing.across, mirror @ placing.down, mirrored=True)
