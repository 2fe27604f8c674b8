"""From SVG text to quantities, against shapely's own work on ready-made arrays.

The figure is made of reading the XML and paths (about a fifth), fitting the outlines to each other, counting edges and
cutting the foil gap off. It cannot go under the floor, which holds the same operations of shapely without the reading.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from catalog_builder.pattern.cuts import read_cuts
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.records.reading.source import Source
from tests.benchmark.figure import Figure, in_turn, seconds

Shapes = NDArray[np.object_]
FITTING = Fitting(tolerance_mm=0.01, snap_mm=0.3, gap_mm=0.8)


def figures() -> Iterator[Figure]:
    """Measure a pattern of 40 pieces and about 4,000 vertices, and one of 3,000 pieces."""
    small, large = cells(8, 5, 28), cells(60, 50, 9)
    yield _figure("40 pieces, SVG text to quantities", small, "the same shapely calls, bare", bare_calls, 3.0, 9)
    yield _figure("3,000 pieces, SVG text to quantities", large, "one unary_union of the borders", bare_union, 10.0, 3)


def _figure(name: str, shapes: Shapes, floor: str, bare: Callable[[Shapes], Any], wanted: float, rounds: int) -> Figure:
    source = drawing(shapes)
    taken, least = in_turn(rounds, lambda: seconds(lambda: measured(source)), lambda: seconds(lambda: bare(shapes)))
    return Figure(name, taken * 1000, floor, least * 1000, "ms", wanted)


def measured(source: Source) -> float:
    """Go from SVG text to the glass charged, and give its area in mm2."""
    pattern = read_pieces(read_drawing(source), 1.0, FITTING, None)
    edges = read_edges([piece.face for piece in pattern.pieces])
    return sum(cut.charged_mm2(3.0) for cut in read_cuts(pattern.pieces, edges, 0.8))


def bare_calls(shapes: Shapes) -> Any:
    """The work that is shapely's own, on polygons that are ready."""
    shapely.is_valid(shapes)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = first < second
    shapely.touches(shapes[first[once]], shapes[second[once]])
    clean = shapely.coverage_clean(shapes, snapping_distance=0.01, gap_width=0.3)
    shapely.union_all(clean)
    strips = shapely.buffer(shapely.boundary(clean), 0.4, join_style="mitre", quad_segs=4)
    cut = shapely.difference(clean, strips)
    return shapely.area(cut), shapely.length(cut), shapely.centroid(cut), shapely.oriented_envelope(cut)


def bare_union(shapes: Shapes) -> Any:
    """Node all borders at once."""
    return shapely.unary_union(shapely.boundary(shapes))


def cells(columns: int, rows: int, points: int) -> Shapes:
    """Make a field of wavy cells; neighbours share their edges point by point, ``points`` to an edge."""
    chance = np.random.default_rng(7)
    nodes = np.stack(np.meshgrid(np.arange(columns + 1), np.arange(rows + 1), indexing="ij"), axis=-1) * 25.0
    nodes = nodes + chance.uniform(-2, 2, nodes.shape)

    def wavy(begin: Points, end: Points) -> Points:
        t = np.linspace(0, 1, points)[:, None]
        way = end - begin
        swing = sum(chance.uniform(-0.04, 0.04) * np.sin((k + 1) * np.pi * t) for k in range(3))
        return np.asarray(begin + way * t + np.array([-way[1], way[0]]) * swing)

    flat = [[wavy(nodes[i, j], nodes[i + 1, j]) for j in range(rows + 1)] for i in range(columns)]
    upright = [[wavy(nodes[i, j], nodes[i, j + 1]) for j in range(rows)] for i in range(columns + 1)]
    rings = [
        np.concatenate([flat[i][j][:-1], upright[i + 1][j][:-1], flat[i][j + 1][:0:-1], upright[i][j][::-1]])
        for i in range(columns)
        for j in range(rows)
    ]
    return np.array([Polygon(ring) for ring in rings], dtype=object)


def drawing(shapes: Shapes) -> Source:
    """Write polygons as a drawing of closed outlines."""
    paths = []
    for shape in shapes:
        points = shapely.get_coordinates(shape)[:-1].tolist()
        paths.append('<path d="M' + "L".join(f"{x:.4f} {y:.4f}" for x, y in points) + 'Z"/>')
    head = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000" data-glass="a">'
    )
    return Source("benchmark.svg", head + "".join(paths) + "</svg>")
