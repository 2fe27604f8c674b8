"""The relief of glass bought ready: what lies to the light is lighter, and no mark leaves the piece."""

from __future__ import annotations

import re
from typing import Any

import pytest
import shapely
from shapely import Point, Polygon, box
from svgelements import Path as SvgPath

from catalog_builder.publish.pictures.glass.relief import relief
from catalog_builder.records.material import Material
from tests.piece.test_ready_glass import material

BEVEL: dict[str, Any] = {"thickness_mm": 5, "section": "bevelled", "edge_mm": 2, "bevel_mm": 8}


def areas(marks: str) -> list[tuple[Polygon, str]]:
    """The filled areas of some marks and their colours, as svgelements, a general SVG library, reads them."""
    filled = []
    for path, colour in re.findall(r'<path d="([^"]+)" fill="(#\w+)"', marks):
        rings = [[(part.end.x, part.end.y) for part in SvgPath(ring)] for ring in SvgPath(path).as_subpaths()]
        area = Polygon(rings[0])
        for other in rings[1:]:
            area = area.symmetric_difference(Polygon(other))
        filled.append((area, colour))
    return filled


def test_flat_glass_has_none() -> None:
    """A slice of agate shows its colour alone."""
    assert relief(box(0, 0, 40, 60), material(thickness_mm=5)) == ""


@pytest.mark.parametrize("clockwise", [True, False])
def test_the_facets_of_a_box(clockwise: bool) -> None:
    """Four facets: light from the upper left makes those above and on the left light, the others dark."""
    face = shapely.orient_polygons(box(0, 0, 40, 60), exterior_cw=clockwise)
    facets = areas(relief(face, material(**BEVEL)))
    colours = {}
    for facet, colour in facets:
        x, y = facet.centroid.coords[0]
        side = ("left" if x < 8 else "right") if abs(y - 30) < 1 else ("above" if y < 8 else "below")
        colours[side] = colour
        # A trapezium of the bevel's width along its side.
        assert facet.area == pytest.approx(8 * (52 if side in ("left", "right") else 32), rel=0.01)
    assert {side for side, colour in colours.items() if colour == "#ffffff"} == {"left", "above"}
    assert set(colours) == {"left", "right", "above", "below"}


@pytest.mark.parametrize(
    "glass",
    [material(**BEVEL), material(thickness_mm=6, section="domed", edge_mm=2), material(**{**BEVEL, "bevel_mm": 40})],
    ids=["bevel", "dome", "bevel wider than the piece"],
)
@pytest.mark.parametrize(
    "face",
    [
        box(0, 0, 40, 60),
        Polygon([(0, 0), (80, 0), (10, 60)]),
        Point(20, 20).buffer(18),
        Polygon([(0, 0), (60, 0), (60, 60), (30, 20)]),
    ],
    ids=["box", "triangle", "circle", "with an inside corner"],
)
def test_no_mark_leaves_the_piece(face: Polygon, glass: Material) -> None:
    """Whatever its shape, light and shade stay on it."""
    marks = areas(relief(face, glass))
    assert marks
    for area, _ in marks:
        assert area.buffer(0).difference(face.buffer(0.1)).area < 0.05
