"""The shapes that the photos are made of, held to closed forms and to a mesh library."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import trimesh

from tests.demo_photos.border import border_mesh
from tests.demo_photos.mesh import Mesh, box, lathe, prism, tube
from tests.demo_photos.relief import bevelled, domed
from tests.demo_photos.specimen import panel

SHEET = np.zeros((3, 2))


def solid(mesh: Mesh) -> trimesh.Trimesh:
    """Give a mesh to the library, with equal corners made one."""
    return trimesh.Trimesh(mesh.points, mesh.triangles, process=True)


def lifted_volume(mesh: Mesh, floor: float) -> float:
    """Give the volume between a surface that faces forward and a floor below it."""
    corners = mesh.points[mesh.triangles]
    one, other = (corners[:, index, :2] - corners[:, 0, :2] for index in (1, 2))
    areas = (one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]) / 2
    return float((areas * (corners[..., 2].mean(axis=1) - floor)).sum())


@pytest.mark.parametrize(
    "mesh",
    [box((0, 0, 0), (30, 20, 10), 1.0), prism(np.array([[0.0, 0], [90, 0], [102, -12], [-12, -12]]), 16, 1.2)],
    ids=["box", "side of a frame"],
)
def test_bars_are_closed_and_face_outwards(mesh: Mesh) -> None:
    """A box and a mitred side of a frame are watertight, and what they enclose is above zero."""
    closed = solid(mesh)
    assert closed.is_watertight
    assert closed.volume > 0


def test_bar_holds_what_its_section_says() -> None:
    """A trapezium of 90 and 114 mm, 12 mm wide, 16 mm deep, holds 102 x 12 x 16 mm3 less its chamfers."""
    bar = solid(prism(np.array([[0.0, 0], [90, 0], [102, -12], [-12, -12]]), 16, 0.01))
    assert bar.volume == pytest.approx(102 * 12 * 16, rel=0.002)


def test_pot_is_turned_the_right_way_out() -> None:
    """A profile that goes up on the outside has its faces and normals away from the middle."""
    pot = lathe(np.array([[0.01, 0.0], [40, 0], [50, 80], [0.01, 80]]))
    body = solid(pot)
    frustum = np.pi * 80 / 3 * (40**2 + 40 * 50 + 50**2)
    assert body.volume == pytest.approx(frustum, rel=0.002)
    assert pot.normals is not None
    side = (pot.points[:, 1] > 1) & (pot.points[:, 1] < 79)
    assert ((pot.normals * pot.points)[side][:, [0, 2]].sum(axis=1) >= 0).all()


def test_tube_tapers_as_its_radii_say() -> None:
    """Each section of a tube has the radius that is given for its place."""
    path = np.column_stack([np.linspace(0, 10, 5), np.zeros(5), np.zeros(5)])
    radii = np.array([0.5, 1.0, 2.0, 1.0, 0.5])
    points = tube(path, radii, 8).points.reshape(5, 8, 3)
    assert np.linalg.norm(points - path[:, None], axis=2) == pytest.approx(np.repeat(radii[:, None], 8, axis=1))


def test_bevel_rises_by_the_prismoid_rule() -> None:
    """A bevel of 60 by 40 mm with 10 mm slopes, 3 mm high: h / 6 x (low + 4 x middle + high area)."""
    mesh = bevelled(shapely.box(0, 0, 60, 40), 1.5, 3.0, 10.0, SHEET)
    rule = 3.0 / 6 * (60 * 40 + 4 * 50 * 30 + 40 * 20)
    assert lifted_volume(mesh, 1.5) == pytest.approx(rule)


def test_nugget_is_round_and_as_high_as_it_is_sold() -> None:
    """A dome of 26 mm is a half of an ellipsoid: 2/3 pi r^2 h, from memory, and its normals look forward."""
    mesh = domed(shapely.Point(0, 0).buffer(13, quad_segs=32), 1.5, 5.0, SHEET)
    assert mesh.points[:, 2].max() == pytest.approx(6.5, abs=0.05)
    assert lifted_volume(mesh, 1.5) == pytest.approx(2 / 3 * np.pi * 13**2 * 5, rel=0.02)
    assert mesh.normals is not None
    assert (mesh.normals[:, 2] > 0).all()


def test_frame_goes_all_round_its_panel() -> None:
    """A frame 20 mm wide that covers 5 of a panel of 150 mm has four sides, 180 mm over all, 16 mm deep."""
    frame = solid(border_mesh(panel()))
    assert len(frame.faces) == 4 * 28
    assert np.ptp(frame.bounds, axis=0) == pytest.approx([180, 180, 16])
    # Less than the whole ring by its chamfers alone.
    whole = (180**2 - 140**2) * 16
    assert 0.97 * whole < frame.volume < whole
