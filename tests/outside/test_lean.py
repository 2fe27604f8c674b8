"""Pieces with parts that stand out of their plane: how far they lean, against equilibrium in space.

Source: a body that hangs still has no moment about what it hangs by, and its centre of mass lies as low as it can
(statics, as in OpenStax University Physics vol. 1, ch. 12, S; the lowest place, M). Turns are scipy's rotations, and
the lowest place is found by scipy's minimiser, so that neither uses the program's formulas.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from catalog_builder.piece.balance import lean_degrees
from catalog_builder.piece.hanging.suspension import Suspension
from tests.parts import LEFT_EDGE, MIDDLE, RIGHT_EDGE, parted
from tests.studio import content, suspension

Vector = NDArray[np.float64]
DOWN = np.array([0.0, 1.0, 0.0])
TWO_RINGS = '<circle data-mark="ring" cx="20" cy="0" r="1"/><circle data-mark="ring" cx="80" cy="0" r="1"/>'
# Three pieces side by side, with seams for two rings; the seam on the right goes up to the rim at 80 mm.
WIDE_PANE = (
    '<rect width="100" height="60" data-glass="left"/><path d="M20,0 V60"/><path d="M80,0 V60"/>'
    '<text x="10" y="30" data-glass="left">1</text><text x="50" y="30" data-glass="right">2</text>'
    '<text x="90" y="30" data-glass="left">3</text>'
)


def turned_as_it_hangs(piece: Suspension) -> tuple[Vector, Vector]:
    """The places in mm of a piece's parts about its pivot as it hangs, shape (n, 3), and their masses in g, (n,).

    x goes to the right, y down, z to the viewer. A turn about x by a positive angle takes what is below towards the
    viewer, so that a piece whose weight lies towards the viewer (lean above zero) turns by a negative one.
    """
    places = np.array([(part.x, part.y, part.z) for part in piece.body.parts]) - (*piece.pivot, 0.0)
    tilt = Rotation.from_euler("z", piece.tilt_degrees, degrees=True)
    lean = Rotation.from_euler("x", -piece.lean_degrees, degrees=True)
    return (lean * tilt).apply(places), np.array([part.mass_g for part in piece.body.parts])


def moment_g_mm(piece: Suspension) -> Vector:
    """The moment of the weight about the pivot as the piece hangs, in g mm, shape (3,)."""
    places, masses = turned_as_it_hangs(piece)
    return np.asarray(np.cross(places, np.outer(masses, DOWN)).sum(axis=0))


def with_fins(root: Path, joins: str, degrees: str, hang: str = "", main: str = "") -> Suspension:
    """A pane with fins joined on at angles, as it hangs."""
    parts = {"fin": f"set_at: [{degrees}]"}
    return suspension(content(root, parted(joins, parts, keys=hang, **({"main": main} if main else {}))))


@pytest.mark.parametrize("degrees", ["90", "-90", "45", "-30", "90, 30", "150"])
@pytest.mark.parametrize("joins", [RIGHT_EDGE, MIDDLE, LEFT_EDGE + RIGHT_EDGE], ids=["right", "middle", "both"])
def test_a_piece_with_fins_hangs_still_on_one_ring(tmp_path: Path, joins: str, degrees: str) -> None:
    """Turned by its tilt and then its lean, a piece with parts has no moment about its ring, and hangs below it."""
    piece = with_fins(tmp_path, joins, degrees)
    places, masses = turned_as_it_hangs(piece)
    assert abs(piece.lean_degrees) > 1
    assert np.abs(moment_g_mm(piece)).max() <= 1e-9 * masses.sum()
    assert (masses @ places)[1] > 0


@pytest.mark.parametrize("seed", range(12))
def test_fins_at_any_angle_hang_still(tmp_path: Path, seed: int) -> None:
    """The same for fins at angles drawn by chance."""
    degrees = ", ".join(f"{angle:.2f}" for angle in np.random.default_rng(seed).uniform(-175, 175, 3))
    piece = with_fins(tmp_path, RIGHT_EDGE, degrees)
    assert np.abs(moment_g_mm(piece)).max() <= 1e-9 * piece.body.mass_g


def test_the_lean_goes_the_way_of_the_weight(tmp_path: Path) -> None:
    """A fin towards the viewer gives a lean above zero, one that stands back the same below zero."""
    front, back = (with_fins(tmp_path / way, MIDDLE, way) for way in ("90", "-90"))
    assert front.lean_degrees > 1
    assert back.lean_degrees == pytest.approx(-front.lean_degrees)


@pytest.mark.parametrize("seed", range(12))
def test_a_body_on_two_rings_leans_to_where_it_is_lowest(seed: int) -> None:
    """About a level line through two rings the centre of mass swings to its lowest place: its potential energy's."""
    random = np.random.default_rng(seed)
    left, right = (random.uniform(0, 40), 7.0), (random.uniform(60, 100), 7.0)
    centre, forward = (random.uniform(left[0], right[0]), random.uniform(12, 80)), random.uniform(-60, 60)
    arm = np.array([0.0, centre[1] - 7.0, forward])

    def height(degrees: float) -> float:
        return -float(Rotation.from_euler("x", -degrees, degrees=True).apply(arm) @ DOWN)

    lowest = minimize_scalar(height, bounds=(-89.9, 89.9), method="bounded", options={"xatol": 1e-8}).x
    assert lean_degrees((left, right), centre, forward) == pytest.approx(lowest, abs=1e-4)


