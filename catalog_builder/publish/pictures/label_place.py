"""The place in a piece where its label stands best: as far as it can be from every edge."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import Point

from catalog_builder.pattern.faces import inner_point
from catalog_builder.pattern.pieces import Pattern, Piece

# Of the side of a square as large as the piece: how exactly the place is found.
EXACT = 1 / 50
MOST_PLACES = 12


def label_place(pattern: Pattern, piece: Piece) -> tuple[float, float]:
    """Give a short point well inside a piece, in units of the drawing; on the side of the fold that is drawn.

    It has the fewest digits with which it lies in the piece, but a tenth of a mm is exact enough.
    """
    scale, fold = pattern.scale, pattern.fold
    circle = shapely.maximum_inscribed_circle(piece.face, math.sqrt(piece.face.area) * EXACT)
    centre = shapely.get_coordinates(circle)[:1]
    if fold is not None and not piece.side and float(fold.side(centre)[0]) * pattern.drawn_side < 0:
        centre = fold.mirrored(centre)
    for places in range(max(0, math.ceil(math.log10(scale) + 1)), MOST_PLACES + 1):
        x, y = (np.round(centre[0] / scale, places) + 0.0).tolist()
        if piece.face.contains(Point(x * scale, y * scale)):
            return x, y
    x, y = inner_point(piece.face)
    return x / scale, y / scale
