"""Manufacturability: what can be drawn but hardly made, each with why it matters.

The limits are the studio's own settings; their defaults are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from catalog_builder.mistake import Finding
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.faces import enclosed_voids, inner_point
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.hinge import read_hinges
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.pattern.svg.walker import IGNORED
from catalog_builder.phrase import Number, Phrase, Quantity, Value, phrase, quantity
from catalog_builder.records.product import Product
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio import Making
from catalog_builder.units import exact

# Foil and bead cover what the grinder's bit leaves of a corner, up to this. Common practice, no source.
REACHED_MM = 1.0
# Edges of pieces this near to each other, over eight times this length, were perhaps meant to meet.
APART_MM = 2.0
# A wire this near to a seam lies in its bead.
ALONG_MM = 1.0
# Fields smaller than this are crumbs of rounding.
LEAST_VOID_MM2 = 0.1
# As many places as can be read in one message.
MOST_PLACES = 12


def manufacturability_findings(
    title: str, source: Source, flat: FlatPart, edges: Edges, cuts: Sequence[Cut], making: Making
) -> Iterator[Finding]:
    """Find pieces too small, too narrow in the middle or too deeply notched, and designs that fold.

    ``title`` names the drawing and its size; ``source`` is the drawing's own text. ``edges`` are those of the drawing
    alone; ``cuts`` are its pieces that are cut.
    """
    pattern = flat.pattern
    joined = shapely.multilinestrings(shapely.linestrings(flat.joined))
    stiffened = shapely.union_all([wire.line for wire in pattern.wires]).buffer(ALONG_MM)
    place = source.place(None)
    least = making.smallest_piece_mm
    widths = {cut.number: _across(cut.shape) for cut in cuts}
    small = tuple(
        phrase("findings_drawing.piece_width", number=number, width=quantity(width, "mm", 1))
        for number, width in widths.items()
        if width < float(least)
    )
    if small:
        yield Finding.of(
            "G01", place, "findings_drawing.small_piece", title=title, least=Quantity(least, "mm", 2), pieces=small
        )
    bit = making.grinder_bit_mm
    corners = _piece_places(cuts, lambda shape: _notch(shape, float(bit) / 2), pattern.scale)
    if corners:
        yield Finding.of(
            "G02", place, "findings_drawing.inside_corner", title=title, bit=Quantity(bit, "mm", 2), pieces=corners
        )
    least = making.smallest_neck_mm
    necks = _piece_places(cuts, lambda shape: _neck(shape, float(least)), pattern.scale)
    if necks:
        yield Finding.of(
            "G03", place, "findings_drawing.neck", title=title, least=Quantity(least, "mm", 2), pieces=necks
        )
    for hinge in read_hinges(edges, len(pattern.pieces)):
        middle = Point(np.mean([hinge.begin, hinge.end], axis=0))
        # A part that stands out of the line stiffens it, and so do parts that hold both of its ends.
        if joined.distance(middle) < 1 or all(joined.distance(Point(end)) < 1 for end in (hinge.begin, hinge.end)):
            continue
        # So does a wire or strip that is soldered into it from end to end.
        bare = LineString([hinge.begin, hinge.end]).difference(stiffened)
        if bare.length <= ALONG_MM:
            continue
        yield Finding.of(
            "G07",
            place,
            "findings_drawing.hinge",
            title=title,
            length=quantity(hinge.length_mm, "mm"),
            begin=phrase("findings_drawing.place", **_drawing_place(hinge.begin, pattern.scale)),
            end=phrase("findings_drawing.place", **_drawing_place(hinge.end, pattern.scale)),
        )


def drawing_findings(
    title: str, product: Product, drawing: Drawing, pattern: Pattern, grainless: frozenset[str] | None
) -> Iterator[Finding]:
    """Find what one of a product's drawings leaves unsaid or holds besides lines; ``title`` names it.

    ``grainless`` are the glass words that need no grain; None where none does.
    """
    place = drawing.source.place
    yield from _left_out(title, drawing)
    count = sum(piece.grain is None and piece.glass not in (grainless or ()) for piece in pattern.pieces)
    if count and grainless is not None and "grain" not in product.keys.model_fields_set:
        yield Finding.of("G04", place(None), "findings_drawing.no_grain", title=title, count=count)
    yield from _apart(title, drawing.source, pattern)
    yield from _voids(title, drawing.source, pattern)


def _left_out(title: str, drawing: Drawing) -> Iterator[Finding]:
    """Find what a drawing holds that is not read, or does not count as glass."""

    def finding(key: str, advice: str, line: int, **values: Value) -> Finding:
        text, mend = phrase(f"findings_drawing.{key}", title=title, **values), phrase(f"findings_drawing.{advice}")
        return Finding(code="G06", place=drawing.source.place(line), text=text, advice=mend)

    for name, line in drawing.ignored:
        if name in IGNORED:
            yield finding(IGNORED[name], "ignored_advice", line, name=name)
        else:
            yield finding("rule_ignored", "rule_ignored_advice", line, name=name)
    if drawing.unseen:
        yield finding("unseen", "unseen_advice", drawing.unseen[0], count=len(drawing.unseen))
    for line in drawing.backgrounds:
        yield finding("background", "background_advice", line)


def _apart(title: str, source: Source, pattern: Pattern) -> Iterator[Finding]:
    """Find outlines that run beside each other farther apart than a foil gap and nearer than glass could."""
    faces = np.array([piece.face for piece in pattern.pieces], dtype=object)
    tree = shapely.STRtree(faces)
    first, second = tree.query(faces, predicate="dwithin", distance=APART_MM)
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        if a >= b or faces[a].distance(faces[b]) == 0:
            continue
        strip = faces[a].boundary.intersection(faces[b].buffer(APART_MM))
        if strip.length > 8 * APART_MM:
            place = _drawing_place(inner_point(strip.buffer(0.1)), pattern.scale)
            yield Finding.of(
                "G05",
                source.place(None),
                "findings_drawing.apart",
                title=title,
                first=pattern.pieces[a].number,
                second=pattern.pieces[b].number,
                distance=quantity(faces[a].distance(faces[b]), "mm", 1),
                place=phrase("findings_drawing.place", **place),
            )


def _voids(title: str, source: Source, pattern: Pattern) -> Iterator[Finding]:
    """Find fields without glass that pieces enclose and no mark says to be open, the largest first."""
    voids = sorted(
        (void for void in enclosed_voids([piece.face for piece in pattern.pieces]) if void.area > LEAST_VOID_MM2),
        key=lambda void: -void.area,
    )
    unmarked = [void for void in voids if not any(void.contains(at) for at in pattern.open_at)]
    if unmarked:
        fields = tuple(
            phrase(
                "findings_drawing.void_place",
                **_drawing_place(inner_point(void), pattern.scale),
                area=quantity(void.area, "mm2", 1),
            )
            for void in unmarked[:MOST_PLACES]
        )
        yield Finding.of(
            "G08", source.place(None), "findings_drawing.void", title=title, count=len(unmarked), fields=fields
        )


def _drawing_place(point: tuple[float, float], scale: float) -> dict[str, Number]:
    """Give a point in mm as whole units of the drawing, as drawing programs show them."""
    x, y = (Number(exact(part / scale, 0) + 0) for part in point)  # adding 0 takes the sign off a zero
    return {"x": x, "y": y}


def _piece_places(
    cuts: Sequence[Cut], find: Callable[[Polygon], tuple[float, float] | None], scale: float
) -> tuple[Phrase, ...]:
    """Give the pieces in which ``find`` finds a place, with the place."""
    places = [(cut.number, find(cut.shape)) for cut in cuts]
    return tuple(
        phrase("findings_drawing.piece_place", number=number, **_drawing_place(place, scale))
        for number, place in places
        if place is not None
    )


def _across(shape: Polygon) -> float:
    """Give the width of a piece where it is widest: twice the radius of the largest circle in it."""
    return 2 * float(shapely.maximum_inscribed_circle(shape, 0.1).length) if shape.area > 0 else 0.0


def _notch(shape: Polygon, radius: float) -> tuple[float, float] | None:
    """Give the place of an inside corner of which a round bit of a radius leaves more than it may."""
    # Closing (grow, then shrink by the radius) fills what a disc of that radius cannot reach from outside.
    closed = shape.buffer(radius, quad_segs=16).buffer(-radius, quad_segs=16)
    parts = shapely.get_parts(closed.difference(shape))
    # No corner lies deeper than half its part's border is long: small parts need no measuring.
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
    # Shrunk by half the width, glass falls apart where it is narrower than that.
    core = shape.buffer(-width / 2)
    parts = [part for part in shapely.get_parts(core) if part.area > width**2 / 4]
    if len(parts) < 2:
        return None
    line = shapely.shortest_line(parts[0], shapely.union_all(parts[1:]))
    middle = line.interpolate(0.5, normalized=True)
    return float(middle.x), float(middle.y)
