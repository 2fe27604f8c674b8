"""A label's place lies well inside its piece, on the side of the fold that is drawn, in few digits."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely import Point

from catalog_builder.pattern.pieces import Fitting, Pattern, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.publish.pictures.label_place import label_place
from tests.drawn import svg

HALF = """
<line data-mark="fold" x1="{fold}" y1="0" x2="{fold}" y2="100"/>
<path d="M{fold} 10 L{out} 10 L{out} 90 L{fold} 90"/>
<line x1="{fold}" y1="10" x2="{fold}" y2="40"/>
<line x1="{fold}" y1="40" x2="{out}" y2="40"/>
"""


def pattern_of(marks: str, scale: float = 1.0) -> Pattern:
    """The pieces of a drawing without a size, at mm for each unit."""
    return read_pieces(read_drawing(svg(marks)), scale, Fitting(0.01, 0.3, 0.8), None)


@pytest.mark.parametrize("scale", [0.001, 0.26, 1.0, 25.4, 5000.0])
def test_it_is_the_middle_of_a_square(scale: float) -> None:
    """In a square of 30 mm it is the middle, to a twentieth of a mm, however large a unit of the drawing is."""
    side = 30 / scale
    pattern = pattern_of(f'<path d="M0 0 H{side} V{side} H0 Z"/>', scale)
    x, y = label_place(pattern, pattern.pieces[0])
    assert (x * scale, y * scale) == pytest.approx((15, 15), abs=0.6)
    assert len(repr(x)) <= 8


def test_a_narrow_curved_piece_holds_it() -> None:
    """In a crescent 2 mm wide, whose centre of area lies outside of it, the place lies inside."""
    pattern = pattern_of('<path d="M0 0 A40 40 0 0 1 80 0 A40.05 38 0 0 0 0 0 Z"/>')
    place = Point(label_place(pattern, pattern.pieces[0]))
    assert not pattern.pieces[0].face.contains(pattern.pieces[0].face.centroid)
    assert pattern.pieces[0].face.contains(place)
    assert place.distance(pattern.pieces[0].face.boundary) > 0.8


@pytest.mark.parametrize(("fold", "out"), [(50, 90), (50, 10)])
def test_by_a_fold_it_is_where_the_drawing_is(fold: int, out: int) -> None:
    """Of each pair of pieces one is on the drawn side; a piece across the fold has its label on that side too."""
    pattern = pattern_of(HALF.format(fold=fold, out=out))
    drawn = [piece for piece in pattern.pieces if not piece.mirrored]
    assert sorted(piece.drawn_number for piece in drawn) == ["1", "2"]
    assert len(pattern.pieces) == 3
    for piece in drawn:
        x, y = label_place(pattern, piece)
        assert piece.face.contains(Point(x, y))
        assert (x - fold) * math.copysign(1, out - fold) >= 0


def test_a_mirror_image_is_told_from_what_is_drawn() -> None:
    """The drawn pieces make up the drawn half, and the piece across the fold."""
    pattern = pattern_of(HALF.format(fold=50, out=90))
    drawn = shapely.union_all([piece.face for piece in pattern.pieces if not piece.mirrored])
    assert drawn.bounds == pytest.approx((10, 10, 90, 90))
    assert drawn.area == pytest.approx(40 * 30 + 80 * 50)
