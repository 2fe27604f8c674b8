"""Areas, lengths and centroids against closed forms, from the SVG text on, by both habits of drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest
from scipy.special import ellipe
from shapely import MultiPolygon

from tests.drawn import Contour, Drawn, Place, body, drawn, polygon, square

HABITS = ("outlines", "lines")
TOLERANCE_MM = 0.001


@dataclass(frozen=True, slots=True)
class Figure:
    """A plane figure with what is known of it. ``centroid`` is None where it is the origin."""

    name: str
    contour: Contour
    area: float
    perimeter: float
    centroid: Place = (0.0, 0.0)


def regular(corners: int, radius: float) -> Contour:
    """A regular polygon about the origin."""
    turns = [2 * math.pi * corner / corners for corner in range(corners)]
    return polygon([(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns])


def ellipse(a: float, b: float) -> Contour:
    """An ellipse about the origin, in two arcs."""
    return Contour(f"{a},0", (f"A{a} {b} 0 0 1 {-a},0", f"A{a} {b} 0 0 1 {a},0"))


HALF_SEGMENT = 41.2936 * math.sqrt(0.5)
FIGURES = (
    # Regular n-gon with R = 100: area n/2 R^2 sin(2 pi/n), perimeter 2 n R sin(pi/n). Status C.
    Figure("triangle", regular(3, 100), 12990.381, 519.615),
    Figure("square", regular(4, 100), 20000, 565.685),
    Figure("pentagon", regular(5, 100), 23776.413, 587.785),
    Figure("hexagon", regular(6, 100), 25980.762, 600),
    Figure("octagon", regular(8, 100), 28284.271, 612.293),
    Figure("dodecagon", regular(12, 100), 30000, 621.166),
    # Circle with R = 50. Status C.
    Figure("circle", ellipse(50, 50), math.pi * 2500, math.pi * 100),
    # Ellipse perimeter 4 a E(m): DLMF 19.30(i), formula M, digits C (and once more by scipy's integral, below).
    Figure("ellipse 50 x 30", ellipse(50, 30), math.pi * 1500, 255.269988634),
    Figure("ellipse 60 x 40", ellipse(60, 40), math.pi * 2400, 317.308791786),
    # Circular segment, R = 50, 90 degrees: R^2/2 (t - sin t), centroid 4R sin^3(t/2)/3(t - sin t). Status C.
    Figure(
        "segment",
        Contour("50,0", ("A50 50 0 0 1 0,50", "L50,0")),
        713.4954,
        70.7107 + 78.5398,
        (HALF_SEGMENT, HALF_SEGMENT),
    ),
    # Half disc, r = 50: centroid 4r/3pi from the flat edge, tables of mechanics (M), digits C.
    Figure(
        "half disc",
        Contour("-50,0", ("A50 50 0 0 0 50,0", "L-50,0")),
        math.pi * 1250,
        math.pi * 50 + 100,
        (0.0, 21.2207),
    ),
    # Lens of two circles r = 50 through each other's centres: MathWorld, circle-circle intersection, S2;
    # digits C.
    Figure(
        "vesica",
        Contour("0,-43.30127018922193", ("A50 50 0 0 1 0,43.30127018922193", "A50 50 0 0 1 0,-43.30127018922193")),
        3070.9242,
        209.4395,
    ),
    # L-shape worked by hand, its centroid on its own border line x = 20. Status C.
    Figure(
        "L-shape",
        polygon([(0, 0), (60, 0), (60, 20), (20, 20), (20, 80), (0, 80)]),
        2400,
        280,
        (20, 30),
    ),
)


@pytest.mark.parametrize("habit", HABITS)
@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.name)
def test_figures(figure: Figure, habit: str) -> None:
    """Area, border and centroid of a figure are those of its closed form, by whichever habit it is drawn."""
    found = drawn(body([figure.contour], habit), tolerance=TOLERANCE_MM)
    face = found.pattern.pieces[0].face
    assert len(found.pattern.pieces) == 1
    assert found.area == pytest.approx(figure.area, rel=1e-4)
    assert found.edges.rim_mm == pytest.approx(figure.perimeter, rel=1e-4)
    assert (face.centroid.x, face.centroid.y) == pytest.approx(figure.centroid, abs=2e-3)
    assert found.edges.seam_mm == 0
    assert found.euler == 2


@pytest.mark.parametrize(
    ("m", "value"), [(0.25, 1.467462209339427), (0.5, 1.350643881047676), (0.75, 1.211056027568459)]
)
def test_ellipse_integral(m: float, value: float) -> None:
    """An ellipse's border is 4 a E(m), with E as Abramowitz & Stegun print it (Table 17.1, S2)."""
    a, b = 100.0, 100 * math.sqrt(1 - m)
    assert ellipe(m) == pytest.approx(value, rel=1e-12)
    assert 200 * ellipe(1 - 0.36) == pytest.approx(255.269988634, abs=5e-10)
    assert 240 * ellipe(1 - 4 / 9) == pytest.approx(317.308791786, abs=5e-10)
    rim = drawn(f'<ellipse rx="{a}" ry="{b}"/>', tolerance=TOLERANCE_MM).edges.rim_mm
    assert 4 * a * value * (1 - 1e-4) < rim < 4 * a * value


