"""What can be drawn but hardly made is told, with where and why."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import Polygon

from catalog_builder.pattern.manufacturability import _across, _neck, _notch
from catalog_builder.pattern.parts.hinge import read_hinges
from catalog_builder.pattern.seams import read_edges


def test_a_square_inside_corner_cannot_be_reached_by_a_round_bit() -> None:
    """In an L a bit of 3 mm radius leaves r (sqrt 2 - 1) = 1.24 mm of the inside corner at (20, 20)."""
    shape = Polygon([(0, 0), (60, 0), (60, 20), (20, 20), (20, 80), (0, 80)])
    assert _notch(shape, 3.0) == pytest.approx((20, 20))


def test_a_wide_inside_curve_is_reached() -> None:
    """The same corner rounded to 10 mm is cut and ground without trouble, and so is any shape without a hollow."""
    corner = Polygon([(0, 0), (60, 0), (60, 20), (20, 20), (20, 80), (0, 80)])
    rounded = corner.buffer(10, quad_segs=64).buffer(-10, quad_segs=64)
    assert _notch(rounded, 3.0) is None
    assert _notch(shapely.Point(0, 0).buffer(20), 3.0) is None


def test_a_neck_between_two_wide_parts_is_found_in_its_middle() -> None:
    """Two squares of 20 mm joined by a strip 3 mm wide and 10 mm long have a neck halfway along it."""
    dumbbell = shapely.union_all(
        [shapely.box(0, 0, 20, 20), shapely.box(30, 0, 50, 20), shapely.box(19, 8.5, 31, 11.5)]
    )
    spot = _neck(dumbbell, 4.0)
    assert spot is not None
    assert spot[0] == pytest.approx(25, abs=1)
    assert _neck(dumbbell, 2.5) is None


def test_across_is_the_largest_circle() -> None:
    """A rectangle of 5 by 40 mm is 5 mm across."""
    assert _across(shapely.box(0, 0, 5, 40)) == pytest.approx(5, abs=0.2)


def quarters(shift: float) -> list[Polygon]:
    """Four panes in a square of 80 mm; the upper row's middle seam stands ``shift`` mm right of the lower one's."""
    return list(
        shapely.coverage_clean(
            [
                shapely.box(0, 0, 40 + shift, 40),
                shapely.box(40 + shift, 0, 80, 40),
                shapely.box(0, 40, 40, 80),
                shapely.box(40, 40, 80, 80),
            ]
        )
    )


def test_straight_lines_right_across_are_hinges() -> None:
    """A cross of two straight seams folds along both."""
    hinges = read_hinges(read_edges(quarters(0)), 4)
    assert sorted(hinge.length_mm for hinge in hinges) == pytest.approx([80, 80])


def test_a_staggered_seam_is_no_hinge() -> None:
    """With the upright seams staggered, only the level one still goes right across."""
    (hinge,) = read_hinges(read_edges(quarters(10)), 4)
    assert {round(hinge.begin[1]), round(hinge.end[1])} == {40}


def test_a_seam_that_others_bridge_is_no_hinge() -> None:
    """Of a bond of bricks only the level seam folds: the upright one ends at a brick that lies across it."""
    bricks = [
        shapely.box(0, 0, 40, 80),
        shapely.box(40, 0, 80, 20),
        shapely.box(40, 20, 80, 80),
        shapely.box(0, 80, 80, 90),
    ]
    hinges = read_hinges(read_edges(list(shapely.coverage_clean(bricks))), 4)
    assert [np.round(sorted([hinge.begin[1], hinge.end[1]])).tolist() for hinge in hinges] == [[80, 80]]
