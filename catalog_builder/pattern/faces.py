"""Faces of a drawing: closed outlines and the fields that lines cut out, fitted to each other without gap or overlap.

All lengths are mm at the finished size; positions in messages are given in the drawing's own units.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon

from catalog_builder.pattern.crossings import overlapping_pairs
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.pattern.svg.drawing import Mark

# Lines are noded on a grid this fine: a hundred-thousandth of a millimetre.
GRID = 1e-5
# More than a maker mends at a time; each takes time to find.
MOST_FLAWS = 50


@dataclass(frozen=True, slots=True)
class Line:
    """An open line of the drawing, flattened, with the line number of the file where it stands."""

    points: Points
    line: int


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


@dataclass(frozen=True, slots=True)
class Flaw:
    """What is wrong with the drawing at a point (in mm), with the line of the file if one is to blame."""

    wrong: str
    mend: str
    at: tuple[float, float]
    line: int | None = None
    expected: str = "pieces that lie side by side, each closed all round"


def faces_of(
    outlines: Sequence[Outline], lines: Sequence[Line], snap: float, gap: float
) -> tuple[list[Polygon], list[Flaw]]:
    """Give the faces that are pieces, and what is wrong with the drawing.

    Line ends that miss by up to ``snap`` are joined; outlines drawn up to ``gap`` apart share a seam
    in the middle of the gap.

    With outlines alone, each is a face, less those drawn inside it. Where open lines are drawn, every
    field of the arrangement is a face that lies in an outline or has an open line on its border.
    """
    fitted, flaws = _fitted(outlines, snap, gap)
    if not lines or flaws:
        return fitted, flaws
    return _cut_up(fitted, lines, snap)


def _fitted(outlines: Sequence[Outline], snap: float, gap: float) -> tuple[list[Polygon], list[Flaw]]:
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
        return [], [Flaw(wrong, mend, _middle(polygons[0]), outlines[0].line)]
    for a, b in pairs:
        if len(flaws) >= MOST_FLAWS:
            break
        small, large = sorted((a, b), key=lambda index: (polygons[index].area, -index))
        if polygons[a].equals(polygons[b]):
            mend = "delete one of the two"
            flaws.append(Flaw("an outline is drawn twice", mend, _middle(polygons[b]), outlines[b].line))
        elif _inside(polygons[small], polygons[large], snap):
            inner.setdefault(large, []).append(small)
        else:
            overlap = polygons[a].intersection(polygons[b])
            width = 2 * overlap.area / overlap.length if overlap.length else 0.0
            if width > snap:
                wrong = f"two outlines overlap, by about {width:.1f} mm (the other is on line {outlines[a].line})"
                mend = "draw the edge that they share once, or move one of them"
                flaws.append(Flaw(wrong, mend, _middle(overlap), outlines[b].line))
    if flaws:
        return [], flaws
    cut = [
        polygon.difference(shapely.union_all([polygons[one] for one in inner[index]])) if index in inner else polygon
        for index, polygon in enumerate(polygons)
    ]
    if len(cut) > 1:
        filled, width = _filled_gaps(cut, snap, gap)
        cut = list(shapely.coverage_clean(filled, snapping_distance=snap / 30, gap_width=max(snap, 1.1 * width)))
    return [part for polygon in cut for part in _parts(polygon) if part.area > snap**2], []


def _filled_gaps(polygons: list[Polygon], snap: float, gap: float) -> tuple[list[Polygon], float]:
    """Share the strips between outlines that are drawn a foil gap apart, and give the widest of them.

    The strips are what closing the whole by half the widest gap adds to it; each outline takes of them
    what lies within half the gap of it. Outlines that touch are left as they are, and so is the rim.
    """
    tree = shapely.STRtree(polygons)
    first, second = tree.query(polygons, predicate="dwithin", distance=gap)
    pairs = first < second
    shapes = np.array(polygons, dtype=object)
    apart = shapely.distance(shapes[first[pairs]], shapes[second[pairs]])
    apart = apart[apart > snap / 30]
    if not len(apart):
        return polygons, 0.0
    half = float(apart.max()) * 0.52
    whole = shapely.union_all(shapes)
    closed = shapely.buffer(shapely.buffer(whole, half, join_style="mitre"), -half, join_style="mitre")
    strips = shapely.difference(closed, whole)
    grown = shapely.intersection(shapely.buffer(shapes, half, join_style="mitre"), strips)
    joined = [shapely.union_all([shape, *_areas(part)]) for shape, part in zip(polygons, grown, strict=True)]
    return [shapely.union_all(_areas(shape)) for shape in joined], float(apart.max())


def _inside(small: Polygon, large: Polygon, snap: float) -> bool:
    return bool(small.difference(large).area <= snap * small.length / 4)


def _cut_up(fitted: list[Polygon], lines: Sequence[Line], snap: float) -> tuple[list[Polygon], list[Flaw]]:
    """Give the fields of the arrangement of outlines and open lines."""
    drawn = [LineString(line.points) for line in lines]
    borders = [shapely.boundary(polygon) for polygon in fitted]
    joins, flaws = _joined(lines, drawn, borders, snap)
    network = shapely.union_all([*borders, *drawn, *joins], grid_size=GRID)
    fields, cuts, dangles, _ = shapely.polygonize_full([network])
    for loose in (*_parts(cuts), *_parts(dangles)):
        if loose.length > snap and not any(loose.distance(Point(flaw.at)) < snap for flaw in flaws):
            end = loose.interpolate(0.5, normalized=True)
            flaws.append(
                Flaw(
                    f"a line {loose.length:.1f} mm long parts nothing: glass lies on both sides of it",
                    "lead it on to the next line, or delete it",
                    (end.x, end.y),
                    _nearest_line(end, lines, drawn),
                )
            )
    faces = list(_parts(fields))
    if fitted:
        # Between outlines there may be fields without glass: those that no open line borders.
        filled = shapely.union_all(fitted)
        shapely.prepare(filled)
        tree = shapely.STRtree(drawn)
        faces = [
            field for field in faces if filled.contains(field.representative_point()) or _bordered(field, drawn, tree)
        ]
    return _without_crumbs(faces, snap), flaws


def _bordered(field: Polygon, drawn: Sequence[LineString], tree: shapely.STRtree) -> bool:
    """Say whether open lines make up a part of a field's border that is worth the name."""
    near = [drawn[index] for index in tree.query(field).tolist()]
    along = field.boundary.intersection(shapely.buffer(shapely.union_all(near), 1e-3, quad_segs=1)) if near else None
    return along is not None and bool(along.length > min(1.0, 0.05 * field.length))


