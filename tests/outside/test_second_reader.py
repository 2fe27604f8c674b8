"""The same paths read by svgelements, a general library, with its own transforms and viewports."""

from __future__ import annotations

from io import StringIO
from typing import Any

import numpy as np
import pytest
import svgelements
from shapely import Polygon

from catalog_builder.pattern.svg.viewport import MM_PER_PX
from tests.drawn import drawn, svg

PATHS = [
    "M10,10 H80 V60 H10 Z",
    "m10,10 h70 v50 h-70 z",
    "M10,10C40,-30 70,70 90,10L90,80L10,80Z",
    "M10 10c30-40 60 60 80 0v70h-80z",
    "M10,40 S30,0 50,40 90,80 90,40 L90,90 10,90 Z",
    "M10,40 Q30,0 50,40 T90,40 L90,90 10,90 Z",
    "M10,40 q20-40 40 0t40 0v50h-80z",
    "M30,30 A20 30 25 0 1 70,50 L50,90 Z",
    "M30,30 A20 30 25 1 1 70,50 L50,90 Z",
    "M30,30 A20 30 25 1 0 70,50 L50,5 Z",
    "M30,30 a5 5 0 01 40 0 l-10 40 z",
    "M1e1,1e1 L.9e2,.5e2 -0,+90Z",
    "M20 20 40 10 60 20 60 60 20 60z",
    "M50,10a40,40 0 1,0 .1,0z",
]
TRANSFORMS = [
    "",
    "rotate(33)",
    "rotate(-120 50 50) scale(.7)",
    "matrix(0.8 0.3 -0.4 1.1 7 -9)",
    "skewX(20) translate(5,6)",
    "scale(-1 1) skewY(12)",
]
VIEWS = [
    'width="100mm" height="100mm" viewBox="0 0 100 100"',
    'width="3in" height="150mm" viewBox="-20 -10 120 140"',
    'width="400" height="200" viewBox="0 0 100 100" preserveAspectRatio="xMaxYMin meet"',
    'width="12cm" height="60mm" viewBox="0 0 100 100" preserveAspectRatio="none"',
]


def second_reading(marks: str, size: str) -> Polygon:
    """The polygon in mm that svgelements makes of a drawing's one path, 2000 points to each curve."""
    # It bends sheared arcs wrongly when it works a transform into them, so the matrix is applied to points.
    document: Any = svgelements.SVG.parse(StringIO(svg(marks, size).text), ppi=96.0, reify=False)
    path = next(element for element in document.elements() if isinstance(element, svgelements.Path))
    points: list[tuple[float, float]] = []
    for segment in path:
        if isinstance(segment, svgelements.Move):
            continue
        steps = 2 if isinstance(segment, svgelements.Line | svgelements.Close) else 2001
        points.extend(
            (point.x, point.y) for point in (segment.point(t) * path.transform for t in np.linspace(0, 1, steps))
        )
    return Polygon(np.array(points) * MM_PER_PX)


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("transform", TRANSFORMS)
def test_paths(path: str, transform: str) -> None:
    """Two readers of SVG that know nothing of each other see the same piece, wherever a transform puts it."""
    marks = f'<g transform="{transform}"><path d="{path}"/></g>'
    found = drawn(marks, VIEWS[0], tolerance=0.001).pattern.pieces[0].face
    other = second_reading(marks, VIEWS[0])
    assert found.area == pytest.approx(other.area, rel=2e-4)
    assert found.length == pytest.approx(other.length, rel=1e-4)
    assert found.hausdorff_distance(other) < 0.003


@pytest.mark.parametrize("view", VIEWS)
def test_views(view: str) -> None:
    """Two readers of SVG put a drawing's viewBox at the same place and size."""
    marks = f'<path transform="rotate(15)" d="{PATHS[7]}"/>'
    found = drawn(marks, view, tolerance=0.001).pattern.pieces[0].face
    assert found.hausdorff_distance(second_reading(marks, view)) < 0.003
