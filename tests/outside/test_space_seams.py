"""Forms in space put together from records, against trimesh, a general mesh library.

A mesh is made of the placed faces alone, their corners merged within ``SNAP_MM``. The library says whether it is
watertight, how long its edges are, at which angles its faces meet, where its middle is. Volumes and dihedral angles
of regular solids are those of geometry (C): with edge a, tetrahedron a^3 / (6 sqrt 2) and arccos 1/3 = 70.5288
degrees, cube a^3 and 90, octahedron a^3 sqrt 2 / 3 and arccos -1/3 = 109.4712, dodecahedron (15 + 7 sqrt 5) a^3 / 4 and
arccos -1 / sqrt 5 = 116.5651, icosahedron 5 (3 + sqrt 5) a^3 / 12 and arccos -sqrt 5 / 3 = 138.1897. The CRC Standard
Mathematical Tables and Formulas (30th edition, Polyhedra) tabulate the dihedral angle at each edge; the figures of
``TABULATED`` are those of a table of regular polyhedra that was read (Cleave Books, Calculator for regular polyhedra).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh
from numpy.typing import NDArray

from catalog_builder.pattern.measured import Measured, measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.phrase import Quantity
from catalog_builder.piece.made_piece import MadePiece, make_piece
from catalog_builder.piece.mass import Body, weigh_piece
from catalog_builder.records.content import Content
from tests.outside.test_mesh import solids
from tests.parts import block, join
from tests.studio import content, record

SNAP_MM = 0.3
SAME = 0.005
SIDE = 60.0
Points = NDArray[np.float64]


@dataclass(frozen=True)
class Form:
    """A product in space: its content, measures, and the mesh of its faces."""

    studio: Content
    measured: Measured
    made: MadePiece
    mesh: trimesh.Trimesh

    @property
    def seam_mm(self) -> float:
        """The length of its seams in space."""
        return sum(corner.length_mm for corner in self.measured.corners)

    @property
    def codes(self) -> list[str]:
        """The codes of the findings about how its parts fit."""
        return [finding.code for finding in self.measured.findings if finding.code in ("G10", "G11")]


def form(root: Path, main: str, parts: Mapping[str, tuple[str, str]]) -> Form:
    """Make a form of a main drawing and of parts, each with its keys and its drawing."""
    header = "parts:\n" + "".join(f"  {name}: {{{keys}}}\n" for name, (keys, _) in parts.items())
    box = 'width="400mm" height="400mm" viewBox="-200 -200 400 400"'
    blocks = "".join(block(name, drawing, box) for name, (_, drawing) in parts.items())
    studio = content(root, record(main, box, "{left: slate}", header) + blocks)
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    measured = measure(product, sized, making)
    made = make_piece(product, product.keys.glass["plain"], measured, studio.materials, making)
    return Form(studio, measured, made, mesh_of(measured))


def mesh_of(measured: Measured) -> trimesh.Trimesh:
    """The placed faces of convex outlines as triangles, their corners merged."""
    corners: list[Points] = []
    triangles: list[tuple[int, int, int]] = []

    def number_of(corner: Points) -> int:
        for number, known in enumerate(corners):
            if np.linalg.norm(known - corner) <= SNAP_MM:
                return number
        corners.append(corner)
        return len(corners) - 1

    for flat in measured.flats:
        outline = shapely.union_all([piece.face for piece in flat.pattern.pieces]).exterior.simplify(0.01)
        for place in flat.places:
            numbers = [number_of(corner) for corner in place.points(np.array(outline.coords)[:-1])]
            triangles += [(numbers[0], numbers[at], numbers[at + 1]) for at in range(1, len(numbers) - 1)]
    return outwards(np.array(corners), triangles)


def outwards(corners: Points, triangles: list[tuple[int, int, int]]) -> trimesh.Trimesh:
    """A mesh of a convex form, every triangle's corners in the order that turns its normal outwards."""
    middle = corners.mean(axis=0)
    turned = []
    for first, second, third in triangles:
        normal = np.cross(corners[second] - corners[first], corners[third] - corners[first])
        out = float(normal @ (corners[first] - middle)) > 0
        turned.append((first, second, third) if out else (first, third, second))
    return trimesh.Trimesh(corners, np.array(turned), process=False)


