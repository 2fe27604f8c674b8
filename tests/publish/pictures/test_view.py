"""How a piece is seen: a rotation of space, the farthest part first."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from catalog_builder.publish.pictures.projection import ASIDE, FRONT, SIDE, View, best_view, box_of
from tests.parts import MIDDLE, RIGHT_EDGE, parted
from tests.studio import content, makings, suspension

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=60)


@STEADY
@given(yaw=st.floats(-180, 180), pitch=st.floats(-90, 90))
def test_a_view_is_a_rotation(yaw: float, pitch: float) -> None:
    """A view turns space without stretching or mirroring it: as scipy makes the same turns one after the other."""
    matrix = View(yaw, pitch).matrix
    assert matrix @ matrix.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(matrix) == pytest.approx(1)
    turns = Rotation.from_euler("x", -pitch, degrees=True) * Rotation.from_euler("y", yaw, degrees=True)
    assert matrix == pytest.approx(turns.as_matrix(), abs=1e-12)


@pytest.mark.parametrize(
    ("view", "place", "seen"),
    [
        (FRONT, (3, 4, 5), (3, 4)),
        # From the left side what stands out to the front is seen on the right.
        (SIDE, (3, 4, 5), (5, 4)),
        # From above, what stands out to the front is seen lower.
        (View(pitch=90), (3, 4, 5), (3, 5)),
    ],
)
def test_places(view: View, place: tuple[float, float, float], seen: tuple[float, float]) -> None:
    """A place in space is seen where one who stands there sees it."""
    assert view.point(place) == pytest.approx(seen)


def test_the_farthest_is_drawn_first(tmp_path: Path) -> None:
    """A vane that stands back is drawn before the pane, one that stands out after it."""
    (made,) = makings(content(tmp_path, parted(MIDDLE, {"fin": "set_at: [90, 270]"})))
    order = [(one.flat.name, round(one.near)) for one in FRONT.project(made)]
    assert order == [("fin", -10), ("", 0), ("fin", 10)]
    assert [round(one.facing, 6) for one in FRONT.project(made)] == [0, 1, 0]
    assert sorted(round(one.facing, 6) for one in SIDE.project(made)) == [0, 1, 1]


@pytest.mark.parametrize(
    ("view", "box"), [(FRONT, (0, 0, 100, 60)), (SIDE, (0, 0, 20, 60)), (View(yaw=-90), (-20, 0, 0, 60))]
)
def test_box(tmp_path: Path, view: View, box: tuple[float, float, float, float]) -> None:
    """The box of all that is seen, from the front and from the two sides."""
    (made,) = makings(content(tmp_path, parted(RIGHT_EDGE, {"fin": "set_at: [90]"})))
    assert box_of(view.project(made)) == pytest.approx(box, abs=1e-9)


def test_flat_pieces_are_seen_from_the_front(tmp_path: Path) -> None:
    """A flat piece shows itself from the front, one with vanes from a little aside."""
    flat_studio = content(tmp_path / "flat")
    vaned_studio = content(tmp_path / "vaned", parted(RIGHT_EDGE, {"fin": "set_at: [90]"}))
    (flat,), (vaned,) = makings(flat_studio), makings(vaned_studio)
    assert best_view(flat, suspension(flat_studio)) == FRONT
    assert best_view(vaned, suspension(vaned_studio)) == ASIDE
    assert FRONT.project(flat)[0].transform == ""
