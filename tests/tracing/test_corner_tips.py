"""The tip of a corner of two lines, where their ink ends."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.corner_tip import corner_tip
from catalog_builder.tracing.curves.junctions import EndCurve

PEN_MM = 1.0


def straight(degrees: float) -> EndCurve:
    """A line from where both meet, in a direction."""
    way = radians(degrees)
    return EndCurve(np.array([cos(way), 0.0]), np.array([sin(way), 0.0]), end=0.0, span=5.0)


def disc(places: Points) -> Points:
    """Ink in a disc of 2 mm about the origin."""
    return np.asarray(np.hypot(places[..., 0], places[..., 1]) < 2, float)


@pytest.mark.parametrize(("turned", "away_mm"), [(90, 1.5), (10, 0.0)])
def test_lines_that_hardly_turn_have_no_tip(turned: float, away_mm: float) -> None:
    """At a right angle the ink ends 2 mm away, the tip half a pen before; by 10 degrees it stays where they meet."""
    lines = [straight(0), straight(180 - turned)]
    tip = corner_tip(np.zeros(2), np.zeros(2), lines, disc, PEN_MM)
    assert np.hypot(*tip) == pytest.approx(away_mm, abs=0.1)
