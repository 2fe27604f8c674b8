"""Faces of a drawing: closed outlines and the fields that lines cut out, fitted to each other without gap or overlap.

All lengths are mm at the finished size; positions in messages are given in the drawing's own units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Polygon

from catalog_builder.pattern.crossings import overlapping_pairs
from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.line_ends import GRID, Line, join_line_ends, loose_lines
from catalog_builder.pattern.svg.mark import Mark

# More than a maker mends at a time; each takes time to find.
MOST_FLAWS = 50


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline of the drawing or its mirror image, flattened, as a polygon in mm."""

    polygon: Polygon
    mark: Mark
    mirrored: bool

    @property
    def line(self) -> int:
        """The line of the file where it stands."""
        return self.mark.line


def faces_of(
    outlines: Sequence[Outline], lines: Sequence[Line], snap: float, gap: float
) -> tuple[list[Polygon], list[Flaw]]:
    """Give the faces that are pieces, and what is wrong with the drawing.

    Line ends that miss by up to ``snap`` are joined; outlines drawn up to ``gap`` apart share a seam
    in the middle of the gap.

    With outlines alone, each is a face, less those drawn inside it. Where open lines are drawn, every
    field of the arrangement is a face that lies in an outline or has an open line on its border.
    """
    fitted, flaws = _fitted_outlines(outlines, snap, gap)
    if not lines or flaws:
        return fitted, flaws
    return _arrangement_faces(fitted, lines, snap)


def _fitted_outlines(outlines: Sequence[Outline], snap: float, gap: float) -> tuple[list[Polygon], list[Flaw]]:
    """Take inner outlines out of outer ones and fit neighbours to each other."""
    if not outlines:
        return [], []
    polygons = [outline.polygon for outline in outlines]
    flaws: list[Flaw] = []
    inner: dict[int, list[int]] = {}
    pairs = overlapping_pairs(polygons)
    if pairs is None:
        mend = "simplify it; trace pictures by hand, not with an automatic tracer"
        wrong = "too many outlines lie over or in each other"
        return [], [Flaw(wrong, mend, inner_point(polygons[0]), outlines[0].line)]
    for a, b in pairs:
        if len(flaws) >= MOST_FLAWS:
            break
        # Of two equal areas the later one counts as the inner outline.
        small, large = sorted((a, b), key=lambda index: (polygons[index].area, -index))
        if polygons[a].equals(polygons[b]):
            mend = "delete one of the two"
            flaws.append(Flaw("an outline is drawn twice", mend, inner_point(polygons[b]), outlines[b].line))
        elif lies_inside(polygons[small], polygons[large], snap):
            inner.setdefault(large, []).append(small)
        else:
            overlap = polygons[a].intersection(polygons[b])
            # A strip of length l and width w has the area l w and, where it is long, about 2 l of border.
            width = 2 * overlap.area / overlap.length if overlap.length else 0.0
            if width > snap:
                wrong = f"two outlines overlap, by about {width:.1f} mm (the other is on line {outlines[a].line})"
                mend = "draw the edge that they share once, or move one of them"
                flaws.append(Flaw(wrong, mend, inner_point(overlap), outlines[b].line))
    if flaws:
        return [], flaws
    faces = [
        polygon.difference(shapely.union_all([polygons[hole] for hole in inner[index]])) if index in inner else polygon
        for index, polygon in enumerate(polygons)
    ]
    if len(faces) > 1:
        closed, width = _close_gaps(faces, snap, gap)
        # Where three outlines meet, or at a corner, a gap is wider than between two straight edges: up to about three
        # times, which no piece is narrow enough to fit in.
        faces = list(shapely.coverage_clean(closed, snapping_distance=snap / 30, gap_width=max(snap, 3 * width)))
    return [part for face in faces for part in shapely.get_parts(face) if part.area > snap**2], []