def edge_lengths(mesh: trimesh.Trimesh) -> tuple[float, float, list[float]]:
    """The length of edges between two faces that are not flat, of edges of one face, and the angles at the first."""
    bent = mesh.face_adjacency_angles > 0.01
    ends = mesh.vertices[mesh.face_adjacency_edges[bent]]
    seams = float(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1).sum())
    edges, count = np.unique(mesh.edges_sorted, axis=0, return_counts=True)
    rims = mesh.vertices[edges[count == 1]]
    angles = 180 - np.degrees(mesh.face_adjacency_angles[bent])
    return seams, float(np.linalg.norm(rims[:, 1] - rims[:, 0], axis=1).sum()), sorted(angles.tolist())


def outline(points: Points) -> str:
    """A polygon of glass."""
    return f'<polygon points="{" ".join(f"{x:.6f},{y:.6f}" for x, y in points)}" data-glass="left"/>'


def rectangle(wide: float, high: float, top_for: str = "") -> str:
    """A wall that is joined on by its lower edge, with a join at its top for another part if one is named."""
    corners = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], dtype=float)
    top = join(0, 0, wide, 0, top_for) if top_for else ""
    return outline(corners) + join(0, high, wide, high) + top


def regular(corners: int) -> str:
    """A regular polygon with sides of ``SIDE``, its lowest side level."""
    radius = SIDE / 2 / math.sin(math.pi / corners)
    turns = np.radians(90 + 180 / corners + 360 / corners * np.arange(corners))
    return outline(radius * np.stack([np.cos(turns), np.sin(turns)], axis=1))


def facet(corners: int) -> str:
    """A regular polygon that is joined on by its lowest side."""
    low = SIDE / 2 / math.tan(math.pi / corners)
    return regular(corners) + join(-SIDE / 2, low, SIDE / 2, low)


def around(angle: float, on: str = "") -> str:
    """The keys of a part that is set on every side."""
    return f"inside_angle: {angle:.4f}, around: true" + (f", sits_on: {on}" if on else "")


@dataclass(frozen=True)
class Known:
    """What is known of a closed form: its faces, its volume in mm3, its dihedral angles in degrees, its edges in mm."""

    main: str
    parts: dict[str, tuple[str, str]]
    faces: int
    volume: float
    angles: set[float]
    edges_mm: float


def regular_solid(corners: int, degrees: float, layers: tuple[str, ...]) -> dict[str, tuple[str, str]]:
    """Layers of facets, each round the one before."""
    names = ("", *layers)
    return {name: (around(degrees, names[number]), facet(corners)) for number, name in enumerate(layers)}


