"""A frame round a panel: its outside, the light that it leaves free, and the bars that it is made of. mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LinearRing, LineString, Polygon

from catalog_builder.pattern.svg.curve import Points

# Where the rim turns by more at a point, two bars meet in a mitre; where it turns by less, it is a curve.
CORNER_DEGREES = 15.0
# Between two corners a rim whose headings differ by less runs straight: what a line drawn by hand may be off.
STRAIGHT_DEGREES = 2.0
# How closely the rim is followed.
_FOLLOWS_MM = 0.05
# Corners sharper than about 11 degrees are cut off, as a mitre of ten times the width would be.
_MITRE_LIMIT = 10.0


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of a frame from one corner to the next.

    It takes in the rim from ``begin_at`` on, over a length of ``glass_mm``. ``begin_degrees`` and ``end_degrees`` are
    by how much the rim turns at its ends, below zero at an inside corner, and each end is cut at half of that;
    ``turn_degrees`` is by how much the bar itself turns between them in all. ``bends_at`` is a place where it is
    curved, None if straight.
    """

    begin_at: tuple[float, float]
    glass_mm: float
    begin_degrees: float
    end_degrees: float
    turn_degrees: float = 0.0
    bends_at: tuple[float, float] | None = None

    def length_at(self, out_mm: float) -> float:
        """Give its length along a line that runs ``out_mm`` outside the rim, from mitre to mitre.

        A mitre adds the tangent of half the turn at each end, a bend its angle as an arc (Steiner's formula for the
        length of a parallel curve, from memory). A bar of 100 mm between right angles, 4 mm out: 108 mm.
        """
        ends = sum(math.tan(math.radians(turn) / 2) for turn in (self.begin_degrees, self.end_degrees))
        return self.glass_mm + out_mm * (ends + math.radians(self.turn_degrees))


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """A frame in the plane of its panel, mm, y downwards.

    ``rim`` is the edge of the glass, ``outside`` and ``light`` the outer and the inner edge of what is seen of the
    frame.
    """

    rim: Polygon
    outside: Polygon
    light: Polygon
    bars: tuple[Bar, ...]

    @property
    def corners(self) -> int:
        """How many corners or joints are made: where it has no corner, its two ends meet in one."""
        return len(self.bars)

    @property
    def face(self) -> Polygon:
        """What is seen of it from the front."""
        return self.outside.difference(self.light)

    @property
    def mitres(self) -> tuple[LineString, ...]:
        """The lines on which its bars meet, from each corner of the light to that of the outside."""
        edges = [shapely.get_coordinates(shape.exterior) for shape in (self.light, self.outside)]
        return tuple(
            LineString([points[np.hypot(*(points - bar.begin_at).T).argmin()] for points in edges]) for bar in self.bars
        )

    def line_at(self, out_mm: float) -> LinearRing:
        """Give the closed line that runs ``out_mm`` outside the rim, below zero inside it."""
        return grown(self.rim, out_mm).exterior

    def length_at(self, out_mm: float) -> float:
        """Give the length of its bars together along that line."""
        return sum(bar.length_at(out_mm) for bar in self.bars)


def grown(rim: Polygon, out_mm: float) -> Polygon:
    """Give a rim moved outwards, with mitred corners; empty or in parts where it is moved in too far."""
    return rim.buffer(out_mm, join_style="mitre", mitre_limit=_MITRE_LIMIT)


def read_frame(faces: Sequence[Polygon], outside_mm: float, covers_mm: float) -> Frame | None:
    """Frame a panel of faces that fit each other; None where they do not hang together as one.

    ``outside_mm`` is how far the frame stands out of the glass, ``covers_mm`` how far it reaches over it. Fields
    without glass inside the panel stay as they are: the frame goes round the outer rim alone.
    """
    glass = shapely.union_all(list(faces))
    if not isinstance(glass, Polygon):
        return None
    rim = shapely.orient_polygons(Polygon(glass.exterior).simplify(_FOLLOWS_MM), exterior_cw=False)
    bars = tuple(_bars(shapely.get_coordinates(rim.exterior)[:-1]))
    return Frame(rim, grown(rim, outside_mm), grown(rim, -covers_mm), bars)


def _bars(points: Points) -> Iterator[Bar]:
    """Split a rim of shape (n, 2), anticlockwise where y goes up, at its corners."""
    ways = np.roll(points, -1, axis=0) - points
    lengths, headings = np.hypot(*ways.T), np.degrees(np.arctan2(ways[:, 1], ways[:, 0]))
    turns = (headings - np.roll(headings, 1) + 180) % 360 - 180
    corners = np.flatnonzero(np.abs(turns) > CORNER_DEGREES)
    if not len(corners):
        x, y = points[0].tolist()
        yield Bar((x, y), float(lengths.sum()), 0.0, 0.0, 360.0, (x, y))
        return
    for begin, end in zip(corners.tolist(), np.roll(corners, -1).tolist(), strict=True):
        along = (begin + np.arange((end - begin) % len(points) or len(points))) % len(points)
        headed = np.concatenate([[0.0], np.cumsum(turns[along[1:]])])
        (left, top), (x, y) = points[begin].tolist(), points[along[len(along) // 2]].tolist()
        curved = float(np.ptp(headed)) > STRAIGHT_DEGREES
        ends = float(turns[begin]), float(turns[end])
        yield Bar((left, top), float(lengths[along].sum()), *ends, float(headed[-1]), (x, y) if curved else None)
