"""Corners in space: the angles between the faces that meet along a straight seam."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import box

from catalog_builder.pattern.parts.copies import Copy
from catalog_builder.pattern.parts.corner import FLAT, corner_at
from catalog_builder.pattern.parts.placing import UPRIGHT, Placing

EDGE = np.array([(100.0, 0.0, 0.0), (100.0, 60.0, 0.0)])
PANE, WALL = box(0, 0, 100, 60), box(0, 0, 40, 60)


def wall(degrees: float) -> Copy:
    """A wall that stands on the pane's right edge and is turned out of its plane: 180 degrees lie flat beside it."""
    turn = math.radians(180 - degrees)
    across = np.array([math.cos(turn), 0.0, math.sin(turn)])
    return Copy("wall", Placing(EDGE[0], across, np.array([0.0, 1.0, 0.0])))


@pytest.mark.parametrize("degrees", [60, 90, 135])
def test_two_faces_have_their_angle_and_the_rest_of_the_round(degrees: int) -> None:
    """The sectors of two faces are the angle between them and what is left of 360 degrees."""
    corner = corner_at(EDGE, [Copy("", UPRIGHT), wall(degrees)], [PANE, WALL])
    assert sorted(corner.sectors) == pytest.approx([degrees, 360 - degrees])
    assert corner.length_mm == pytest.approx(60)


def test_three_faces_have_three_sectors() -> None:
    """Walls to both sides of a pane stand at right angles to it, and lie in one plane themselves."""
    corner = corner_at(EDGE, [Copy("", UPRIGHT), wall(90), wall(270)], [PANE, WALL, WALL])
    assert sorted(corner.sectors) == pytest.approx([90, 90, 180])


def test_one_face_alone_counts_as_flat() -> None:
    """A seam with one face, as on a wire, takes the bead of a flat one."""
    assert corner_at(EDGE, [Copy("", UPRIGHT)], [PANE]).sectors == FLAT
