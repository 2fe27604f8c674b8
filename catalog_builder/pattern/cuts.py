"""Cuts: the glass of each piece once the foil gap is taken off, and the box it takes of a sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.pattern.pieces import Piece
from catalog_builder.pattern.seams import Edges


@dataclass(frozen=True, slots=True)
class Cut:
    """The glass that is cut for a piece, in mm and mm2.

    ``along_mm`` and ``across_mm`` are the sides of its box along its grain and across it; ``grain`` is
    the direction of the grain in degrees anticlockwise from horizontal.
    """

    number: str
    glass: str
    shape: Polygon
    area_mm2: float
    edge_mm: float
    along_mm: float
    across_mm: float
    grain: float

    def charged_mm2(self, clearance_mm: float) -> float:
        """Give the glass charged for it: its box with the cutting clearance on one side each way."""
        return (self.along_mm + clearance_mm) * (self.across_mm + clearance_mm)


def read_cuts(pieces: Sequence[Piece], edges: Edges, gap_mm: float) -> tuple[Cut, ...]:
    """Take half the foil gap off every side along a seam; rims stay as they are drawn.

    Common practice, no source: the pattern's line is the middle of the seam, and foil and a little solder stand
    between the two pieces.
    """
    faces = np.array([piece.face for piece in pieces], dtype=object)
    seams = edges.seam_lines(len(pieces))
    shapes = faces
    if gap_mm > 0:
        strips = shapely.buffer(seams, gap_mm / 2, join_style="mitre", quad_segs=4)
        shapes = shapely.difference(faces, strips)
    areas, lengths = shapely.area(shapes), shapely.length(shapes)
    cuts = []
    for piece, shape, area, length in zip(pieces, shapes, areas, lengths, strict=True):
        grain = piece.grain if piece.grain is not None else long_direction(shape)
        along, across = box_along(shape, grain)
        cuts.append(Cut(piece.number, piece.glass, shape, float(area), float(length), along, across, grain))
    return tuple(cuts)


def long_direction(shape: Polygon) -> float:
    """Give the direction of the long side of a shape's smallest box, in degrees from 0 to 180 as seen.

    Boxes within a hundredth of the smallest count as equal: then a level or upright one goes first, then the longest.
    So the two halves of a mirrored piece agree, and a symmetrical piece lies straight, whatever its last digits are.
    """
    if shape.is_empty:
        return 90.0
    points = shapely.get_coordinates(shape.convex_hull)
    sides = np.diff(points, axis=0)
    # The smallest box of a polygon has a side along one of the hull's (Freeman and Shapira 1975, from memory).
    angles = np.degrees(np.arctan2(-sides[:, 1], sides[:, 0])) % 90
    turns = np.radians(np.unique(np.concatenate([[0.0], angles.round(6) % 90])))
    level = np.ptp(points @ np.array([np.cos(turns), -np.sin(turns)]), axis=0)
    upright = np.ptp(points @ np.array([np.sin(turns), np.cos(turns)]), axis=0)
    areas = level * upright
    candidates = []
    for index in np.flatnonzero(areas <= 1.01 * areas.min()).tolist():
        turn, wide, high = (float(sizes[index]) for sizes in (np.degrees(turns), level, upright))
        direction = turn if round(wide, 3) > round(high, 3) else turn + 90
        candidates.append((round(turn, 3) != 0, -round(max(wide, high), 2), round(abs(direction - 90), 3), direction))
    return round(min(candidates)[3] % 180, 6) % 180


def box_along(shape: Polygon, grain: float) -> tuple[float, float]:
    """Give the sides in mm of a shape's box along a grain in degrees and across it."""
    if shape.is_empty:
        return 0.0, 0.0
    points = shapely.get_coordinates(shape)
    turn = math.radians(grain)
    along = points @ np.array([math.cos(turn), -math.sin(turn)])
    across = points @ np.array([math.sin(turn), math.cos(turn)])
    return float(np.ptp(along)), float(np.ptp(across))
