"""Cuts: half the foil gap off every seam side, and the box that a cut takes of a sheet."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon
from shapely.affinity import rotate

from catalog_builder.pattern.cuts import box_along, long_direction
from tests.drawn import body, drawn, square

HABITS = ("outlines", "lines")


@pytest.mark.parametrize("habit", HABITS)
@pytest.mark.parametrize("gap", [0.0, 0.4, 0.8, 1.6])
def test_grid(habit: str, gap: float) -> None:
    """In a grid of nine squares a side loses half the gap where glass lies beyond it, nothing on the rim."""
    drawing = drawn(body([square(20 * x, 20 * y, 20) for y in range(3) for x in range(3)], habit), gap=gap)
    middle, corner, side = (20 - gap) ** 2, (20 - gap / 2) ** 2, (20 - gap) * (20 - gap / 2)
    expected = [corner, side, corner, side, middle, side, corner, side, corner]
    by_place = sorted(drawing.cuts, key=lambda cut: (cut.shape.centroid.y // 20, cut.shape.centroid.x))
    assert [cut.area_mm2 for cut in by_place] == pytest.approx(expected)
    assert sum(cut.edge_mm for cut in drawing.cuts) == pytest.approx(720 - 4 * (gap + 3 * gap + 2 * gap))


@pytest.mark.parametrize("gap", [0.0, 0.8, 1.6])
def test_round_in_round(gap: float) -> None:
    """A disc in a ring of glass is cut smaller by half the gap, and the ring's hole larger by as much."""
    drawing = drawn('<circle r="40"/><circle r="20"/>', gap=gap, tolerance=0.001)
    ring, disc = sorted((cut.area_mm2 for cut in drawing.cuts), reverse=True)
    assert disc == pytest.approx(math.pi * (20 - gap / 2) ** 2, rel=1e-4)
    assert ring == pytest.approx(math.pi * (1600 - (20 + gap / 2) ** 2), rel=1e-4)


def test_square_in_square() -> None:
    """A square set into glass keeps its four corners when half the gap comes off all round."""
    drawing = drawn(square(0, 0, 60).outline + square(20, 20, 20).outline)
    assert sorted(cut.area_mm2 for cut in drawing.cuts) == pytest.approx([19.2**2, 3600 - 20.8**2])


@pytest.mark.parametrize("gap", [0.4, 0.8, 1.6])
def test_wedge(gap: float) -> None:
    """Half the gap off the two long sides of a wedge moves its point in by gap / (2 sin(angle / 2))."""
    wedges = '<path d="M0,0 L100,0 L100,60 Z"/><path d="M0,0 L100,60 L0,60 Z"/><path d="M0,0 L100,0 L100,-20 Z"/>'
    drawing = drawn(wedges, gap=gap)
    cut = min(drawing.cuts, key=lambda cut: abs(cut.shape.centroid.y - 20))
    angle = math.atan2(60, 100)
    tip = min(cut.shape.exterior.coords, key=lambda point: math.hypot(*point))
    assert math.hypot(*tip) == pytest.approx(gap / 2 / math.sin(angle / 2), rel=1e-6)


@pytest.mark.parametrize("turn", [0, 30, 45, 90, 135, 179])
def test_box(turn: float) -> None:
    """The box along the grain of a piece cut along the grain is the piece's own length and breadth."""
    shape = rotate(Polygon([(0, 0), (50, 0), (50, 12), (0, 12)]), -turn)
    assert box_along(shape, turn) == pytest.approx((50, 12))
    assert box_along(shape, turn + 90) == pytest.approx((12, 50))
    assert box_along(shape, turn + 180) == pytest.approx((50, 12))
    assert long_direction(shape) == pytest.approx(turn)


@pytest.mark.parametrize(
    ("grain", "along", "across"),
    [
        (0, 30, 30),
        (90, 30, 30),
        (45, 30 * math.sqrt(2), 30 * math.sqrt(2)),
        (30, 30 * (math.cos(math.pi / 6) + 0.5), 30 * (math.cos(math.pi / 6) + 0.5)),
    ],
)
def test_grain_takes_glass(grain: float, along: float, across: float) -> None:
    """A square set across the grain takes a larger box of the sheet, with the clearance once each way."""
    cut = drawn(f'<rect width="30" height="30" data-grain="{grain}"/>').cuts[0]
    assert (cut.along_mm, cut.across_mm) == pytest.approx((along, across))
    assert cut.charged_mm2(3) == pytest.approx((along + 3) * (across + 3))
    assert cut.charged_mm2(0) == pytest.approx(along * across)
    assert cut.grain == grain


def test_grain_along() -> None:
    """Without a grain of its own, a piece lies with its long side along the streaks."""
    wide, tall = drawn('<rect width="20" height="50"/><rect x="30" width="50" height="20"/>').cuts
    assert (tall.grain, tall.along_mm, tall.across_mm) == pytest.approx((90, 50, 20))
    assert (wide.grain, wide.along_mm, wide.across_mm) == pytest.approx((0, 50, 20))
