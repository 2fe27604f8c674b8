"""Which ends of seams are the best places for one ring or two."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import product as combinations

from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.balance import Place, tilt_degrees
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body

# From this tilt on one sees it: common practice, no source.
VISIBLE_TILT_DEGREES = 2.0
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


def best_pairs(
    piece: MadePiece, body: Body, tilt: Callable[[tuple[Place, Place]], float | None]
) -> list[tuple[Place, Place]]:
    """Order the pairs of places with the centre of mass between them: least tilt, most equal loads, highest.

    ``tilt`` gives the degrees by which the piece tilts on a pair; None where it cannot hang so.
    """
    x = body.centre[0]

    def ranked() -> Iterator[tuple[int, float, float, tuple[Place, Place]]]:
        highest = sorted(places_above(piece, body), key=lambda place: place[1])
        lefts = [place for place in highest if place[0] < x][:_MOST_ENDS]
        rights = [place for place in highest if place[0] > x][:_MOST_ENDS]
        for pair in combinations(lefts, rights):
            degrees = tilt(pair)
            if degrees is not None:
                (left, _), (right, _) = pair
                uneven = abs((x - left) / (right - left) - 0.5)
                height = pair[0][1] + pair[1][1]
                yield round(abs(degrees) / SAME_DEGREES), round(uneven, 2), height, pair

    return [pair for *_, pair in sorted(ranked())]


def slope_degrees(pair: tuple[Place, Place]) -> float:
    """Give by how many degrees a piece tilts whose two rings hang from level hooks, above zero clockwise as seen.

    The line through the rings turns level. A right ring 10 mm lower than the left one and 100 mm across: -5.7106.
    """
    (x, y), (u, v) = pair
    return -math.degrees(math.atan2(v - y, u - x))
