"""Regular solids folded from records: wings joined to a regular polygon at the solid's angle meet edge to edge.

Dihedral angles by geometry (C): tetrahedron arccos(1/3) = 70.5288 degrees, cube 90, dodecahedron arccos(-1/sqrt 5) =
116.5651. A wing that lies flat beyond its edge is turned up by 180 degrees less the dihedral angle, so 109.4712, 90
and 63.4349. Where wings meet, their corners do: no other angle closes the solid.
"""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from tests.parts import block, join, parted
from tests.studio import content

SIDE_MM = 60.0
# Corners are stored to a thousandth of a millimetre and joined on a grid.
SAME_MM = 0.02
SOLIDS = [
    ("tetrahedron", 3, math.degrees(math.acos(1 / 3))),
    ("cube", 4, 90.0),
    ("dodecahedron", 5, math.degrees(math.acos(-1 / math.sqrt(5)))),
]
Points = NDArray[np.float64]


def regular(corners: int, begin_degrees: float) -> Points:
    """A regular polygon about (100, 100) with sides of ``SIDE_MM``, its corners clockwise as seen; shape (n, 2)."""
    radius = SIDE_MM / 2 / math.sin(math.pi / corners)
    turns = np.radians(begin_degrees + 360 / corners * np.arange(corners))
    return 100 + radius * np.stack([np.cos(turns), np.sin(turns)], axis=1)


def outline(points: Points, glass: str) -> str:
    """A polygon of a glass as an SVG outline."""
    return f'<polygon points="{" ".join(f"{x:.6f},{y:.6f}" for x, y in points)}" data-glass="{glass}"/>'


def set_at(begin: Points, end: Points, flap_degrees: float) -> float:
    """The record's angle for a wing that is turned up by ``flap_degrees`` from lying flat outside an edge.

    A record counts from the flat on the right of a join (below a level one); outside an edge on the left or at the
    top, the flat is at 180 degrees, and the wing comes up from there. The polygon's middle is (100, 100).
    """
    out = (begin + end) / 2 - 100
    level = abs(end[1] - begin[1]) < 1e-6
    beyond = out[1] > 0 if level else out[0] > 0
    return flap_degrees if beyond else 180 - flap_degrees


def wings(root: Path, corners: int, begin_degrees: float, flap_degrees: float) -> tuple[list[Points], Points]:
    """The corners in space of each wing of a folded record, shape (corners, 3), and those of the middle polygon."""
    middle = regular(corners, begin_degrees)
    own = regular(corners, 90 - 180 / corners)  # its last side lies level, at the bottom or the top
    base = max(
        ((own[index - 1], own[index]) for index in range(corners)),
        key=lambda side: float(side[0][1] + side[1][1]),
    )
    drawing = outline(own, "right") + join(base[0][0], base[0][1], base[1][0], base[1][1])
    edges = [(middle[index - 1], middle[index]) for index in range(corners)]
    names = [f"wing-{index}" for index in range(corners)]
    joins = "".join(
        join(begin[0], begin[1], end[0], end[1], name) for name, (begin, end) in zip(names, edges, strict=True)
    )
    angles = {
        name: f"set_at: [{set_at(begin, end, flap_degrees):.6f}]"
        for name, (begin, end) in zip(names, edges, strict=True)
    }
    box = 'width="200mm" height="200mm" viewBox="0 0 200 200"'
    blocks = "".join(block(name, drawing, box) for name in names)
    text = parted(joins, angles, main=outline(middle, "left"), blocks=blocks, box=box)
    studio = content(root, text)
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    flats = measure(product, sized, making).flats
    solids = [flat.places[0].points(np.array(flat.pattern.pieces[0].face.exterior.coords)[:-1]) for flat in flats]
    return solids[1:], solids[0]


def closed(folded: list[Points]) -> list[float]:
    """For each wing how far, in mm, its corners are from the nearest of another wing; the smallest go first."""
    gaps = []
    for number in range(len(folded)):
        others = np.concatenate([wing for index, wing in enumerate(folded) if index != number])
        gaps.extend(np.linalg.norm(folded[number][:, None] - others[None], axis=2).min(axis=1).tolist())
    return sorted(gaps)


@pytest.mark.parametrize("begin_degrees", [-90.0, 90.0, 17.0])
@pytest.mark.parametrize(("solid", "corners", "dihedral"), SOLIDS, ids=[name for name, *_ in SOLIDS])
def test_wings_at_the_dihedral_angle_meet(
    tmp_path: Path, solid: str, corners: int, dihedral: float, begin_degrees: float
) -> None:
    """Each wing has its four lowest corners, two at its foot and two beside them, on its neighbours' corners."""
    folded, foot = wings(tmp_path, corners, begin_degrees, 180 - dihedral)
    meeting = corners * min(corners, 4)
    gaps = closed(folded)
    assert gaps[:meeting] == pytest.approx([0.0] * meeting, abs=SAME_MM), solid
    assert all(gap > 1 for gap in gaps[meeting:])
    # Every wing comes out towards the viewer, and the middle stays in its plane.
    assert all(wing[:, 2].max() > 10 and wing[:, 2].min() > -SAME_MM for wing in folded)
    assert np.abs(foot[:, 2]).max() == 0
    # Edges stay as long as they are drawn.
    for wing in folded:
        lengths = np.linalg.norm(wing - np.roll(wing, 1, axis=0), axis=1)
        assert lengths == pytest.approx([SIDE_MM] * corners, abs=SAME_MM)


@pytest.mark.parametrize(("solid", "corners", "dihedral"), SOLIDS, ids=[name for name, *_ in SOLIDS])
def test_wings_at_another_angle_do_not_meet(tmp_path: Path, solid: str, corners: int, dihedral: float) -> None:
    """Five degrees off, the corners beside the feet stand more than 3 mm apart."""
    for off in (-5.0, 5.0):
        folded, _ = wings(tmp_path / f"off{off:.0f}", corners, -90.0, 180 - dihedral + off)
        gaps = closed(folded)
        assert gaps[: 2 * corners] == pytest.approx([0.0] * 2 * corners, abs=SAME_MM), solid
        assert min(gaps[2 * corners :]) > 3


def test_the_angle_between_neighbouring_wings_is_the_solids(tmp_path: Path) -> None:
    """The normals of two neighbouring faces of a dodecahedron are 180 - 116.5651 = 63.4349 degrees apart."""
    dihedral = SOLIDS[2][2]
    folded, _ = wings(tmp_path, 5, -90.0, 180 - dihedral)
    normals = []
    for wing in folded:
        normal = np.cross(wing[1] - wing[0], wing[2] - wing[1])
        # All normals on the side away from the middle of the solid.
        normal *= np.sign(normal @ (wing.mean(axis=0) - np.array([100, 100, SIDE_MM])))
        normals.append(normal / np.linalg.norm(normal))
    angles = [
        math.degrees(math.acos(float(normals[first] @ normals[second]))) for first, second in combinations(range(5), 2)
    ]
    assert sorted(angles)[:5] == pytest.approx([63.4349] * 5, abs=0.02)
