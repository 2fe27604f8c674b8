"""Seams in space, as the photos find them: where the edges of forms meet, each once."""

from __future__ import annotations

import numpy as np
import pytest

from tests.demo_photos.corner import NEAR_MM, SPACING_MM, corner_paths
from tests.demo_photos.specimen import SPECIMENS
from tests.demo_photos.subject import pose_of


def lengths(name: str) -> list[float]:
    """Give the lengths of the corners of a specimen, the longest first."""
    paths = corner_paths(SPECIMENS[name]().flats)
    return sorted((float(np.linalg.norm(np.diff(path, axis=0), axis=1).sum()) for path in paths), reverse=True)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("specimen-lantern", [112.0] * 4 + [84.0] * 4),
        ("specimen-box", [110.0] * 3 + [80.0] * 2 + [44.0] * 4),
        ("specimen-panel", []),
        ("specimen-stake", []),
    ],
)
def test_each_corner_has_one_bead(name: str, expected: list[float]) -> None:
    """A lantern has four uprights and a floor's four edges, a box its lid's hinge too; what is flat has none.

    Where it ends at another one it may stop as far short of it as the search reaches.
    """
    assert lengths(name) == pytest.approx(expected, abs=2 * (NEAR_MM + SPACING_MM))


@pytest.mark.parametrize("name", sorted(SPECIMENS))
def test_poses_turn_and_do_not_stretch(name: str) -> None:
    """A flat's mesh comes to stand where its copy's place puts the same point, with y upwards."""
    for flat in SPECIMENS[name]().flats:
        for place in flat.places:
            pose = pose_of(place)
            assert np.linalg.det(pose[:3, :3]) == pytest.approx(1.0)
            x, y, z = place.point(7.0, 11.0)
            assert (pose @ [7.0, -11.0, 0.0, 1.0])[:3] == pytest.approx([x, -y, z])