@pytest.mark.parametrize(
    ("path", "area", "centroid"),
    [
        # The region between 1 - x^2 and x - 1: area 9/2, centroid (-1/2, -3/5).
        ("M-2,-3 Q-0.5,3 1,0 Z", 4.5, (-0.5, -0.6)),
        # The region under 4 - x^2: area 32/3, centroid (0, 8/5).
        ("M-2,0 Q0,8 2,0 Z", 32 / 3, (0.0, 1.6)),
    ],
)
def test_parabolas(path: str, area: float, centroid: Place) -> None:
    """A parabola is a quadratic curve: areas and centroids are OpenStax Calculus vol. 2's, section 2.6.

    S.
    """
    found = drawn(f'<path d="{path}"/>', scale=10, tolerance=TOLERANCE_MM)
    middle = found.pattern.pieces[0].face.centroid
    assert found.area / 100 == pytest.approx(area, rel=1e-4)
    assert (middle.x / 10, middle.y / 10) == pytest.approx(centroid, abs=1e-3)


# Squares of Z. Moron's squared rectangle 33 x 32 (1925): its sides row by row, (18, 15) (7, 8) (14, 4) (10, 1) (9), are
# those of published tables (S2); the places follow from them (C). Side, x, y.
RECTANGLE = (
    (18, 0, 0),
    (15, 18, 0),
    (7, 18, 15),
    (8, 25, 15),
    (14, 0, 18),
    (4, 14, 18),
    (10, 14, 22),
    (1, 24, 22),
    (9, 24, 23),
)
# A. J. W. Duijvestijn, Simple perfect squared square of lowest order, J. Combin. Theory B 25 (1978), 240-243: side 112,
# row by row as the code in the On-Line Encyclopedia of Integer Sequences, A014530, lists the squares (S2).
SQUARE = (50, 35, 27, 8, 19, 15, 17, 11, 6, 24, 29, 25, 9, 2, 7, 18, 16, 42, 4, 37, 33)
TANGRAM: dict[str, list[Place]] = {
    "large left": [(0, 0), (2, 2), (0, 4)],
    "large top": [(0, 0), (4, 0), (2, 2)],
    "middle": [(4, 4), (2, 4), (4, 2)],
    "square": [(2, 2), (3, 1), (4, 2), (3, 3)],
    "small right": [(4, 0), (4, 2), (3, 1)],
    "small middle": [(2, 2), (3, 3), (1, 3)],
    "rhomboid": [(0, 4), (1, 3), (3, 3), (2, 4)],
}
TANGRAM_AREAS = [1, 1, 2, 2, 2, 4, 4]


def stacked(sides: tuple[int, ...], width: int) -> list[tuple[int, int, int]]:
    """Squares as side, x, y, each set at the highest free place, the leftmost of those."""
    depth = [0] * width
    placed = []
    for side in sides:
        x = depth.index(min(depth))
        placed.append((side, x, depth[x]))
        depth[x : x + side] = [depth[x] + side] * side
    return placed


