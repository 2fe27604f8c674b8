"""Seams and rims against a map whose polygons share arcs.

Source: world atlas in TopoJSON (npm `world-atlas` 2.0.2, from Natural Earth, public domain): an arc that two polygons
use is a seam, one that a single polygon uses is rim. Both lengths are exact, by another road than plane geometry.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from catalog_builder.pattern.faces import Outline, enclosed_voids, faces_of
from catalog_builder.pattern.line_ends import Line
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.pattern.svg.mark import Mark
from tests.drawn import euler

DATA = Path(__file__).parent / "data"
# Russia, Fiji and Antarctica are cut at 180 degrees, so that their rings touch themselves.
CUT_OPEN = {"643", "242", "010"}
# Countries of mainland Africa by their ISO 3166-1 numeric codes: many neighbours, T-joints, two enclosed countries.
AFRICA = {
    "012",
    "024",
    "072",
    "108",
    "120",
    "140",
    "148",
    "178",
    "180",
    "204",
    "226",
    "231",
    "232",
    "262",
    "266",
    "270",
    "288",
    "324",
    "384",
    "404",
    "426",
    "430",
    "434",
    "454",
    "466",
    "478",
    "504",
    "508",
    "516",
    "562",
    "566",
    "624",
    "646",
    "686",
    "694",
    "706",
    "710",
    "716",
    "728",
    "729",
    "732",
    "748",
    "768",
    "788",
    "800",
    "818",
    "834",
    "854",
    "894",
}


@dataclass(frozen=True, slots=True)
class Atlas:
    """Polygons of a map with the true lengths of their common and outer borders."""

    polygons: list[Polygon]
    arcs: list[Points]
    seam: float
    rim: float


@cache
def atlas(name: str, only: frozenset[str] | None, scale: float = 1.0) -> Atlas:
    """Read a map as polygons, each by the arcs of its rings; ``only`` names countries by their codes."""
    data = json.loads((DATA / f"{name}.json").read_text())
    size, shift = np.array(data["transform"]["scale"]), np.array(data["transform"]["translate"])
    arcs = [(np.cumsum(np.array(arc), axis=0) * size + shift) * scale * (1, -1) for arc in data["arcs"]]
    lengths = [float(np.hypot(*np.diff(arc, axis=0).T).sum()) for arc in arcs]
    uses: Counter[int] = Counter()
    polygons = []
    for country in data["objects"]["countries"]["geometries"]:
        if country.get("id") in CUT_OPEN or (only is not None and country.get("id") not in only):
            continue
        for rings in [country["arcs"]] if country["type"] == "Polygon" else country["arcs"]:
            for ring in rings:
                uses.update(index if index >= 0 else ~index for index in ring)
            shell, *holes = [_ring(ring, arcs) for ring in rings]
            polygons.append(Polygon(shell, holes))
    assert set(uses.values()) <= {1, 2}
    seam = sum(lengths[index] for index, count in uses.items() if count == 2)
    rim = sum(lengths[index] for index, count in uses.items() if count == 1)
    return Atlas(polygons, [arcs[index] for index in uses], seam, rim)


def _ring(indices: list[int], arcs: list[Points]) -> Points:
    parts = [arcs[index] if index >= 0 else arcs[~index][::-1] for index in indices]
    return np.concatenate([parts[0], *(part[1:] for part in parts[1:])])


def outlines(polygons: list[Polygon]) -> Iterator[Outline]:
    """Give polygons as a drawing's outlines."""
    for number, polygon in enumerate(polygons):
        yield Outline(polygon, Mark("outline", (), number + 1), mirrored=False)


@pytest.mark.parametrize("only", [None, frozenset(AFRICA)], ids=["world", "africa"])
def test_seams_and_rims_are_those_of_the_shared_arcs(only: frozenset[str] | None) -> None:
    """Without gaps, T-joints included, seams and rims agree with the shared arcs to 0.1 %."""
    truth = atlas("world_50m", only)
    faces, flaws = faces_of(list(outlines(truth.polygons)), [], snap=1e-4, gap=1e-4)
    edges = read_edges(faces)
    assert flaws == []
    assert edges.seam_mm == pytest.approx(truth.seam, rel=1e-3)
    assert edges.rim_mm == pytest.approx(truth.rim, rel=1e-3)


def test_enclosed_countries_leave_a_hole_that_they_fill() -> None:
    """Lesotho lies in South Africa: the outline inside another is a piece of its own with a seam all round."""
    truth = atlas("world_50m", frozenset({"710", "426"}))
    faces, flaws = faces_of(list(outlines(truth.polygons)), [], snap=1e-4, gap=1e-4)
    edges = read_edges(faces)
    (lesotho,) = atlas("world_50m", frozenset({"426"})).polygons
    assert flaws == []
    assert len(faces) == len(truth.polygons)
    assert edges.seam_mm == pytest.approx(lesotho.length, rel=1e-9)


@pytest.mark.parametrize("share", [0.002, 0.005, 0.01])
def test_seams_are_found_across_a_gap(share: float) -> None:
    """With every piece shrunk to leave a gap of up to 1 % of its size, seams agree to 1 %."""
    truth = atlas("world_110m", frozenset(AFRICA) - {"729"}, scale=10.0)
    gap = share * float(np.median([np.sqrt(polygon.area) for polygon in truth.polygons]))
    shrunk = shrink(truth.polygons, gap)
    faces, flaws = faces_of(list(outlines(shrunk)), [], snap=gap / 4, gap=gap * 1.05)
    assert flaws == []
    assert read_edges(faces).seam_mm == pytest.approx(truth.seam, rel=0.01)


