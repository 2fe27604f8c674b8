"""A product's drawings measured: edges counted, glass cut, and parts joined on in space."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from catalog_builder.mistake import Finding, Mistake, MistakeError, Mistakes
from catalog_builder.pattern.cuts import Cut, read_cuts
from catalog_builder.pattern.faces import inner_point
from catalog_builder.pattern.framing.framing import without_framed_rim
from catalog_builder.pattern.manufacturability import manufacturability_findings
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.intervals import join_spans, join_stretches, total_mm, uncovered, without_joined_rims
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.parts.joining import Seat, read_seats
from catalog_builder.pattern.parts.placing import UPRIGHT, Placing, across_fold, turned_about
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges, read_edges
from catalog_builder.pattern.sizes import WIRE_REACH_MM, Sized, titled
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# A join lies on an edge that it follows this closely, over this share of its length.
SEAT_MM = 0.5
SEATED = 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """A product's flats at one of its sizes, the main one first, measured and placed in space.

    ``joined`` holds the seams that join parts on where the main drawing has none already, each once, in its plane:
    shape (n, 2, 2). ``tacks`` are the ends of all joins, shape (k, 2), once for each copy. ``findings`` are what the
    bench should know.
    """

    sized: Sized
    flats: tuple[FlatPart, ...]
    joined: Points
    tacks: Points
    findings: tuple[Finding, ...]


def measure(product: Product, sized: Sized, making: Making) -> Measured:
    """Count the edges of each drawing, cut its glass, and join the parts on.

    Raises:
        MistakeError: a piece is so narrow that the foil gap leaves nothing of it, or a part cannot be joined on.
    """
    patterns = sized.patterns
    edges = {name: read_edges([piece.face for piece in pattern.pieces]) for name, pattern in patterns.items()}
    gap = float(making.foil_gap_mm)
    cuts = {name: read_cuts(pattern.pieces, edges[name], gap) for name, pattern in patterns.items()}
    lost = [mistake for name in cuts for mistake in _lost_cuts(product, sized, name, cuts[name], making)]
    seats = read_seats(product, sized)
    if lost:
        raise MistakeError(lost)
    findings = list(sized.findings)
    for name, pattern in patterns.items():
        title, source = titled(product, name, sized.size), product.parts[name] if name else product.drawing
        # What is bought ready is neither cut nor ground.
        cut = [cut for cut in cuts[name] if cut.glass not in sized.ready_made]
        faults = manufacturability_findings(title, source, pattern, edges[name], cut, making)
        # A frame keeps a panel from folding along a seam.
        findings += [fault for fault in faults if name or sized.frame is None or fault.code != "G07"]
    flats, joined = _set_in_space(product, sized, seats, edges, cuts)
    if sized.frame is not None:
        bare = without_framed_rim(flats[0].edges, sized.frame)
        flats = (replace(flats[0], edges=bare, frame=sized.frame), *flats[1:])
    return Measured(sized, flats, joined, _tacks(product, sized, seats), tuple(findings))


def _set_in_space(
    product: Product,
    sized: Sized,
    seats: Mapping[str, Seat],
    edges: Mapping[str, Edges],
    cuts: Mapping[str, tuple[Cut, ...]],
) -> tuple[tuple[FlatPart, ...], Points]:
    """Place every part in space and take the joined edges off the rims.

    Raises:
        MistakeError: a join lies on no edge of the glass, seam or wire.
    """
    mistakes = Mistakes()
    main, joined = edges[""], [np.empty((0, 2, 2))]
    for join in sized.pattern.standing_joins:
        on_seams = join_spans(np.concatenate([main.seams, *joined]), join, SEAT_MM)
        on_rims = join_spans(edges[""].rims, join, SEAT_MM)
        on_wire = _lies_on_wire(join, sized.pattern)
        open_mm = 0.0 if on_wire else total_mm(uncovered((*on_seams, *on_rims), join.length_mm))
        if open_mm > (1 - SEATED) * join.length_mm and not join.mirrored:
            _add_unseated(mistakes, product, "", join, sized.pattern)
        # Where the main drawing has a seam already, or another join, that is counted and this is not.
        joined.append(join_stretches(uncovered(on_seams, join.length_mm), join))
        main = without_joined_rims(main, join, SEAT_MM)
        if on_rims or on_wire:
            main = replace(main, seam_ends=np.concatenate([main.seam_ends, join.points]))
    flats = [FlatPart("", sized.pattern, main, cuts[""], (UPRIGHT,))]
    for name, seat in seats.items():
        part = sized.parts[name]
        if total_mm(join_spans(edges[name].rims, seat.own, SEAT_MM)) < SEATED * seat.own.length_mm:
            _add_unseated(mistakes, product, name, seat.own, part)
        places = tuple(_placings(seat, part, sized.pattern, product.keys.parts[name].set_at))
        flats.append(FlatPart(name, part, without_joined_rims(edges[name], seat.own, SEAT_MM), cuts[name], places))
    mistakes.raise_if_any()
    return tuple(flats), np.concatenate(joined)


def _tacks(product: Product, sized: Sized, seats: Mapping[str, Seat]) -> Points:
    """Give the ends of the joins of every copy: each copy is tacked at both before its seam is run."""
    standing = dict(zip(sized.pattern.joins, sized.pattern.standing_joins, strict=True))
    ends = [
        standing[join].points
        for name, seat in seats.items()
        for join in seat.mains
        for _ in product.keys.parts[name].set_at
    ]
    return np.concatenate([np.empty((0, 2)), *ends])


def _placings(seat: Seat, part: Pattern, main: Pattern, angles: Sequence[float]) -> Iterator[Placing]:
    within = _glass_beside(seat.own, part)
    for join in seat.mains:
        for degrees in angles:
            placing = turned_about(join, seat.own, within, degrees)
            yield across_fold(placing, main.fold) if join.mirrored and main.fold is not None else placing


def _glass_beside(join: Join, part: Pattern) -> tuple[float, float]:
    """Give a point of a part's glass close beside the middle of its join, else the middle of its glass."""
    glass = shapely.union_all([piece.face for piece in part.pieces])
    x, y = join.direction
    off = 2 * SEAT_MM * np.array([-y, x])
    sides = [side for side in (Point(join.middle + off), Point(join.middle - off)) if glass.contains(side)]
    point = sides[0] if len(sides) == 1 else glass.centroid
    return point.x, point.y


