"""Copies that pass through each other, which no glass can."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from catalog_builder.pattern.parts.copies import Copy
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.pattern.svg.curve import Points

# Glass that reaches into other glass by less than this is a matter of foil and grinding.
SINK_MM = 1.0
# Planes that turn away from each other by less than this sine, about half a degree, are parallel.
PARALLEL = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Crossing:
    """Two copies that pass through each other: their numbers, and a place in space, shape (3,)."""

    copies: tuple[int, int]
    at: Points


def crossings(copies: Sequence[Copy], glass: Sequence[BaseGeometry]) -> Iterator[Crossing]:
    """Find copies that pass through each other or lie on each other; ``glass`` is that of each in its own plane."""
    inner = [shapely.buffer(shape, -SINK_MM, join_style="mitre") for shape in glass]
    corners = [copy.place.points(shapely.get_coordinates(shape)) for copy, shape in zip(copies, inner, strict=True)]
    boxes = np.array(
        [(*points.min(axis=0), *points.max(axis=0)) if len(points) else [np.nan] * 6 for points in corners]
    )
    for first in range(len(copies)):
        near = (boxes[first, :3] <= boxes[first + 1 :, 3:] + SINK_MM) & (
            boxes[first + 1 :, :3] <= boxes[first, 3:] + SINK_MM
        )
        for second in (np.flatnonzero(near.all(axis=1)) + first + 1).tolist():
            at = _common(copies[first].place, inner[first], copies[second].place, inner[second])
            if at is not None:
                yield Crossing((first, second), at)


def _common(placing: Placing, glass: BaseGeometry, other: Placing, other_glass: BaseGeometry) -> Points | None:
    """Give a place in space that both have, None where there is none."""
    along = np.cross(placing.normal, other.normal)
    turned = float(np.linalg.norm(along))
    if turned < PARALLEL:
        if abs(float((other.origin - placing.origin) @ placing.normal)) > SINK_MM:
            return None
        moved = shapely.transform(other_glass, lambda points: placing.flat(other.points(points)))
        both = shapely.intersection(glass, moved)
        return placing.points(np.array(both.representative_point().coords))[0] if both.area > SINK_MM**2 else None
    along /= turned
    # The point of both planes that is nearest to the origin of space (three linear equations).
    planes = np.stack([placing.normal, other.normal, along])
    at = np.linalg.solve(planes, np.array([placing.normal @ placing.origin, other.normal @ other.origin, 0]))
    shared = [_along(place, shape, at, along) for place, shape in ((placing, glass), (other, other_glass))]
    both = shapely.intersection(*shared)
    if both.length <= SINK_MM:
        return None
    longest = max(shapely.get_parts(both), key=lambda part: float(part.length))
    return np.asarray(at + longest.interpolate(0.5, normalized=True).x * along)


def _along(place: Placing, glass: BaseGeometry, at: Points, along: Points) -> BaseGeometry:
    """Give where a line in a copy's plane runs through its glass, as lines on a number axis in mm from ``at``."""
    middle = (
        float((place.points(shapely.get_coordinates(glass)).mean(axis=0) - at) @ along) if not glass.is_empty else 0
    )
    reach = 2 * float(np.hypot(*np.ptp(shapely.get_coordinates(glass), axis=0))) if not glass.is_empty else 0.0
    ends = np.array([at + (middle - reach) * along, at + (middle + reach) * along])
    inside = shapely.intersection(LineString(place.flat(ends)), glass)
    axis = place.flat((at + along)[None])[0] - place.flat(at[None])[0]
    zero = place.flat(at[None])[0]
    return shapely.transform(inside, lambda points: np.stack([(points - zero) @ axis, np.zeros(len(points))], axis=1))