@pytest.mark.parametrize("gap", [0.4, 0.8])
@pytest.mark.parametrize(("name", "scale"), [("world_110m", 8.0), ("world_50m", 10.0), ("world_50m", 20.0)])
def test_a_map_cut_with_a_foil_gap_has_the_seams_of_its_midlines(name: str, scale: float, gap: float) -> None:
    """Countries of mainland Africa, 0.5 to 1.5 m high, with a foil gap between them: seams within 1 % of the borders'.

    Where three borders meet, and at their corners, the gap is wider than the foil gap: no field is left there.
    """
    truth = atlas(name, frozenset(AFRICA) - {"729"}, scale)
    polygons = [polygon for polygon in truth.polygons if polygon.area > (6 * gap) ** 2]
    seams = read_edges(polygons)
    lines = shapely.buffer(seams.seam_lines(len(polygons)), gap / 2, join_style="mitre", quad_segs=4)
    cut = shapely.get_parts(shapely.difference(np.array(polygons, dtype=object), lines))
    faces, flaws = faces_of(list(outlines([part for part in cut if part.area > 9])), [], snap=0.3, gap=gap)
    assert flaws == []
    assert read_edges(faces).seam_mm == pytest.approx(seams.seam_mm, rel=0.01)
    voids = [void for void in enclosed_voids(faces) if void.area < 30 * gap**2]
    assert sum(void.area for void in voids) < 10


@pytest.mark.parametrize("share", [0.002, 0.005, 0.01])
def test_rims_are_found_across_a_gap_on_smooth_shapes(share: float) -> None:
    """On shapes without bays narrower than the gap, rims agree to 2 % and seams to 1 %."""
    cells = honeycomb(6, 5, 10.0)
    gap = share * 10.0
    # Counted by hand (C): 6 x 4 neighbours above each other and 5 x 9 side by side; every hexagon has 6 sides.
    neighbours = 6 * 4 + 5 * 9
    seam, rim = 10.0 * neighbours, 10.0 * (6 * 30 - 2 * neighbours)
    faces, flaws = faces_of(list(outlines(shrink(cells, gap))), [], snap=gap / 4, gap=gap * 1.05)
    edges = read_edges(faces)
    assert flaws == []
    assert edges.seam_mm == pytest.approx(seam, rel=0.01)
    assert edges.rim_mm == pytest.approx(rim, rel=0.02)


def test_faces_of_line_work_agree_in_number_and_area() -> None:
    """The arcs drawn as open lines enclose the same fields as the polygons do."""
    truth = atlas("world_50m", frozenset(AFRICA), scale=100.0)
    lines = [Line(arc, number + 1) for number, arc in enumerate(truth.arcs)]
    faces, flaws = faces_of([], lines, snap=1e-4, gap=1e-4)
    assert flaws == []
    assert len(faces) == len(truth.polygons)
    assert sorted(face.area for face in faces) == pytest.approx(sorted(one.area for one in truth.polygons), rel=1e-6)


def shrink(polygons: list[Polygon], gap: float) -> list[Polygon]:
    """Take half a gap off every edge, as a drawing with a foil gap has it."""
    shapes: NDArray[np.object_] = np.array(polygons, dtype=object)
    small = shapely.buffer(shapes, -gap / 2, join_style="mitre")
    parts = [max(shapely.get_parts(one), key=lambda part: part.area) for one in small if not one.is_empty]
    assert len(parts) == len(polygons)
    return parts


def honeycomb(columns: int, rows: int, side: float) -> list[Polygon]:
    """A regular tiling of hexagons that share their edges exactly."""
    angles = np.radians(np.arange(6) * 60)
    corners = np.stack([np.cos(angles), np.sin(angles)], axis=1) * side
    cells = []
    for column in range(columns):
        for row in range(rows):
            x = 1.5 * side * column
            y = np.sqrt(3) * side * (row + column % 2 / 2)
            cells.append(Polygon(np.round(corners + np.array([x, y]), 9)))
    return list(shapely.coverage_clean(cells))


@pytest.mark.parametrize(
    ("tiling", "columns", "rows"), [("squares", 7, 4), ("triangles", 6, 5), ("hexagons", 6, 5), ("hexagons", 3, 8)]
)
def test_regular_tilings(tiling: str, columns: int, rows: int) -> None:
    """The three regular tilings have as many seams as they have pairs of neighbours, counted by hand for a block."""
    if tiling == "hexagons":
        cells, neighbours, sides = (
            honeycomb(columns, rows, 10.0),
            columns * (rows - 1) + (columns - 1) * (2 * rows - 1),
            6,
        )
    elif tiling == "squares":
        cells = [shapely.box(10 * i, 10 * j, 10 * i + 10, 10 * j + 10) for i in range(columns) for j in range(rows)]
        neighbours, sides = columns * (rows - 1) + rows * (columns - 1), 4
    else:
        high = 5 * np.sqrt(3)
        cells = [
            Polygon([(x, y + (high if up else 0)), (x + 10, y + (high if up else 0)), (x + 5, y + (0 if up else high))])
            for j in range(rows)
            for i in range(columns)
            for x, y, up in [(5 * i, j * high, (i + j) % 2 == 0)]
        ]
        # In a row each triangle has the next one beside it; between rows, those that stand base to base.
        between = sum(1 for j in range(rows - 1) for i in range(columns) if (i + j) % 2 == 0)
        neighbours, sides = rows * (columns - 1) + between, 3
    faces, flaws = faces_of(list(outlines(cells)), [], snap=0.01, gap=0.01)
    edges = read_edges(faces)
    assert flaws == []
    assert edges.seam_mm == pytest.approx(10 * neighbours)
    assert edges.rim_mm == pytest.approx(10 * (sides * len(cells) - 2 * neighbours))
    assert euler(faces, edges) == 2