def arrangement(found: Drawn) -> tuple[int, int, int]:
    """Vertices, edges and faces of a straight-lined drawing, the outer face counted."""
    edges = len(found.edges.seams) + len(found.edges.rims)
    faces = len(found.pattern.pieces) + 1
    return found.euler + edges - faces, edges, faces


@pytest.mark.parametrize("habit", HABITS)
def test_tangram(habit: str) -> None:
    """A tangram of side 4 has 2 + 10 sqrt 2 of seam, and borders of 20 + 20 sqrt 2 to foil.

    Status C, two ways: seam by seam (the two diagonals 6 sqrt 2, the middle triangle's long side 2 sqrt 2,
    two more of sqrt 2 and one of 2), and as half of what the seven pieces' borders have over the outline.
    """
    found = drawn(body([polygon(points) for points in TANGRAM.values()], habit), scale=10)
    assert sorted(found.areas.values()) == pytest.approx([100 * area for area in TANGRAM_AREAS])
    assert found.edges.seam_mm == pytest.approx(20 + 100 * math.sqrt(2))
    assert found.edges.rim_mm == pytest.approx(160)
    assert found.borders == pytest.approx(200 + 200 * math.sqrt(2))
    # Euler, V - E + F = 2, with the T-joints as vertices: 10 - 16 + 8. Status C.
    assert arrangement(found) == (10, 16, 8)


@pytest.mark.parametrize("habit", HABITS)
def test_squared_rectangle(habit: str) -> None:
    """The squared rectangle 33 x 32, full of T-joints, has 107 of seam and 344 of borders.

    Borders are four times the sum of the sides, 86; seam is half of what they have over the outline's 130 (C).
    """
    found = drawn(body([square(x, y, side) for side, x, y in RECTANGLE], habit), scale=5)
    middle = MultiPolygon([piece.face for piece in found.pattern.pieces]).centroid
    assert sorted(found.areas.values()) == pytest.approx(sorted(25 * side**2 for side, _, _ in RECTANGLE))
    assert found.edges.seam_mm == pytest.approx(5 * 107)
    assert found.borders == pytest.approx(5 * 344)
    assert (middle.x, middle.y) == pytest.approx((5 * 16.5, 5 * 16))
    # Euler: 20 - 28 + 10. Status C.
    assert arrangement(found) == (20, 28, 10)


@pytest.mark.parametrize("habit", HABITS)
def test_squared_square(habit: str) -> None:
    """The squared square of side 112 has 21 pieces, no two alike, and 644 of seam: (4 x 434 - 448) / 2 (C)."""
    found = drawn(body([square(x, y, side) for side, x, y in stacked(SQUARE, 112)], habit), scale=2)
    assert sorted(found.areas.values()) == pytest.approx(sorted(4 * side**2 for side in SQUARE))
    assert found.area == pytest.approx(4 * 12544)
    assert found.edges.rim_mm == pytest.approx(2 * 448)
    assert found.edges.seam_mm == pytest.approx(2 * 644)
    assert found.euler == 2


@pytest.mark.parametrize("habit", HABITS)
@pytest.mark.parametrize("corners", [3, 5, 6, 8, 12])
def test_wheel(corners: int, habit: str) -> None:
    """A regular polygon cut into wedges has a seam for each spoke, and V - E + F = 2 (sides 2 R sin(pi/n), C)."""
    rim = [(100 * math.cos(turn), 100 * math.sin(turn)) for turn in (2 * math.pi * k / corners for k in range(corners))]
    wedges = [polygon([(0.0, 0.0), rim[k], rim[(k + 1) % corners]]) for k in range(corners)]
    found = drawn(body(wedges, habit))
    assert found.edges.seam_mm == pytest.approx(100 * corners, rel=1e-6)
    assert found.edges.rim_mm == pytest.approx(200 * corners * math.sin(math.pi / corners), rel=1e-6)
    assert arrangement(found) == (corners + 1, 2 * corners, corners + 1)
    assert len(found.edges.joints) == corners + 1
    assert len(found.edges.seam_ends) == corners
