"""Sense checks for the bench: what can be drawn but hardly made, each with why it matters.

The limits are the studio's own settings; their defaults are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from catalog_builder.mistake import Finding
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.numbers import inside
from catalog_builder.pattern.parts.hinge import read_hinges
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio import Making

# A corner that the grinder's bit leaves by less than this is taken up by foil and bead.
REACHED_MM = 1.0


def sense_findings(
    title: str, source: Source, pattern: Pattern, edges: Edges, cuts: Sequence[Cut], making: Making
) -> Iterator[Finding]:
    """Find pieces too small, too narrow in the middle or too deeply notched, and designs that fold.

    ``title`` names the drawing and its size; ``source`` is the drawing's own text.
    """
    place = source.place(None)
    least = float(making.smallest_piece_mm)
    small = {cut.number: _across(cut.shape) for cut in cuts}
    small = {number: width for number, width in small.items() if width < least}
    if small:
        shown = ", ".join(f"{number} ({width:.1f} mm)" for number, width in small.items())
        yield Finding(
            code="G01",
            place=place,
            text=f"{title}: under {least:g} mm across, so that it can hardly be ground and foiled: {shown}",
            advice="make the piece larger, or join it to its neighbour",
        )
    where = _spots(cuts, lambda shape: _notch(shape, float(making.grinder_bit_mm) / 2), pattern.scale)
    if where:
        yield Finding(
            code="G02",
            place=place,
            text=f"{title}: an inside corner that a bit of {making.grinder_bit_mm:g} mm cannot reach: {where}; "
            "glass cracks when it is cut into one",
            advice="round the corner, or lead a seam into it so that two pieces share it",
        )
    where = _spots(cuts, lambda shape: _neck(shape, float(making.smallest_neck_mm)), pattern.scale)
    if where:
        yield Finding(
            code="G03",
            place=place,
            text=f"{title}: glass under {making.smallest_neck_mm:g} mm wide between two wider parts: {where}; "
            "it breaks there",
            advice="widen the neck, or lead a seam across it",
        )
    for hinge in read_hinges(edges, len(pattern.pieces)):
        (x, y), (u, v) = hinge.begin, hinge.end
        middle = Point((x + u) / 2, (y + v) / 2)
        if any(LineString(join.points).distance(middle) < 1 for join in pattern.standing_joins):
            continue  # a part that stands out of it stiffens it
        line = " to ".join(f"x {a / pattern.scale:.0f}, y {b / pattern.scale:.0f}" for a, b in ((x, y), (u, v)))
        yield Finding(
            code="G07",
            place=place,
            text=f"{title}: one straight line of seams, {hinge.length_mm:.0f} mm long, is all that joins two parts, "
            f"from {line} of the drawing; a piece folds there when it is lifted",
            advice="stagger the seams, or lay a stiffening wire into this one and round the rim",
        )


def drawing_findings(
    title: str, product: Product, drawing: Drawing, pattern: Pattern, glass: Sequence[Material]
) -> Iterator[Finding]:
    """Find what one of a product's drawings leaves unsaid or holds besides lines; ``title`` names it."""
    place = drawing.source.place
    for what, line in drawing.ignored:
        yield Finding(
            code="G06",
            place=place(line),
            text=f"{title}: {what}; it is not read",
            advice="draw the line itself where it matters",
        )
    bare = [piece.number for piece in pattern.pieces if piece.grain is None]
    if bare and any(material.has_grain for material in glass) and "grain" not in product.keys.model_fields_set:
        yield Finding(
            code="G04",
            place=place(None),
            text=f"{title}: glass with a grain, but {_without(len(bare))}, and streaks may run apart from piece "
            "to piece",
            advice="write `grain: along` if that is meant, or a number of degrees, or draw grain arrows",
        )
    yield from _beside(title, drawing.source, pattern)


def _without(count: int) -> str:
    if count == 1:
        return "1 piece without one; it is cut with the grain along its length"
    return f"{count} pieces without one; they are cut with the grain along their length"


def _beside(title: str, source: Source, pattern: Pattern) -> Iterator[Finding]:
    """Find outlines that run beside each other farther apart than a foil gap and nearer than glass could."""
    faces = np.array([piece.face for piece in pattern.pieces], dtype=object)
    tree = shapely.STRtree(faces)
    reach = 2.0 * pattern.enlarged
    first, second = tree.query(faces, predicate="dwithin", distance=reach)
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        if a >= b or faces[a].distance(faces[b]) == 0:
            continue
        strip = faces[a].boundary.intersection(faces[b].buffer(reach))
        if strip.length > 8 * reach:
            x, y = inside(strip.buffer(0.1))
            numbers = f"{pattern.pieces[a].number} and {pattern.pieces[b].number}"
            yield Finding(
                code="G05",
                place=source.place(None),
                text=f"{title}: the pieces {numbers} run {faces[a].distance(faces[b]):.1f} mm apart at "
                f"x {x / pattern.scale:.0f}, y {y / pattern.scale:.0f} of the drawing, too far for a seam; both count "
                "as rim there",
                advice="draw the two edges up to each other if a seam is meant, or farther apart",
            )


def _across(shape: Polygon) -> float:
    """Give the width of a piece where it is widest: twice the radius of the largest circle in it."""
    return 2 * float(shapely.maximum_inscribed_circle(shape, 0.1).length) if shape.area > 0 else 0.0


def _spots(cuts: Sequence[Cut], find: Callable[[Polygon], tuple[float, float] | None], scale: float) -> str:
    """Word the pieces in which something is found, and where."""
    found = [(cut.number, find(cut.shape)) for cut in cuts]
    return ", ".join(
        f"{number} at x {spot[0] / scale:.0f}, y {spot[1] / scale:.0f}" for number, spot in found if spot is not None
    )


def _notch(shape: Polygon, radius: float) -> tuple[float, float] | None:
    """Give a place that a round bit of a radius cannot reach from outside, and leaves by more than it may."""
    closed = shape.buffer(radius, quad_segs=16).buffer(-radius, quad_segs=16)
    parts = shapely.get_parts(closed.difference(shape))
    # No corner lies deeper than half the way round its part: what rounding leaves is passed over at once.
    parts = parts[shapely.length(parts) > 2 * REACHED_MM]
    edge = closed.boundary if len(parts) else None
    shapely.prepare(edge)
    for part in parts:
        corners = shapely.points(shapely.get_coordinates(part))
        if not shapely.dwithin(corners, edge, REACHED_MM).all():
            corner = corners[int(shapely.distance(corners, edge).argmax())]
            return float(corner.x), float(corner.y)
    return None


def _neck(shape: Polygon, width: float) -> tuple[float, float] | None:
    """Give the place of a neck: where glass under a width joins two parts that are wider."""
    core = shape.buffer(-width / 2)
    parts = [part for part in shapely.get_parts(core) if part.area > width**2 / 4]
    if len(parts) < 2:
        return None
    line = shapely.shortest_line(parts[0], shapely.union_all(parts[1:]))
    middle = line.interpolate(0.5, normalized=True)
    return float(middle.x), float(middle.y)
