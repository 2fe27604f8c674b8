"""The straight sides of a drawing's outline, on which a part can be set all round."""

from __future__ import annotations

import numpy as np
import shapely

from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.svg.curve import Points

# Points within this of a straight line lie on it; a curve's chords turn away sooner.
STRAIGHT_MM = 0.02
# Sides that differ from a part's join by up to this, or this share of it, are as long as it.
SAME_SIDE_MM = 0.5
SAME_SIDE = 0.005


def straight_sides(pattern: Pattern) -> tuple[Join, ...]:
    """Give the straight sides of the outer outline of a drawing's glass as joins, in order round each outline."""
    sides = []
    for corners in _outlines(pattern):
        for begin, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            sides.append(Join(np.array([begin, end]), None, 0))
    return tuple(sides)


def outline_corners(pattern: Pattern) -> Points:
    """Give the corners of the outer outlines of a drawing's glass, shape (n, 2)."""
    return np.concatenate(_outlines(pattern))


def as_long_as(sides: tuple[Join, ...], length_mm: float) -> tuple[Join, ...]:
    """Give those of the sides that are as long as a part's join."""
    near = max(SAME_SIDE_MM, SAME_SIDE * length_mm)
    return tuple(side for side in sides if abs(side.length_mm - length_mm) <= near)


def _outlines(pattern: Pattern) -> list[Points]:
    glass = pattern.glass
    return [_corners(np.asarray(group.exterior.coords)[:-1, :2]) for group in shapely.get_parts(glass)]


def _corners(ring: Points) -> Points:
    """Give the points of a closed outline, shape (n, 2), at which it turns.

    The outline begins anew at its point that is farthest from its middle, which is a corner whatever else is.
    """
    first = int(np.hypot(*(ring - ring.mean(axis=0)).T).argmax())
    ring = np.roll(ring, -first, axis=0)
    closed = np.concatenate([ring, ring[:1]])
    return np.asarray(shapely.get_coordinates(shapely.simplify(shapely.linestrings(closed), STRAIGHT_MM)))[:-1]
