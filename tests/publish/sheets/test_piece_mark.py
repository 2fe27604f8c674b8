"""Numbers and grain arrows stand inside their pieces, where a hand would put them."""

from __future__ import annotations

import pytest
from shapely import LineString, Point, Polygon, box

from catalog_builder.publish.sheets.piece_mark import LARGEST_MM, SMALLEST_MM, letter, point_grain

CRESCENT = Point(0, 0).buffer(30).difference(Point(18, 0).buffer(30))


@pytest.mark.parametrize(
    ("number", "shape"),
    [
        ("7", box(0, 0, 40, 30)),
        ("12L", box(0, 0, 14, 60)),
        ("3", Polygon([(0, 0), (30, 0), (0, 30)])),
        ("21R", CRESCENT),
    ],
)
def test_number_lies_inside_its_piece(number: str, shape: Polygon) -> None:
    """A number's whole box lies on the glass, in letters between the smallest and the largest."""
    written = letter(number, shape)
    assert shape.contains(box(*written.box))
    assert SMALLEST_MM <= written.size <= LARGEST_MM


def test_number_of_a_long_piece_stands_in_its_middle() -> None:
    """Of the many places in a rail that have as much room, the middle one is taken."""
    written = letter("4", box(0, 0, 100, 12))
    assert (written.x, written.y) == pytest.approx((50, 6), abs=0.5)


@pytest.mark.parametrize("grain", [0, 30, 45, 90, 135])
def test_arrow_leaves_its_number_free(grain: float) -> None:
    """Where there is room an arrow points both ways from the number, along the grain, clear of number and edge."""
    shape = box(0, 0, 40, 40)
    number = letter("12L", shape)
    arrows = point_grain(shape, grain, number, None)
    assert len(arrows) == 2
    for arrow in arrows:
        line = LineString([arrow.begin, arrow.tip])
        assert line.distance(box(*number.box)) > 0.2
        assert line.distance(shape.exterior) > 0.8


def test_arrow_keeps_off_the_fold() -> None:
    """A grain along the fold is drawn beside it, not on it."""
    shape = box(0, 0, 40, 40)
    fold = LineString([(20, -10), (20, 50)])
    arrows = point_grain(shape, 90, letter("1", shape), fold)
    assert arrows
    assert all(fold.distance(Point(arrow.tip)) > 1 for arrow in arrows)


def test_sliver_still_has_its_arrow() -> None:
    """A piece too narrow for an arrow clear of its edges has one all the same."""
    shape = box(0, 0, 1.5, 1.5)
    assert point_grain(shape, 0, letter("9", shape), None)


def test_head_points_where_the_arrow_does() -> None:
    """An arrow's head ends in its tip, and its two corners lie as far to either side."""
    shape = box(0, 0, 40, 20)
    for arrow in point_grain(shape, 0, letter("1", shape), None):
        tip, one, other = arrow.head
        assert tip == arrow.tip
        assert one[0] == pytest.approx(other[0])
        assert one[1] + other[1] == pytest.approx(2 * tip[1])
        assert abs(one[0] - arrow.begin[0]) < abs(tip[0] - arrow.begin[0])
