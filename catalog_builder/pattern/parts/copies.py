"""Every copy of every flat where it stands in space, each on the copy that it is joined to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from shapely import Point
from shapely.geometry.base import BaseGeometry

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.parts.joining import Seat
from catalog_builder.pattern.parts.placing import UPRIGHT, Place, Placing, across_fold, folded_about, turned_about
from catalog_builder.pattern.parts.sides import outline_corners
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.sizes import Sized
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.records.drawing.part_keys import carriers
from catalog_builder.records.product import Product

MOST_COPIES = 60
# So far beside a join its glass is looked for: farther than a join may lie from the edge.
BESIDE_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Copy:
    """A copy of a flat in its place.

    ``name`` is that of its drawing, empty for the main one. ``on`` is the number of the copy that it is joined to and
    ``line`` the join there, where it stands in that copy's plane; ``own`` is its own join. The main drawing has none
    of these.
    """

    name: str
    place: Placing
    on: int = -1
    line: Join | None = None
    own: Join | None = None


def place_copies(product: Product, sized: Sized, seats: Mapping[str, Seat], snap_mm: float) -> tuple[Copy, ...]:
    """Place all copies in space, the main drawing first and every part after what it sits on.

    A part that is set by its inside angle is left out where a copy stands in the same place already: the top of a box
    sits on all four sides and is there once.

    Raises:
        MistakeError: a part comes in too many copies, or its join lies on no edge with glass on one side alone.
    """
    patterns = sized.patterns
    glass = {name: pattern.glass for name, pattern in patterns.items()}
    standing = {
        name: dict(zip(pattern.joins, pattern.standing_joins, strict=True)) for name, pattern in patterns.items()
    }
    outlines = {name: outline_corners(pattern) for name, pattern in patterns.items()}
    copies = [Copy("", UPRIGHT)]
    # What sits on fewer other parts is placed first.
    for name in sorted(seats, key=lambda part: len(carriers(product.keys.parts, part))):
        seat, keys = seats[name], product.keys.parts[name]
        within = _glass_beside(seat.own, glass[name])
        count = 0
        for number in [number for number, copy in enumerate(copies) if copy.name == seat.on]:
            carrier = copies[number]
            for line, local in _local(product, name, seat, patterns[seat.on], glass[seat.on], within):
                place = local.within(carrier.place) if seat.on else local
                if keys.inside_angle is not None and _is_taken(name, place, copies, outlines, snap_mm):
                    continue
                count += 1
                if count <= MOST_COPIES:
                    copies.append(Copy(name, place, number, standing[seat.on].get(line, line), seat.own))
        if count > MOST_COPIES:
            raise MistakeError.at(
                product.source.place(product.line("parts", name)),
                wrong=f"{count} copies of the part {name!r} are asked for",
                expected=f"at most {MOST_COPIES} copies of a part",
                mend="set it on fewer joins, or at fewer angles",
            )
    return tuple(copies)


def _local(
    product: Product,
    name: str,
    seat: Seat,
    carrier: Pattern,
    carrier_glass: BaseGeometry,
    within: Place,
) -> Iterator[tuple[Join, Placing]]:
    """Give the places of a part on one copy of what it sits on, each with the join there as it is drawn.

    Raises:
        MistakeError: an inside angle is given at a join that has glass on both sides, or on none.
    """
    keys = product.keys.parts[name]
    # The drawn side of a part that is set by its inside angle faces outwards: its own inside lies behind it.
    behind = bool(seat.on) and product.keys.parts[seat.on].inside_angle is not None
    for join in seat.mains:
        if keys.inside_angle is None:
            places = [turned_about(join, seat.own, within, degrees) for degrees in keys.set_at or ()]
        else:
            beside = _one_side(product, name, seat, join, carrier, carrier_glass)
            places = [folded_about(join, beside, seat.own, within, -keys.inside_angle if behind else keys.inside_angle)]
        for placing in places:
            folded = across_fold(placing, carrier.fold) if join.mirrored and carrier.fold is not None else placing
            yield join, folded


def _is_taken(name: str, place: Placing, copies: list[Copy], outlines: Mapping[str, Points], snap_mm: float) -> bool:
    """Tell whether glass of the same outline stands in a place already."""
    corners = place.points(outlines[name])
    for copy in copies:
        others = copy.place.points(outlines[copy.name])
        if np.abs(others.mean(axis=0) - corners.mean(axis=0)).max() > snap_mm or len(others) != len(corners):
            continue
        apart = np.linalg.norm(corners[:, None] - others[None], axis=2)
        if max(apart.min(axis=0).max(), apart.min(axis=1).max()) <= snap_mm:
            return True
    return False


def _sides_with_glass(join: Join, glass: BaseGeometry) -> list[Point]:
    """Give the points close beside the middle of a join that have glass."""
    x, y = join.direction
    off = BESIDE_MM * np.array([-y, x])
    return [side for side in (Point(join.middle + off), Point(join.middle - off)) if glass.contains(side)]


def _glass_beside(join: Join, glass: BaseGeometry) -> Place:
    """Give a point of a part's glass close beside the middle of its join, else the middle of its glass."""
    sides = _sides_with_glass(join, glass)
    point = sides[0] if len(sides) == 1 else glass.centroid
    return point.x, point.y


def _one_side(product: Product, name: str, seat: Seat, join: Join, carrier: Pattern, glass: BaseGeometry) -> Place:
    """Give a point of the carrier's glass beside a join.

    Raises:
        MistakeError: there is glass on both sides of it, or on none.
    """
    sides = _sides_with_glass(join, glass)
    if len(sides) != 1:
        x, y = (join.middle / carrier.scale).tolist()
        raise MistakeError.at(
            product.place_of(join.row, seat.on) if join.row else product.source.place(product.line("parts", name)),
            wrong=f"the join for the part {name!r} at x {x:.1f}, y {y:.1f} of the drawing has "
            f"{'glass on both sides' if sides else 'no glass beside it'}, so that it has no inside",
            expected="with `inside_angle`, a join along an outer edge of the glass",
            mend="move the join to an edge, or write `set_at` with the degrees about the join",
            spot=(x, y),
        )
    return sides[0].x, sides[0].y
