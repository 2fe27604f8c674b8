"""Curves flattened: chords stay within the tolerance, and there are not many more than it takes."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import LineString

from catalog_builder.pattern.svg.curve import Bezier

QUARTER = Bezier(np.array([(0.0, 0.0), (0.0, 55.0), (45.0, 100.0), (100.0, 100.0)]))


@pytest.mark.parametrize("tolerance", [0.01, 0.1, 1.0])
def test_chords_of_a_bezier_curve(tolerance: float) -> None:
    """The largest distance of a chord from a cubic curve is under the tolerance and over an eighth of it."""
    curve, chords = LineString(QUARTER.flat(1e-5)), LineString(QUARTER.flat(tolerance))
    assert tolerance / 8 < curve.hausdorff_distance(chords) <= tolerance