def _without_crumbs(faces: list[Polygon], snap: float) -> list[Polygon]:
    """Give crumbs to their neighbours: fields that come of a line end lying a hair beside the line it meets."""
    real = [face for face in faces if 2 * face.area > snap / 3 * face.length or face.area > 1]
    if len(real) < len(faces) and len(real) > 1:
        cleaned = shapely.coverage_clean(real, snapping_distance=snap / 30, gap_width=snap)
        return [part for face in cleaned for part in _parts(face) if part.area > snap**2]
    return real


def _joined(
    lines: Sequence[Line], drawn: Sequence[LineString], borders: Sequence[LineString], snap: float
) -> tuple[list[LineString], list[Flaw]]:
    """Join line ends that miss the next line by up to ``snap``; tell those that meet nothing."""
    everything = [*drawn, *borders]
    tree = shapely.STRtree(everything)
    joins: list[LineString] = []
    flaws: list[Flaw] = []
    for index, line in enumerate(lines):
        if np.hypot(*(line.points[0] - line.points[-1])) <= snap and len(line.points) > 3:
            joins.append(LineString([line.points[0], line.points[-1] + 0.0]))
            continue
        for end in (0, -1):
            point = Point(line.points[end])
            near = [one for one in tree.query(point, predicate="dwithin", distance=20 * snap) if one != index]
            gap, other = min(((everything[one].distance(point), one) for one in near), default=(np.inf, -1))
            if gap <= snap:
                if gap > 0:
                    joins.append(LineString([point, shapely.shortest_line(point, everything[other]).coords[-1]]))
            elif not _on_itself(line.points, end, snap):
                missed = f"it misses the next one by {gap:.2f} mm" if gap < np.inf else "nothing is near it"
                flaws.append(
                    Flaw(
                        f"the end of a line meets no other line: {missed}",
                        f"lead the line on to the next one (ends that miss by up to {snap:g} mm are joined)",
                        (point.x, point.y),
                        line.line,
                    )
                )
    return joins, flaws


def _on_itself(points: Points, end: int, snap: float) -> bool:
    rest = points[:-2] if end == -1 else points[2:]
    return len(rest) > 1 and bool(LineString(rest).distance(Point(points[end])) <= snap)


def _nearest_line(point: Point, lines: Sequence[Line], drawn: Sequence[LineString]) -> int | None:
    return min(((one.distance(point), line.line) for one, line in zip(drawn, lines, strict=True)), default=(0, None))[1]


def _parts(shape: shapely.Geometry) -> Iterable[shapely.Geometry]:
    return list(shapely.get_parts(shape))


def _areas(shape: shapely.Geometry) -> list[Polygon]:
    """Give the polygons of a shape, without the bare lines and points that an intersection may leave."""
    return [part for part in _parts(shape) if isinstance(part, Polygon)]


def _middle(shape: shapely.Geometry) -> tuple[float, float]:
    point = shape.representative_point()
    return float(point.x), float(point.y)


def polygon_of(rings: Sequence[Points], even_odd: bool) -> tuple[Polygon | None, tuple[float, float] | None]:
    """Make one polygon of an element's closed runs by its fill rule.

    Gives (polygon, None), or (None, the place) where a run crosses itself or the runs are apart.

    Source: SVG 2, chapter 13: nonzero adds up signed crossings, evenodd counts them.
    """
    for ring in rings:
        curve = shapely.linearrings(ring) if len(ring) > 3 else None
        if curve is None:
            return None, (float(ring[0][0]), float(ring[0][1]))
        if not curve.is_simple:
            return None, _crossing(Polygon(curve))
    if len(rings) == 1:
        return Polygon(rings[0]), None
    shape = _filled(rings, even_odd)
    if isinstance(shape, MultiPolygon) or shape.is_empty:
        return None, (float(rings[-1][0][0]), float(rings[-1][0][1]))
    return shape, None


def _filled(rings: Sequence[Points], even_odd: bool) -> shapely.Geometry:
    fields = shapely.get_parts(shapely.polygonize([shapely.union_all([LineString(ring) for ring in rings])]))
    signs = np.array([1 if even_odd or shapely.is_ccw(shapely.linearrings(ring)) else -1 for ring in rings])
    field, ring = shapely.STRtree([Polygon(ring) for ring in rings]).query(
        shapely.point_on_surface(fields), predicate="within"
    )
    crossed = np.bincount(field, weights=signs[ring], minlength=len(fields)).astype(int)
    return shapely.union_all(fields[crossed % 2 == 1 if even_odd else crossed != 0])


def _crossing(polygon: Polygon) -> tuple[float, float]:
    text = shapely.is_valid_reason(polygon)
    if "[" in text:
        x, y = text.partition("[")[2].rstrip("]").split()
        return float(x), float(y)
    return _middle(polygon.boundary)
