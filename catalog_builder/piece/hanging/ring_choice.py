"""Which ends of seams are the best places for one ring or two."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product as combinations

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.balance import Place, tilt_degrees
from catalog_builder.piece.hanging.legs import legs_rise_mm, ring_loads_g, tilt_on
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.product import Product

# From this tilt on one sees it: common practice, no source.
VISIBLE_TILT_DEGREES = 2.0
# Rings whose heights differ by less are level: common practice, no source.
LEVEL_MM = 1.0
# Two rings nearer to each other than this share of the width do not steady a piece: common practice, no source.
_LEAST_SPAN = 0.2
# Tilts that differ by less look alike, so that something else may decide.
SAME_DEGREES = 0.05
# Of the ends on each side of the weight, pairs are made of the highest.
_MOST_ENDS = 60


def places_above(piece: MadePiece, body: Body) -> list[Place]:
    """Give the ends of seams that lie above the centre of mass, from the left."""
    ends: Points = piece.main.edges.seam_ends
    return sorted((float(x), float(y)) for x, y in ends.tolist() if y < body.centre[1])


def best_singles(piece: MadePiece, body: Body) -> list[Place]:
    """Order the places above the centre of mass: the least tilt on one ring first, then the highest.

    A ring's own mass does not count: it draws the centre of mass straight towards the ring.
    """

    def rank(place: Place) -> tuple[int, float, float]:
        return round(abs(tilt_degrees(place, body.centre)) / SAME_DEGREES), place[1], place[0]

    return sorted(places_above(piece, body), key=rank)


def hangs_level(piece: MadePiece, body: Body) -> bool:
    """Say whether there is an end of a seam on which the piece tilts too little to be seen."""
    best = best_singles(piece, body)
    return bool(best) and abs(tilt_degrees(best[0], body.centre)) <= VISIBLE_TILT_DEGREES


def level_pairs(piece: MadePiece, product: Product, body: Body) -> list[tuple[Place, Place]]:
    """Order the level pairs with the centre of mass between them: least tilt, most equal loads, highest.

    A pair is level where its heights differ too little to be seen, and on a cord or chain where the tilt is too small.
    """
    x, width = body.centre[0], piece.main.pattern.width_mm

    def ranked() -> Iterator[tuple[int, float, float, tuple[Place, Place]]]:
        highest = sorted(places_above(piece, body), key=lambda place: place[1])
        lefts = [place for place in highest if place[0] < x][:_MOST_ENDS]
        rights = [place for place in highest if place[0] > x][:_MOST_ENDS]
        for left, right in combinations(lefts, rights):
            if abs(right[1] - left[1]) > LEVEL_MM or right[0] - left[0] < _LEAST_SPAN * width:
                continue
            tilt = _tilt_on_pair((left, right), product, body)
            if tilt is not None:
                uneven = abs((x - left[0]) / (right[0] - left[0]) - 0.5)
                yield round(abs(tilt) / SAME_DEGREES), round(uneven, 2), left[1] + right[1], (left, right)

    return [pair for *_, pair in sorted(ranked())]


def _tilt_on_pair(pair: tuple[Place, Place], product: Product, body: Body) -> float | None:
    """Give the tilt on two rings; None where a cord or chain does not reach, or tilts the piece visibly."""
    try:
        rise = legs_rise_mm(product, pair)
        if rise is None:
            return slope_degrees(pair)
        ring_loads_g(product, body, pair, rise)
        tilt = tilt_on(pair, rise, body)
    except (MistakeError, ValueError):
        return None
    return tilt if abs(tilt) <= VISIBLE_TILT_DEGREES else None


def slope_degrees(pair: tuple[Place, Place]) -> float:
    """Give by how many degrees a piece tilts whose two rings hang from level hooks, above zero clockwise as seen.

    The line through the rings turns level. A right ring 10 mm lower than the left one and 100 mm across: -5.7106.
    """
    (x, y), (u, v) = pair
    return -math.degrees(math.atan2(v - y, u - x))
