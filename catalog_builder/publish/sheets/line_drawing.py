"""A pattern as lines at true scale: every place in mm from the drawing's upper left corner, y downwards.

Places are rounded to a hundredth of a millimetre, so that every machine writes the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, MultiLineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.publish.pictures.svg_text import as_lines
from catalog_builder.publish.sheets.piece_mark import Arrow, Lettered, letter, point_grain

# How far a printed line may stray from the pattern: less than a printer's dot.
_SIMPLER_MM = 0.01
# White round the glass, how far the fold line runs out of it, and how far from it the names of its sides stand.
_WHITE_MM, _OUT_MM, _BESIDE_MM = 2.5, 5.0, 4.0

Place = tuple[float, float]
Line = list[Place]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Loop:
    """A hanging ring: the place where it is soldered on, its middle, and its radius."""

    at: Place
    middle: Place
    radius: float


@dataclass(frozen=True, slots=True)
class LineDrawing:
    """All that a pattern sheet draws, in mm. ``sides`` are the names of a fold's two sides, L and R."""

    width: float
    height: float
    seams: list[Line]
    rims: list[Line]
    cuts: list[Line]
    joined: list[Line]
    wires: list[Line]
    frames: list[Line]
    folds: list[Line]
    sides: list[Lettered]
    rings: list[Loop]
    arrows: list[Arrow]
    numbers: list[Lettered]

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of lines and marks that are in it."""
        kinds = ("rims", "cuts", "joined", "arrows", "folds", "rings", "wires", "frames")
        return tuple(kind for kind in kinds if getattr(self, kind))


def draw_lines(flat: FlatPart, suspension: Suspension, grained: Set[str]) -> LineDrawing:
    """Draw a flat part; ``grained`` are the glass words of pieces whose grain matters. The main one has the rings."""
    pattern, radius = flat.pattern, suspension.ring_mm / 2
    glass, places = flat.box, () if flat.name else suspension.rings
    fold = _across(pattern.fold, glass) if pattern.fold is not None else None
    sides = _sides(pattern.fold, fold) if pattern.fold is not None and fold is not None else []
    frame = _frame(glass, radius, places, fold, sides)
    shapes = [_largest(cut.shape, piece.face) for cut, piece in zip(flat.cuts, pattern.pieces, strict=True)]
    numbers = [letter(cut.number, shape) for cut, shape in zip(flat.cuts, shapes, strict=True)]
    arrows = [
        arrow
        for cut, shape, number in zip(flat.cuts, shapes, numbers, strict=True)
        if cut.glass in grained
        for arrow in point_grain(shape, cut.grain, number, fold)
    ]
    left, top = frame[:2]
    return LineDrawing(
        width=_n(frame[2] - left),
        height=_n(frame[3] - top),
        seams=_lines(as_lines(flat.edges.seams), frame),
        rims=_lines(as_lines(flat.edges.rims), frame),
        cuts=_lines(shapely.multilinestrings(shapely.get_rings([cut.shape for cut in flat.cuts])), frame),
        joined=[line for points in flat.joined for line in _lines(LineString(points), frame)],
        wires=[line for wire in pattern.wires for line in _lines(wire.line, frame)],
        frames=_framed(flat, frame),
        folds=_lines(fold, frame) if fold is not None else [],
        sides=[side.moved(-left, -top) for side in sides],
        rings=[Loop(_at((x, y), frame), _at((x, y - radius), frame), _n(radius)) for x, y in places],
        arrows=[Arrow(_at(arrow.begin, frame), _at(arrow.tip, frame)) for arrow in arrows],
        numbers=[number.moved(-left, -top) for number in numbers],
    )


def _framed(flat: FlatPart, frame: Box) -> list[Line]:
    """Give the outside of a frame, its light and its mitres; nothing without a frame."""
    if flat.frame is None:
        return []
    edges = MultiLineString([flat.frame.outside.exterior, flat.frame.light.exterior])
    return [*_lines(edges, frame), *(line for mitre in flat.frame.mitres for line in _lines(mitre, frame))]


def _largest(cut: BaseGeometry, face: Polygon) -> Polygon:
    """Give a piece's glass: the largest part where the foil gap has parted it, its face where the gap has taken all."""
    return face if cut.is_empty else max(shapely.get_parts(cut), key=lambda part: float(part.area))


def _frame(glass: Box, radius: float, rings: Sequence[Place], fold: LineString | None, sides: list[Lettered]) -> Box:
    """Give the box that is printed: glass, wires and rings, the fold line's ends, and white round them."""
    shapes: list[BaseGeometry] = [box(*glass).buffer(_WHITE_MM, join_style="mitre")]
    shapes += [box(x - radius - 1, y - 2 * radius - 1, x + radius + 1, y) for x, y in rings]
    shapes += [fold] if fold is not None else []
    shapes += [box(*side.box) for side in sides]
    left, top, right, bottom = shapely.total_bounds(shapes).tolist()
    return left, top, right, bottom


def _across(fold: Fold, glass: Box) -> LineString:
    """Give the fold line across the glass and a little beyond it."""
    far = LineString(np.stack([fold.at - 1e4 * fold.along, fold.at + 1e4 * fold.along]))
    return far.intersection(box(*glass).buffer(_OUT_MM, join_style="mitre"))


def _sides(fold: Fold, line: LineString) -> list[Lettered]:
    """Name the two sides of a fold: at its lower end, or its left one where it lies level."""
    ends = sorted(shapely.get_coordinates(line), key=lambda end: float((end - fold.at) @ fold.along))
    foot = ends[0] + 2.0 * fold.along
    normal = np.array([-fold.along[1], fold.along[0]])
    places = (("L", foot - _BESIDE_MM * normal), ("R", foot + _BESIDE_MM * normal))
    return [Lettered(side, float(x), float(y), 5.0, 4.0, 4.0) for side, (x, y) in places]


def _lines(shape: BaseGeometry, frame: Box) -> list[Line]:
    """Give lines as lists of places, joined where they meet, in an order that no machine changes."""
    parts = shapely.get_parts(shapely.simplify(shapely.line_merge(shape), _SIMPLER_MM))
    return sorted([_at((x, y), frame) for x, y in shapely.get_coordinates(part).tolist()] for part in parts)


def _at(place: Place, frame: Box) -> Place:
    return _n(place[0] - frame[0]), _n(place[1] - frame[1])


def _n(value: float) -> float:
    """Round to a hundredth, without a negative zero."""
    return round(value, 2) + 0.0
