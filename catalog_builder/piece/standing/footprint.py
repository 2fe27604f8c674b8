"""What a piece stands on: the places that touch the ground, its feet, and the area between them.

Places are mm in the level plane: to the right, and to the viewer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely
from shapely import MultiPoint, Polygon

from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.balance import Place
from catalog_builder.records.material import Material

# What is no higher than this above the lowest point touches the ground, as solder is nowhere flatter: common practice,
# no source.
GROUND_MM = 0.5
# What is narrower than this stands on an edge, which cannot hold it: common practice, no source.
EDGE_MM = 5.0
# Directions in which the corners of an area are looked for: enough for a circle.
_DIRECTIONS = 24
_TRIANGLE = 3


@dataclass(frozen=True, slots=True)
class Footprint:
    """The convex area that a piece stands on: its corners in order, and its width and depth in mm.

    ``feet`` are the lines along which it stands on feet, each of one place or two; none where its own edges touch the
    ground. ``on_edge``: it touches the ground
    along a line alone, so that without feet it falls.
    """

    corners: tuple[Place, ...]
    feet: tuple[tuple[Place, ...], ...]
    on_edge: bool

    @property
    def area(self) -> Polygon:
        """The area, without any where the corners lie on a line."""
        return Polygon(self.corners) if len(self.corners) >= _TRIANGLE else Polygon()

    @property
    def size_mm(self) -> tuple[float, float]:
        """The width and depth of the box round it."""
        across, deep = np.ptp(np.array(self.corners), axis=0).tolist()
        return across, deep


def touching(places: Points) -> Points:
    """Give those of some places in space that touch the ground, as places in its plane.

    ``places`` has shape (n, 3): to the right, down, to the viewer. The result has shape (k, 2).
    """
    lowest = places[:, 1].max()
    return np.asarray(places[places[:, 1] >= lowest - GROUND_MM][:, ::2])


def footprint(places: Points, foot: Material | None, feet: int | None) -> Footprint:
    """Give what a piece stands on that touches the ground at ``places``, shape (k, 2); with feet where there are some.

    Under a piece that touches along a line, feet lie across it at its ends, or one foot under all of it. Under another
    they sit in its corners, a round one by half of itself inwards, and the area lies between their middles: three in
    a triangle, else four.
    """
    hull = MultiPoint(places).convex_hull
    on_edge = _narrow_mm(hull) < EDGE_MM
    if foot is None:
        return Footprint(_corners(hull), (), on_edge)
    if on_edge:
        across_mm = float(foot.width_mm or foot.diameter_mm or 0)
        return _across(hull, across_mm, feet or 2)
    inner = hull.buffer(-float(foot.diameter_mm or 0) / 2, join_style="mitre")
    corners = _corners(inner if isinstance(inner, Polygon) and not inner.is_empty else hull)
    count = feet or (_TRIANGLE if len(corners) == _TRIANGLE else 4)
    chosen = _largest(corners, count)
    return Footprint(chosen, tuple((corner,) for corner in chosen), on_edge=False)


def _narrow_mm(hull: shapely.Geometry) -> float:
    """Give the shorter side of the narrowest box round a convex area; 0 of a line or a point."""
    box = shapely.minimum_rotated_rectangle(hull)
    if not isinstance(box, Polygon):
        return 0.0
    sides = np.hypot(*np.diff(shapely.get_coordinates(box), axis=0).T)
    return float(sides.min())


def _across(hull: shapely.Geometry, across_mm: float, count: int) -> Footprint:
    """Give what a piece stands on whose edge is a line: feet that lie across it from end to end, or one along it."""
    ends = shapely.get_coordinates(hull)
    first, last = max(combinations(ends, 2), key=lambda pair: math.dist(*pair), default=(ends[0], ends[0]))
    length = math.dist(first, last)
    along = (last - first) / length if length else np.array([1.0, 0.0])
    middles = [first + share * (last - first) for share in np.linspace(0.0, 1.0, max(2, count))]
    off = across_mm / 2 * np.array([-along[1], along[0]])
    sides = [(_place(middle - off), _place(middle + off)) for middle in middles]
    lines = ((_place(first), _place(last)),) if count == 1 else tuple(sides)
    return Footprint((sides[0][0], sides[-1][0], sides[-1][1], sides[0][1]), lines, on_edge=False)


def _place(point: Points) -> Place:
    return float(point[0]), float(point[1])


def _corners(hull: shapely.Geometry) -> tuple[Place, ...]:
    """Give the corners of a convex area in order; of a curved one those that are farthest in each direction."""
    places = shapely.get_coordinates(hull)
    turns = np.arange(_DIRECTIONS) * 2 * np.pi / _DIRECTIONS
    ways = np.stack([np.cos(turns), np.sin(turns)])
    if len(places) > _DIRECTIONS:
        places = places[(places @ ways).argmax(axis=0)]
    return tuple(dict.fromkeys((float(x), float(y)) for x, y in places.tolist()))


def _largest(corners: Sequence[Place], count: int) -> tuple[Place, ...]:
    """Choose so many of the corners that the area between them is largest."""
    if len(corners) <= count:
        return tuple(corners)
    return max(combinations(corners, count), key=_area)


def _area(corners: Sequence[Place]) -> float:
    """Give the area between corners in order, by the shoelace formula; 0 of fewer than three."""
    x, y = np.array(corners).T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
