"""Junctions whose lines bend inside their ink are drawn again as the ink shows them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import LineString

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.corner_tip import Ink
from catalog_builder.tracing.curves.inked_junctions import arm_of, led_along, redrawn

PEN_MM = 1.5
MEETING = np.array([30.0, 40.0])


def run_of(*corners: tuple[float, float]) -> Points:
    """Give points along straight lines, 0.4 mm apart."""
    return np.asarray(shapely.get_coordinates(shapely.segmentize(LineString(corners), 0.4)))


def ink_of(*lines: Points) -> Ink:
    """Give the ink of a round pen along lines, its edge 0.3 mm wide: measured by a geometry library."""
    drawn = shapely.MultiLineString([LineString(line) for line in lines])

    def ink(places: Points) -> Points:
        away = shapely.distance(drawn, shapely.points(places))
        return np.asarray(np.clip(0.5 + (PEN_MM / 2 - away) / 0.3, 0, 1))

    return ink


def test_a_line_that_bends_beside_its_junction_is_followed() -> None:
    """The junction was taken for where the straight parts lead, 0.9 mm off; it comes back to 0.2 mm."""
    bend = (27.6, 40.0)
    lines = [
        run_of(tuple(MEETING), bend, (18.0, 34.0)),
        run_of(tuple(MEETING), (40.0, 50.0)),
        run_of(tuple(MEETING), (30.0, 25.0)),
    ]
    wrong = MEETING + np.array([-0.5, -0.75])
    arms = [arm_of(np.vstack([wrong, line[np.hypot(*(line - MEETING).T) > 2.5]]), PEN_MM) for line in lines]
    drawn = redrawn(arms, ink_of(*lines), PEN_MM)
    assert drawn is not None
    assert drawn[0][0] == pytest.approx(MEETING, abs=0.2)
    assert all(arm[0] == pytest.approx(drawn[0][0]) for arm in drawn)
    assert LineString(drawn[0]).distance(shapely.Point(bend)) < 0.2


def test_a_junction_that_agrees_with_its_ink_stays_as_it_is() -> None:
    """Three straight lines that leave the ink seen are not touched."""
    lines = [run_of(tuple(MEETING), end) for end in ((18.0, 34.0), (40.0, 50.0), (30.0, 25.0))]
    assert redrawn([arm_of(line, PEN_MM) for line in lines], ink_of(*lines), PEN_MM) is None


def test_lines_too_short_for_their_ink_stay_as_they_are() -> None:
    """The ink of a line of 3 mm is that of its other junction too."""
    lines = [run_of(tuple(MEETING), end) for end in ((33.0, 40.0), (20.0, 50.0), (30.0, 25.0))]
    moved = [arm_of(np.vstack([MEETING + 1.0, line[1:]]), PEN_MM) for line in lines]
    assert redrawn(moved, ink_of(*lines), PEN_MM) is None


def test_the_rest_of_a_line_is_kept() -> None:
    """An arm takes the place of a line's beginning alone."""
    line = run_of((0.0, 0.0), (20.0, 0.0))
    arm = arm_of(line, PEN_MM)
    led = led_along(line, np.array([[0.0, 1.0], [arm.reach, 0.0]]), arm.reach, 0.4)
    assert led[0] == pytest.approx([0, 1])
    assert led[led[:, 0] > arm.reach + 0.1][:, 1] == pytest.approx(0)
    assert led[-1] == pytest.approx([20, 0])
    assert np.hypot(*np.diff(led, axis=0).T).max() < 0.9
