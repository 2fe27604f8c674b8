"""The fill rule of a path of several closed runs: which runs are pieces, and which are holes in them."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely import Polygon

from catalog_builder.pattern.crossings import overlapping_pairs
from catalog_builder.pattern.faces import inner_point, lies_inside
from catalog_builder.pattern.svg.curve import Points


def polygons_of(
    rings: Sequence[Points], even_odd: bool, snap: float
) -> tuple[list[Polygon], tuple[float, float] | None]:
    """Make polygons of an element's closed runs, in mm: one of each run that is no hole, less the holes in it.

    A run inside another is a hole where the fill rule leaves its inside empty. Drawing programs combine outlines that
    lie side by side into one path; united by the rule, they would lose the seams between them.

    Gives no polygons, and the place, where a run crosses itself or encloses nothing.

    Source: SVG 2, chapter 13: nonzero adds up signed crossings, evenodd counts them.
    """
    for ring in rings:
        if len(ring) < 4:
            return [], (float(ring[0][0]), float(ring[0][1]))
        if not shapely.linearrings(ring).is_simple:
            return [], _self_crossing(Polygon(ring))
    shapes = [Polygon(ring) for ring in rings]
    pairs = overlapping_pairs(shapes) if len(shapes) > 1 else None
    if not pairs:
        return shapes, None
    turns = [1 if even_odd or shape.exterior.is_ccw else -1 for shape in shapes]
    around: dict[int, list[int]] = {index: [] for index in range(len(shapes))}
    for pair in pairs:
        small, large = sorted(pair, key=lambda index: shapes[index].area)
        if shapes[small].area < shapes[large].area and lies_inside(shapes[small], shapes[large], snap):
            around[small].append(large)
    crossed = {index: turns[index] + sum(turns[outer] for outer in outers) for index, outers in around.items()}
    filled = [index for index, count in crossed.items() if (count % 2 if even_odd else count)]
    holes: dict[int, list[Polygon]] = {index: [] for index in filled}
    for index in around.keys() - holes.keys():
        outers = [outer for outer in around[index] if outer in holes]
        if outers:
            holes[min(outers, key=lambda outer: shapes[outer].area)].append(shapes[index])
    cut = [shapes[index].difference(shapely.union_all(inner)) for index, inner in holes.items()]
    return [part for shape in cut for part in shapely.get_parts(shape) if isinstance(part, Polygon)], None


def _self_crossing(polygon: Polygon) -> tuple[float, float]:
    text = shapely.is_valid_reason(polygon)
    if "[" in text:
        x, y = text.partition("[")[2].rstrip("]").split()
        return float(x), float(y)
    return inner_point(polygon.boundary)
