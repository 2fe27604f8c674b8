"""The way of a wire along the rim: from a place to both sides, past the end of a seam, so that two pieces hold it."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import LinearRing, LineString, Point
from shapely.ops import substring

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.wire_legs import REACH_MM

# How far past the end of a seam the wire is soldered: common practice, no source.
FOOT_MM = 10.0
# The wire follows the rim this closely; solder fills the rest.
FOLLOWS_MM = 0.1
# So near to a rim a seam ends on it.
_ON_RIM_MM = 0.05


def outer_rims(flat: FlatPart) -> list[LinearRing]:
    """Give the outer rim of each group of pieces that hang together."""
    return [group.exterior for group in shapely.get_parts(flat.pattern.glass)]


def top_of_rim(flat: FlatPart, x: float) -> Place | None:
    """Give the highest place of the rim at ``x``; None where there is no glass at it."""
    rims = shapely.union_all(outer_rims(flat))
    _, top, _, bottom = rims.bounds
    crossed = shapely.get_coordinates(rims.intersection(LineString([(x, top - 1), (x, bottom + 1)])))
    return (x, float(crossed[:, 1].min())) if len(crossed) else None


def nearest_on_rim(flat: FlatPart, place: Place) -> Place:
    """Give the place of the outer rim that is nearest to a place."""
    return nearest_on(min(outer_rims(flat), key=Point(*place).distance), place)


def nearest_on(line: LineString, place: Place) -> Place:
    """Give the place of a line that is nearest to a place."""
    on_line = line.interpolate(line.project(Point(*place)))
    return on_line.x, on_line.y


def way_along_rim(flat: FlatPart, place: Place) -> tuple[Place, ...]:
    """Give the points of the way along the rim to both sides of a place on it.

    Each side ends ``FOOT_MM`` past the nearest seam that meets this rim and is no part of the ring's own seat. Where
    none does, or the two sides would meet, the way leads right round.
    """
    at = Point(*place)
    rim = min(outer_rims(flat), key=at.distance)
    begin, length = rim.project(at), rim.length
    ends = [Point(end) for end in flat.edges.seam_ends.tolist()]
    onward = np.array([(rim.project(end) - begin) % length for end in ends if rim.distance(end) <= _ON_RIM_MM])
    right = float(onward[onward > REACH_MM].min(initial=length))
    left = float((length - onward)[length - onward > REACH_MM].min(initial=length))
    if left + right + 2 * FOOT_MM >= length:
        points = _from(rim, begin, length)
        way = LineString([*points[:-1], points[0]])
    else:
        way = LineString(_from(rim, begin - left - FOOT_MM, left + right + 2 * FOOT_MM))
    return tuple((float(x), float(y)) for x, y in way.simplify(FOLLOWS_MM).coords)


def _from(rim: LinearRing, begin: float, length: float) -> list[Place]:
    """Give the points of a stretch of a rim that begins at a distance along it and may run over its first point."""
    start = begin % rim.length
    line, rest = LineString(rim.coords), start + length - rim.length
    parts = [substring(line, start, min(start + length, rim.length))]
    if rest > 0:
        parts.append(substring(line, 0, rest))
    points = [(float(x), float(y)) for part in parts for x, y in part.coords]
    return [point for index, point in enumerate(points) if not index or point != points[index - 1]]