ROOT5 = math.sqrt(5)
SLOPE = math.degrees(math.atan(math.sqrt(2)))
CLOSED = {
    "box with a lid": Known(
        rectangle(80, 60).partition("<line")[0],
        {
            "long": ("inside_angle: 90, around: true", rectangle(80, 50, "lid")),
            "short": ("inside_angle: 90, around: true", rectangle(60, 50)),
            "lid": ("inside_angle: 90, sits_on: long", rectangle(80, 60)),
        },
        6,
        80 * 60 * 50,
        {90.0},
        4 * (80 + 60 + 50),
    ),
    "box to the back": Known(
        rectangle(80, 60).partition("<line")[0],
        {
            "long": ("inside_angle: -90, around: true", rectangle(80, 50, "lid")),
            "short": ("inside_angle: -90, around: true", rectangle(60, 50)),
            "lid": ("inside_angle: 90, sits_on: long", rectangle(80, 60)),
        },
        6,
        80 * 60 * 50,
        {90.0},
        4 * (80 + 60 + 50),
    ),
    "pyramid": Known(
        regular(4), {"side": (around(SLOPE), facet(3))}, 5, SIDE**3 / (3 * math.sqrt(2)), {SLOPE, 2 * SLOPE}, 8 * SIDE
    ),
    "tetrahedron": Known(
        regular(3), regular_solid(3, 70.5288, ("side",)), 4, SIDE**3 / (6 * math.sqrt(2)), {70.5288}, 6 * SIDE
    ),
    "cube": Known(regular(4), regular_solid(4, 90, ("wall", "top")), 6, SIDE**3, {90.0}, 12 * SIDE),
    "octahedron": Known(
        regular(3),
        regular_solid(3, 109.4712, ("low", "high", "top")),
        8,
        SIDE**3 * math.sqrt(2) / 3,
        {109.4712},
        12 * SIDE,
    ),
    "dodecahedron": Known(
        regular(5),
        regular_solid(5, 116.5651, ("low", "high", "top")),
        12,
        (15 + 7 * ROOT5) * SIDE**3 / 4,
        {116.5651},
        30 * SIDE,
    ),
    "icosahedron": Known(
        regular(3),
        regular_solid(3, 138.1897, ("first", "second", "third", "fourth", "fifth")),
        20,
        5 * (3 + ROOT5) * SIDE**3 / 12,
        {138.1897},
        30 * SIDE,
    ),
}


@pytest.mark.parametrize("name", CLOSED)
def test_closed_forms(tmp_path: Path, name: str) -> None:
    """A form that closes is watertight; its seams are its edges, each once, at its dihedral angles; no rim is left."""
    known = CLOSED[name]
    found = form(tmp_path, known.main, known.parts)
    assert sum(flat.copies for flat in found.measured.flats) == known.faces
    assert found.mesh.is_watertight
    assert abs(found.mesh.volume) == pytest.approx(known.volume, rel=SAME)
    seams, rims, angles = edge_lengths(found.mesh)
    assert seams == pytest.approx(known.edges_mm, rel=SAME)
    assert found.seam_mm == pytest.approx(seams, rel=SAME)
    assert found.made.seam_mm == pytest.approx(seams, rel=SAME)
    assert rims == 0
    assert found.made.rim_mm == pytest.approx(0, abs=0.5)
    inside = [min(corner.sectors) for corner in found.measured.corners]
    for degrees in (*inside, *angles):
        assert min(abs(degrees - one) for one in known.angles) < 0.1
    assert all(len(corner.sectors) == 2 for corner in found.measured.corners)
    assert not found.codes


# Degrees between neighbouring faces, as the table prints them; its last figure is rounded to about 0.005.
TABULATED = {
    "tetrahedron": 70.533,
    "cube": 90.0,
    "octahedron": 109.467,
    "dodecahedron": 116.565,
    "icosahedron": 138.190,
}


@pytest.mark.parametrize("name", TABULATED)
def test_regular_solids_have_the_angles_of_a_table(tmp_path: Path, name: str) -> None:
    """Set at the angle of a table of regular polyhedra, each solid closes, and so does every seam of it measure."""
    degrees, known = TABULATED[name], CLOSED[name]
    exact = next(iter(known.angles))
    parts = {
        part: (keys.replace(f"{exact:.4f}", f"{degrees}"), drawing) for part, (keys, drawing) in known.parts.items()
    }
    found = form(tmp_path, known.main, parts)
    assert found.mesh.is_watertight
    assert found.seam_mm == pytest.approx(known.edges_mm, rel=SAME)
    inside = [min(corner.sectors) for corner in found.measured.corners]
    assert inside == pytest.approx([degrees] * len(inside), abs=0.03)


@pytest.mark.parametrize("name", CLOSED)
def test_closed_forms_weigh_what_their_mesh_does(tmp_path: Path, name: str) -> None:
    """Glass by the mesh's area, and glass, foil and corners as solids: mass and centre agree."""
    check_mass(form(tmp_path, CLOSED[name].main, CLOSED[name].parts))