def _lies_on_wire(join: Join, pattern: Pattern) -> bool:
    line = LineString(join.points)
    reach = shapely.union_all([wire.line.buffer(WIRE_REACH_MM) for wire in pattern.wires])
    return bool(line.intersection(reach).length >= SEATED * line.length)


def _add_unseated(mistakes: Mistakes, product: Product, name: str, join: Join, pattern: Pattern) -> None:
    where = "an edge of the part's glass" if name else "an edge of the glass, a seam or a wire"
    x, y = (join.middle / pattern.scale).tolist()
    mistakes.add(
        product.place_of(join.row, name),
        wrong=f"the join at x {x:.1f}, y {y:.1f} of the drawing does not lie along {where}",
        expected=f"a straight join along {where}, over its whole length",
        mend="move its ends onto the two ends of the edge that is joined, or make that edge straight",
        spot=(x, y),
    )


def _lost_cuts(product: Product, sized: Sized, part: str, cuts: Sequence[Cut], making: Making) -> Iterator[Mistake]:
    """Find pieces of which the foil gap leaves no single cut of glass."""
    pattern = sized.patterns[part]
    for cut, piece in zip(cuts, pattern.pieces, strict=True):
        if not isinstance(cut.shape, Polygon) or cut.shape.is_empty:
            x, y = (at / pattern.scale for at in inner_point(piece.face))
            size = f" in {sized.size}" if sized.size else ""
            yield Mistake(
                place=(product.parts[part] if part else product.drawing).place(None),
                wrong=f"the piece {cut.number} at x {x:.1f}, y {y:.1f} of the drawing is too narrow{size}: "
                f"a foil gap of {making.foil_gap_mm:g} mm leaves no single cut of glass of it",
                expected="pieces several times as wide as the foil gap everywhere",
                mend="widen the piece, or join it to its neighbour",
                spot=(x, y),
            )