def test_lean_by_hand() -> None:
    """10 mm forward and 100 mm below lean by 5.7106 degrees (arctangent of 0.1, C)."""
    assert lean_degrees(((50, 0),), (50, 100), 10) == pytest.approx(5.7106, abs=5e-5)
    assert lean_degrees(((0, 0), (60, 80)), (30, 40 + 125), 10) == pytest.approx(math.degrees(math.atan2(10, 75)))


def in_the_plane_of_the_cord(piece: Suspension) -> tuple[Vector, Vector, Vector]:
    """The rings, shape (2, 3), the centre of mass and the point where the legs meet, each (3,), of a piece that leans.

    The plane is that of the two legs. Of all turns of the piece about the line through its rings, the piece takes the
    one in which the centre of mass is farthest from where the legs meet, as it then hangs lowest.
    """
    rings = np.array([(*ring, 0.0) for ring in piece.rings])
    centre, top = np.array([*piece.body.centre, piece.body.forward]), np.array([*piece.pivot, 0.0])
    along = (rings[1] - rings[0]) / np.linalg.norm(rings[1] - rings[0])

    def turned(radians: float) -> Vector:
        return np.asarray(rings[0] + Rotation.from_rotvec(radians * along).apply(centre - rings[0]))

    angle = minimize_scalar(
        lambda radians: -float(np.linalg.norm(turned(radians) - top)),
        bounds=(-1.5, 1.5),
        method="bounded",
        options={"xatol": 1e-12},
    ).x
    assert math.degrees(-angle) == pytest.approx(piece.lean_degrees, abs=1e-3)
    return rings, turned(angle), top


@pytest.mark.parametrize("degrees", ["90", "-60", "90, 40", "20"])
def test_a_piece_with_fins_hangs_still_on_a_chain_over_two_rings(tmp_path: Path, degrees: str) -> None:
    """Once the piece is turned by its lean and tilt, the legs' pulls are straight up and as large as the weight.

    The tilt is worked out before the lean, by the centre of mass in the piece's own plane. At these leans of up to
    15 degrees that leaves the centre less than 0.05 mm beside the plumb line, and the pulls within 0.1 %.
    """
    hang = "hang: {by: chain, length: 140 mm}\n"
    piece = with_fins(tmp_path, RIGHT_EDGE, degrees, hang, WIDE_PANE + TWO_RINGS)
    rings, centre, top = in_the_plane_of_the_cord(piece)
    tilt = Rotation.from_euler("z", piece.tilt_degrees, degrees=True)
    below = tilt.apply(centre - top)
    assert 1 < abs(piece.lean_degrees) < 15
    assert below[[0, 2]] == pytest.approx([0, 0], abs=0.05)
    legs = tilt.apply(top - rings)
    pulls = legs / np.linalg.norm(legs, axis=1)[:, None] * np.array(piece.ring_loads_g)[:, None]
    assert pulls.sum(axis=0) == pytest.approx(-DOWN * piece.body.mass_g, abs=1e-3 * piece.body.mass_g)