def check_mass(found: Form) -> None:
    """Hold the mass and the centre of a form's glass to its mesh, and of all of it to solids swept along its edges."""
    product = found.studio.products[0]
    body = weigh_piece(found.made, product, found.studio.materials, found.studio.studio.making)
    extent = float(np.ptp(found.mesh.vertices, axis=0).max())
    glass = Body(tuple(part for part in body.parts if part.name == "glass"))
    sheet = found.studio.materials.rows["slate"]
    assert glass.mass_g == pytest.approx(
        found.mesh.area * float(sheet.thickness_mm or 0) * sheet.density / 1000, rel=SAME
    )
    assert (*glass.centre, glass.forward) == pytest.approx(found.mesh.centroid, abs=SAME * extent)
    whole = Body(tuple(part for part in body.parts if part.name in ("glass", "foil", "seam", "rim")))
    bodies = solids(found.studio, found.made, dict(product.keys.glass["plain"].pieces))
    masses = np.array([mass for _, mass, _ in bodies])
    assert whole.mass_g == pytest.approx(masses.sum(), rel=SAME)
    middle = np.average([centre for _, _, centre in bodies], axis=0, weights=masses)
    assert (*whole.centre, whole.forward) == pytest.approx(middle, abs=SAME * extent)


def lantern(walls: int = 4) -> tuple[str, dict[str, tuple[str, str]]]:
    """An open lantern: walls of 60 x 90 mm round a regular floor."""
    return regular(walls), {"wall": ("inside_angle: 90, around: true", rectangle(60, 90))}


@pytest.mark.parametrize("walls", [3, 4, 6, 8])
def test_lantern_with_a_floor(tmp_path: Path, walls: int) -> None:
    """One record of a wall gives all; the upright edges are seams, the top is rim, and a top would close it."""
    found = form(tmp_path, *lantern(walls))
    seams, rims, angles = edge_lengths(found.mesh)
    assert sum(flat.copies for flat in found.measured.flats) == walls + 1
    assert seams == pytest.approx(walls * (60 + 90))
    assert found.made.seam_mm == pytest.approx(seams, rel=SAME)
    assert found.made.rim_mm == pytest.approx(rims, rel=SAME)
    assert rims == pytest.approx(walls * 60)
    upright = [min(corner.sectors) for corner in found.measured.corners if abs(np.ptp(corner.points[:, 2])) > 1]
    # The inside angle of a regular polygon is 180 less 360 / n.
    assert upright == pytest.approx([180 - 360 / walls] * walls, abs=0.01)
    assert any(abs(angle - (180 - 360 / walls)) < 0.01 for angle in angles)
    assert not found.mesh.is_watertight
    corners = np.asarray(found.mesh.vertices)
    top = np.flatnonzero(corners[:, 2] > 89)
    assert len(top) == walls
    top = top[np.argsort(np.arctan2(*(corners[top] - corners[top].mean(axis=0)).T[:2]))]
    cap = [(int(top[0]), int(top[at]), int(top[at + 1])) for at in range(1, walls - 1)]
    closed = outwards(corners, [*map(tuple, found.mesh.faces.tolist()), *cap])
    assert closed.is_watertight
    # A prism: the area of a regular polygon, n a^2 / (4 tan(180 / n)), times its height.
    assert closed.volume == pytest.approx(walls * SIDE**2 / (4 * math.tan(math.pi / walls)) * 90, rel=SAME)
    assert not found.codes
    check_mass(found)


