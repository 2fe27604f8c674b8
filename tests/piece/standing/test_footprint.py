"""What a piece stands on: places that touch the ground, feet across an edge, feet in corners."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest

from catalog_builder.piece.standing.footprint import footprint, touching
from catalog_builder.records.material import Material

SQUARE = np.array([(0.0, 0.0), (80.0, 0.0), (80.0, 80.0), (0.0, 80.0)])
EDGE = np.array([(0.0, 0.0), (100.0, 0.0)])


def foot(**cells: str) -> Material:
    """A foot of 5 mm and 10 g."""
    usual = {"material": "foot", "title": "Foot", "kind": "foot", "pack_size": Decimal(4), "pack_unit": "each"}
    sizes = {name: Decimal(value) for name, value in {"mass_g": "10", "length_mm": "5", **cells}.items()}
    return Material.model_validate({**usual, **sizes})


def test_what_is_a_little_higher_touches_too() -> None:
    """Places up to half a millimetre above the lowest one touch the ground, and none above that does."""
    places = np.array([(0, 50, 0), (10, 49.5, 1), (20, 49.4, 2)])
    assert touching(places).tolist() == [[0, 0], [10, 1]]


def test_a_box_stands_on_its_corners() -> None:
    """Without feet the footprint is the hull of what touches the ground."""
    on = footprint(SQUARE, None, None)
    assert (on.size_mm, on.feet, on.on_edge) == ((80, 80), (), False)
    assert on.area.area == pytest.approx(6400)


def test_a_flat_panel_stands_on_an_edge() -> None:
    """What touches along a line has no depth."""
    on = footprint(EDGE, None, None)
    assert (on.on_edge, on.size_mm) == (True, (100, 0))
    assert on.area.area == 0


@pytest.mark.parametrize(("feet", "count"), [(None, 2), (2, 2), (1, 1), (3, 3)])
def test_feet_across_an_edge(feet: int | None, count: int) -> None:
    """Feet that lie across the ends of an edge make it as deep as they are; one reaches along all of it."""
    on = footprint(EDGE, foot(width_mm="60"), feet)
    assert len(on.feet) == count
    assert on.size_mm == pytest.approx((100, 60))
    assert on.area.area == pytest.approx(6000)
    assert not on.on_edge


def test_feet_across_a_slanting_edge() -> None:
    """Feet lie across the edge as it runs: the area is its length times their depth."""
    on = footprint(np.array([(0.0, 0.0), (60.0, 80.0)]), foot(width_mm="40"), None)
    assert on.area.area == pytest.approx(100 * 40)


def test_round_feet_sit_in_the_corners() -> None:
    """The area lies between the middles of the feet, which sit inwards by half of themselves."""
    on = footprint(SQUARE, foot(diameter_mm="10"), None)
    assert (len(on.feet), on.size_mm) == (4, (70, 70))


def test_three_feet_under_a_square() -> None:
    """Three feet carry a triangle, half of the square."""
    on = footprint(SQUARE, foot(diameter_mm="10"), 3)
    assert len(on.feet) == 3
    assert on.area.area == pytest.approx(70 * 70 / 2)


def test_a_triangle_has_three_feet() -> None:
    """Without a number a base of three corners has three feet."""
    on = footprint(SQUARE[:3], foot(diameter_mm="1"), None)
    assert len(on.feet) == 3


def test_a_round_base() -> None:
    """Of a round base the footprint is nearly its circle, and four feet stand in a square."""
    turns = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    ring = 50 * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    assert footprint(ring, None, None).area.area == pytest.approx(math.pi * 50**2, rel=0.02)
    assert footprint(ring, foot(diameter_mm="0.01"), 4).area.area == pytest.approx(2 * 50**2, rel=0.01)