def _close_gaps(polygons: list[Polygon], snap: float, gap: float) -> tuple[list[Polygon], float]:
    """Share the strips between outlines that are drawn up to a foil gap apart, and give the width of the widest.

    Closing (growing and then shrinking) all outlines together by half the widest gap adds the strips and nothing
    else; each outline takes the part of them within half the gap of it. The rim stays as it is drawn.
    """
    tree = shapely.STRtree(polygons)
    first, second = tree.query(polygons, predicate="dwithin", distance=gap)
    pairs = first < second
    shapes = np.array(polygons, dtype=object)
    apart = shapely.distance(shapes[first[pairs]], shapes[second[pairs]])
    apart = apart[apart > snap / 30]
    if not len(apart):
        return polygons, 0.0
    half = float(apart.max()) * 0.52  # a little more than half, so that the two sides of a strip meet
    whole = shapely.union_all(shapes)
    closed = shapely.buffer(shapely.buffer(whole, half, join_style="mitre"), -half, join_style="mitre")
    strips = shapely.difference(closed, whole)
    grown = shapely.intersection(shapely.buffer(shapes, half, join_style="mitre"), strips)
    joined = [shapely.union_all([shape, *_polygons(part)]) for shape, part in zip(polygons, grown, strict=True)]
    return [shapely.union_all(_polygons(shape)) for shape in joined], float(apart.max())


def lies_inside(small: Polygon, large: Polygon, snap: float) -> bool:
    """Say whether an outline lies in another, up to a strip of a quarter of ``snap`` all round."""
    return bool(small.difference(large).area <= snap * small.length / 4)


def _arrangement_faces(fitted: list[Polygon], lines: Sequence[Line], snap: float) -> tuple[list[Polygon], list[Flaw]]:
    """Give the fields of the arrangement of outlines and open lines.

    Besides the fields, polygonizing gives lines with the same field on both sides (cuts) and lines with a loose end
    (dangles): neither parts one piece from another.
    """
    strings = [LineString(line.points) for line in lines]
    borders = [shapely.boundary(polygon) for polygon in fitted]
    joins, overruns, flaws = join_line_ends(lines, strings, borders, snap)
    network = shapely.union_all([*borders, *strings, *joins], grid_size=GRID)
    fields, cuts, dangles, _ = shapely.polygonize_full([network])
    flaws.extend(loose_lines(shapely.get_parts([cuts, dangles]), lines, overruns, flaws, snap))
    faces = list(shapely.get_parts(fields))
    if fitted:
        # Between outlines there may be fields without glass: those that no open line borders.
        filled = shapely.union_all(fitted)
        shapely.prepare(filled)
        tree = shapely.STRtree(strings)
        faces = [
            field
            for field in faces
            if filled.contains(field.representative_point()) or _lies_along_line(field, strings, tree)
        ]
    return _merge_slivers(faces, snap), flaws


def _lies_along_line(field: Polygon, strings: Sequence[LineString], tree: shapely.STRtree) -> bool:
    """Say whether open lines make up 1 mm of a field's border, or a twentieth of a short border."""
    near = [strings[index] for index in tree.query(field).tolist()]
    along = field.boundary.intersection(shapely.buffer(shapely.union_all(near), 1e-3, quad_segs=1)) if near else None
    return along is not None and bool(along.length > min(1.0, 0.05 * field.length))


def _merge_slivers(faces: list[Polygon], snap: float) -> list[Polygon]:
    """Merge slivers into adjacent faces: a line end beside the corner that it should meet leaves a field so narrow."""
    wide = [face for face in faces if 2 * face.area > snap / 3 * face.length or face.area > 1]
    if len(wide) < len(faces) and len(wide) > 1:
        cleaned = shapely.coverage_clean(wide, snapping_distance=snap / 30, gap_width=snap)
        return [part for face in cleaned for part in shapely.get_parts(face) if part.area > snap**2]
    return wide


def _polygons(shape: shapely.Geometry) -> list[Polygon]:
    """Give the polygons of a shape, without lines and points that an intersection may leave."""
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]


def inner_point(shape: shapely.Geometry) -> tuple[float, float]:
    """Give a point that lies inside a shape, in mm."""
    point = shape.representative_point()
    return float(point.x), float(point.y)


def enclosed_voids(faces: Sequence[Polygon]) -> list[Polygon]:
    """Give the fields that faces enclose and do not fill."""
    whole = shapely.get_parts(shapely.coverage_union_all(faces))
    return [Polygon(ring) for part in whole for ring in part.interiors]