def test_lantern_without_a_floor(tmp_path: Path) -> None:
    """Four walls that hold each other: a front, two sides to the back, and a back that stands on both, once."""
    front = outline(np.array([(0, 0), (60, 0), (60, 90), (0, 90)], dtype=float))
    joins = join(0, 0, 0, 90, "side") + join(60, 0, 60, 90, "side")
    side = front + join(0, 0, 0, 90) + join(60, 0, 60, 90, "back")
    back = front + join(0, 0, 0, 90)
    found = form(
        tmp_path,
        front + joins,
        {"side": ("inside_angle: -90", side), "back": ("inside_angle: 90, sits_on: side", back)},
    )
    assert [flat.copies for flat in found.measured.flats] == [1, 2, 1]
    seams, rims, angles = edge_lengths(found.mesh)
    assert found.made.seam_mm == pytest.approx(seams) == pytest.approx(4 * 90)
    assert found.made.rim_mm == pytest.approx(rims) == pytest.approx(8 * 60)
    assert angles == pytest.approx([90.0] * 4)
    assert not found.codes
    check_mass(found)


def test_edges_that_meet_in_part(tmp_path: Path) -> None:
    """A low wall beside a high one: what they have in common is seam, the rest of the high one's edge is rim."""
    floor = rectangle(80, 60).partition("<line")[0]
    parts = {
        "long": ("inside_angle: 90, around: true", rectangle(80, 50)),
        "short": ("inside_angle: 90, around: true", rectangle(60, 30)),
    }
    found = form(tmp_path, floor, parts)
    assert found.made.seam_mm == pytest.approx(2 * (80 + 60) + 4 * 30)
    assert found.made.rim_mm == pytest.approx(2 * (80 + 60) + 4 * 20)
    assert not found.codes


@pytest.mark.parametrize(("off_mm", "meets"), [(0.1, True), (0.5, False), (4.0, False)])
def test_a_box_that_does_not_close(tmp_path: Path, off_mm: float, meets: bool) -> None:
    """Walls that are too narrow by more than is snapped leave a gap, which is told with its width and place."""
    wall = outline(np.array([(off_mm, 0), (60 - off_mm, 0), (60, 90), (0, 90)], dtype=float)) + join(0, 90, 60, 90)
    found = form(tmp_path, regular(4), {"wall": ("inside_angle: 90, around: true", wall)})
    assert (found.made.seam_mm == pytest.approx(4 * (60 + 90), rel=SAME)) == meets
    assert found.codes == ([] if meets else ["G10"])
    for finding in found.measured.findings if not meets else ():
        apart = dict(finding.text.values)["apart"]
        assert isinstance(apart, Quantity)
        assert float(apart.amount) == pytest.approx(off_mm * math.sqrt(2), abs=0.06)
        assert str(finding.place).startswith("content/products/pane/product.md:")


def test_parts_that_pass_through_each_other(tmp_path: Path) -> None:
    """Walls that lean in too far pass through each other, which is told."""
    found = form(tmp_path, regular(4), {"wall": ("inside_angle: 60, around: true", rectangle(60, 90))})
    assert "G11" in found.codes
    twice = form(
        tmp_path / "twice", regular(4) + join(30, -30, 30, 30), {"wall": ("set_at: [90, -270]", rectangle(60, 90))}
    )
    assert twice.codes == ["G11"]


def test_asymmetrical_walls_stand_alike(tmp_path: Path) -> None:
    """Each wall is seen from outside as it is drawn: a high left edge meets the low right edge of its neighbour."""
    wall = outline(np.array([(0, 0), (60, 40), (60, 90), (0, 90)], dtype=float)) + join(0, 90, 60, 90)
    found = form(tmp_path, regular(4), {"wall": ("inside_angle: 90, around: true", wall)})
    assert found.made.seam_mm == pytest.approx(4 * (60 + 50))
    floor, walls = found.measured.flats
    middle = np.array([*floor.pattern.pieces[0].face.centroid.coords[0], 0.0])
    for place in walls.places:
        centre = place.points(np.array(walls.pattern.pieces[0].face.centroid.coords))[0] - middle
        # Its drawn side faces away from the middle of the floor, and it stands up to the front.
        assert float(place.normal @ (centre * (1, 1, 0))) > 10
        assert centre[2] > 0
        # Its lower edge, by which it is joined, is the one at the floor.
        assert place.down[2] == pytest.approx(-1)
