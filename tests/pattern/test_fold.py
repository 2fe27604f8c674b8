"""The fold line: a mirror, which leaves what lies on it and gives everything else its image."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.pattern.fold import Fold

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=60)
ANGLES = st.floats(0, 360)
PLACES = st.floats(-100, 100)


def fold_at(degrees: float, x: float = 0.0, y: float = 0.0) -> Fold:
    """A fold through a point, at an angle anticlockwise from level as seen."""
    turn = math.radians(degrees)
    direction = np.array([math.cos(turn), -math.sin(turn)]) * 10
    return Fold.through(np.array([(x, y), direction + np.array((x, y))]))


@STEADY
@given(degrees=ANGLES, x=PLACES, y=PLACES, px=PLACES, py=PLACES)
def test_mirror(degrees: float, x: float, y: float, px: float, py: float) -> None:
    """A point and its image lie equally far from the fold, on its two sides; twice mirrored it is back."""
    fold = fold_at(degrees, x, y)
    point = np.array([[px, py]])
    image = fold.mirrored(point)
    assert fold.side(image)[0] == pytest.approx(-fold.side(point)[0], abs=1e-9)
    assert fold.mirrored(image)[0] == pytest.approx(point[0], abs=1e-9)
    assert fold.side((point + image) / 2)[0] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("degrees", "point", "side"),
    [
        # The fold points up the page, or to the right where it is level; its left is below zero.
        (90, (-5, 0), -5),
        (90, (5, 0), 5),
        (270, (-5, 0), -5),
        (0, (0, -5), -5),
        (180, (0, -5), -5),
        (45, (0, -5), -5 * math.sqrt(0.5)),
        (225, (0, -5), -5 * math.sqrt(0.5)),
    ],
)
def test_side(degrees: float, point: tuple[float, float], side: float) -> None:
    """Left and right of a fold are as one looks at the piece, from whichever end the line is drawn."""
    assert fold_at(degrees).side(np.array([point]))[0] == pytest.approx(side)


@STEADY
@given(degrees=ANGLES, grain=st.floats(0, 179.9))
def test_grain(degrees: float, grain: float) -> None:
    """The grain of a mirrored piece is the direction of its mirrored streaks."""
    fold = fold_at(degrees)
    turn = math.radians(grain)
    streak = fold.mirrored(np.array([[0.0, 0.0], [math.cos(turn), -math.sin(turn)]]))
    direction = streak[1] - streak[0]
    mirrored = math.radians(fold.grain(grain))
    assert direction[0] * math.sin(mirrored) + direction[1] * math.cos(mirrored) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("off", "snapped"), [(0.0, 0.0), (0.2, 0.0), (-0.29, 0.0), (0.31, 0.31), (5.0, 5.0)])
def test_snapped(off: float, snapped: float) -> None:
    """A line's end that misses the fold by under 0.3 mm is led onto it; one farther off stays."""
    line = fold_at(90).snapped(np.array([[off, 3.0], [40.0, 3.0], [40.0, 20.0]]), 0.3)
    assert line[0] == pytest.approx([snapped, 3.0])
    assert line[1:].tolist() == [[40.0, 3.0], [40.0, 20.0]]
