"""The legs of a wire that carries a ring, each followed from the ring to where it is soldered."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Point
from shapely.ops import substring

from catalog_builder.pattern.pieces import Pattern
from catalog_builder.piece.balance import Place, leg_pulls

# How far from a seam's end or a wire a ring may be drawn and still be meant there; so far a bead reaches to each side
# of its line too. Common practice, no source.
REACH_MM = 1.5
# A ring pulls a flat wire up until it rises by this share of the span between its feet: common practice, no source.
LEAST_RISE = 0.1


@dataclass(frozen=True, slots=True)
class WireLeg:
    """A leg of a wire: its first soldered point ``foot`` and the length that is soldered, in mm.

    ``material`` is empty for the studio's usual wire.
    """

    material: str
    foot: Place
    contact_mm: float

    def begins_at(self, ring: Place) -> bool:
        """Whether the wire is soldered down where the ring is."""
        return math.dist(self.foot, ring) <= REACH_MM


def wire_legs(pattern: Pattern, ring: Place) -> tuple[WireLeg, ...] | None:
    """Give the legs that are soldered to two pieces at least, or to a wire that is; None where no wire is at the ring.

    A leg is held by a seam, by a rim over a seam's end, right round a piece, or by another wire. The foil of one piece
    alone would lift off: common practice, no source.
    """
    at = Point(*ring)
    wires = [wire for wire in pattern.wires if wire.line.distance(at) <= REACH_MM]
    others = [wire.line for wire in pattern.wires if wire not in wires]
    firm = shapely.union_all([line for line in others if any(_soldered(line, pattern, LineString()))])
    legs = []
    for wire in wires:
        for line in _ways(wire.line, at):
            stretches = list(_soldered(line, pattern, firm))
            if stretches:
                first = min(line.project(Point(end)) for stretch in stretches for end in stretch.coords)
                foot = line.interpolate(first)
                contact = sum(stretch.length for stretch in stretches)
                legs.append(WireLeg(wire.material or "", (foot.x, foot.y), contact))
    return tuple(legs) if wires else None


def is_held(legs: tuple[WireLeg, ...], ring: Place) -> bool:
    """Whether a wire carries its ring: soldered down at the ring, or with two legs."""
    return len(legs) > 1 or any(leg.begins_at(ring) for leg in legs)


def pulls_g(legs: tuple[WireLeg, ...], ring: Place, load_g: float) -> tuple[float, ...]:
    """Give the pull in each leg in g by a load on the ring; a leg that is soldered down at the ring has all of it.

    Both legs that lie to one side of the ring bend, and each is taken to carry all of the load.
    """
    if any(leg.begins_at(ring) for leg in legs):
        return (load_g,) * len(legs)
    (x, y), (u, v) = legs[0].foot, legs[1].foot
    top = ring[0], min(ring[1], (y + v) / 2 - LEAST_RISE * math.hypot(u - x, v - y))
    try:
        return leg_pulls((x, y), (u, v), top, (top[0], top[1] + 1), load_g)
    except (ValueError, ZeroDivisionError):
        return (load_g,) * 2


def _ways(line: LineString, at: Point) -> Iterator[LineString]:
    """Give the two ways along a wire from a ring; a closed wire is followed all round both ways."""
    begin = line.project(at)
    ways = [substring(line, begin, line.length), substring(line, begin, 0.0)]
    if line.is_closed:
        onward, back = (list(way.coords) for way in ways)
        ways = [LineString([*onward, *back[::-1][1:]]), LineString([*back, *onward[::-1][1:]])]
    yield from (way for way in ways if isinstance(way, LineString) and way.length > 0)


def _soldered(line: LineString, pattern: Pattern, firm: shapely.Geometry) -> Iterator[LineString]:
    """Give the stretches of a wire along edges of the glass that two pieces hold, or along a wire that is firm."""
    # Glass that is nowhere near the wire says nothing of it, and takes long to look at.
    faces = [piece.face for piece in pattern.pieces if piece.face.distance(line) <= 3 * REACH_MM]
    zone = shapely.union_all([firm, *(face.boundary for face in faces)]).buffer(REACH_MM)
    for stretch in shapely.get_parts(shapely.line_merge(line.intersection(zone))):
        beside = [face for face in faces if face.distance(stretch) <= REACH_MM]
        # A wire right round a piece cannot lift off it.
        around = any(stretch.buffer(REACH_MM).contains(face.exterior) for face in beside)
        if stretch.length > 0 and (len(beside) > 1 or around or firm.distance(stretch) <= REACH_MM):
            yield stretch
