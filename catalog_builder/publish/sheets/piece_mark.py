"""What stands in a piece on a pattern sheet: its number where it has most room, and an arrow along its grain.

All lengths are mm, y downwards; a grain is in degrees anticlockwise as seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.ops import nearest_points

# The height of a number's letters: as large as fits, within these.
SMALLEST_MM, LARGEST_MM = 1.8, 5.0
# No number is wider, so that wherever it stands one tile of those that overlap holds it whole.
WIDEST_MM = 9.0
# The box of a number in the theme's lettering, as shares of its size, a little air included.
_WIDE, _TALL = 0.6, 0.92
# How far an arrow keeps from lines, how long each half may be, and what is too short to see.
_CLEAR_MM, _LONG_MM, _SHORT_MM = 0.9, 12.0, 2.2

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Lettered:
    """A number: the middle of its box, its size and the box's sides in mm."""

    text: str
    x: float
    y: float
    size: float
    width: float
    height: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        across, down = self.width / 2, self.height / 2
        return self.x - across, self.y - down, self.x + across, self.y + down

    def moved(self, by_x: float, by_y: float) -> Lettered:
        """Give the number elsewhere, its places and sides rounded to a hundredth."""
        x, y, *sides = (round(value, 2) for value in (self.x + by_x, self.y + by_y, self.size, self.width, self.height))
        return Lettered(self.text, x, y, *sides)


@dataclass(frozen=True, slots=True)
class Arrow:
    """Half of a grain arrow: where it begins, and its tip."""

    begin: Spot
    tip: Spot

    @property
    def head(self) -> tuple[Spot, Spot, Spot]:
        """The tip and the two corners of its head."""
        (x0, y0), (x, y) = self.begin, self.tip
        length = math.hypot(x - x0, y - y0)
        along, across = min(1.8, 0.6 * length), min(0.6, 0.2 * length)
        ux, uy = (x - x0) / length, (y - y0) / length
        foot_x, foot_y = x - along * ux, y - along * uy
        return (x, y), (foot_x - across * uy, foot_y + across * ux), (foot_x + across * uy, foot_y - across * ux)


def letter(number: str, shape: Polygon) -> Lettered:
    """Write a piece's number where it has most room, no larger than it fits."""
    circle = shapely.maximum_inscribed_circle(shape, 0.05)
    radius = float(circle.length)
    # In a long piece many places have as much room: the one nearest to its middle is looked at first.
    roomy = shape.buffer(-0.93 * radius)
    middle = Point(circle.coords[0]) if roomy.is_empty else nearest_points(roomy, shape.centroid)[0]
    x, y = float(middle.x), float(middle.y)
    count = max(1, len(number))
    # The box's half diagonal is the circle's radius, less some room for the arrow.
    size = 1.5 * radius / math.hypot(_WIDE * count, _TALL)
    size = min(max(size, SMALLEST_MM), LARGEST_MM, WIDEST_MM / (_WIDE * count))
    return Lettered(number, x, y, size, _WIDE * count * size, _TALL * size)


def point_grain(shape: Polygon, grain: float, number: Lettered, fold: LineString | None) -> tuple[Arrow, ...]:
    """Draw the grain of a piece: one arrow each way from its number, or both from a point beside the number.

    It keeps off the fold line where it can, with which it could be mistaken.
    """
    turn = math.radians(grain)
    along, across = (math.cos(turn), -math.sin(turn)), (math.sin(turn), math.cos(turn))
    reach = abs(across[0]) * number.width / 2 + abs(across[1]) * number.height / 2 + 0.8
    gap = min(number.width / 2 / max(abs(along[0]), 1e-9), number.height / 2 / max(abs(along[1]), 1e-9)) + 0.6
    room = shape.buffer(-_CLEAR_MM)
    best: tuple[Arrow, ...] = ()
    for off in (0.0, reach, -reach, 2 * reach, -2 * reach):
        middle = (number.x + off * across[0], number.y + off * across[1])
        arrows = tuple(_halves(room, middle, along, gap if off == 0 else 0.0))
        if fold is not None and any(_along(fold, arrow) for arrow in arrows):
            continue
        if off == 0 and len(arrows) == 2:
            return arrows
        if _length(arrows) > _length(best) + 0.5:
            best = arrows
    # A sliver: the arrow runs to its border, behind the number.
    return best or tuple(_halves(shape, (number.x, number.y), along, 0.0, 0.0))


def _halves(room: Polygon, middle: Spot, along: Spot, gap: float, short: float = _SHORT_MM) -> Iterator[Arrow]:
    """Give the halves of an arrow both ways from a point, each beginning a gap away, that have room enough."""
    for way in (1.0, -1.0):
        ux, uy = way * along[0], way * along[1]
        ray = LineString([middle, (middle[0] + 1000 * ux, middle[1] + 1000 * uy)])
        free = _first(ray, room)
        length = min(free, gap + _LONG_MM)
        if length - gap > short:
            begin = (middle[0] + gap * ux, middle[1] + gap * uy)
            yield Arrow(begin, (middle[0] + length * ux, middle[1] + length * uy))


def _first(ray: LineString, room: Polygon) -> float:
    """Give how far a ray runs inside a shape before it first leaves it; 0 where it begins outside."""
    begin = Point(ray.coords[0])
    if not room.intersects(begin):
        return 0.0
    leaving = shapely.get_coordinates(ray.intersection(room.boundary))
    return float(np.hypot(*(leaving - shapely.get_coordinates(begin)).T).min()) if len(leaving) else 0.0


def _along(fold: LineString, arrow: Arrow) -> bool:
    return all(fold.distance(Point(end)) < 0.8 for end in (arrow.begin, arrow.tip))


def _length(arrows: tuple[Arrow, ...]) -> float:
    return sum(math.dist(arrow.begin, arrow.tip) for arrow in arrows)
