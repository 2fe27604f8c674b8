"""A product's drawings measured: edges counted, glass cut, and parts joined on in space."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from catalog_builder.mistake import Finding, Mistake, MistakeError
from catalog_builder.pattern.cuts import Cut, read_cuts
from catalog_builder.pattern.manufacturability import manufacturability_findings
from catalog_builder.pattern.numbers import inside
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.intervals import gaps, long, spans, stretches_of, without_rims
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
    edges = {name: read_edges([piece.face for piece in one.pieces]) for name, one in sized.patterns.items()}
    gap = float(making.foil_gap_mm)
    cuts = {name: read_cuts(one.pieces, edges[name], gap) for name, one in sized.patterns.items()}
    lost = [one for name in cuts for one in _lost(product, sized, name, cuts[name], making)]
    seats = read_seats(product, sized)
    if lost:
        raise MistakeError(lost)
    findings = tuple(
        finding
        for name, one in sized.patterns.items()
        for finding in manufacturability_findings(
            titled(product, name, sized.size),
            product.parts[name] if name else product.drawing,
            one,
            edges[name],
            cuts[name],
            making,
        )
    )
    flats, joined = _assembled(product, sized, seats, edges, cuts)
    tacks = _tacks(product, sized, seats)
    return Measured(sized, flats, joined, tacks, (*sized.findings, *findings))


def _assembled(
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
    mistakes: list[Mistake] = []
    whole, joined = edges[""], [np.empty((0, 2, 2))]
    for line in sized.pattern.standing_joins:
        seamed = spans(np.concatenate([whole.seams, *joined]), line, SEAT_MM)
        rimmed = spans(edges[""].rims, line, SEAT_MM)
        wired = line.length_mm if _on_wire(line, sized.pattern) else 0.0
        seated = max(line.length_mm - long(gaps((*seamed, *rimmed), line.length_mm)), wired)
        if seated < SEATED * line.length_mm and not line.mirrored:
            mistakes.append(_unseated(product, "", line, sized.pattern, "an edge of the glass, a seam or a wire"))
        # Where the main drawing has a seam already, or another join, it is counted there.
        joined.append(stretches_of(gaps(seamed, line.length_mm), line))
        whole = without_rims(whole, line, SEAT_MM)
        ends = [end for end in line.points if rimmed or wired]
        whole = _with_ends(whole, np.array(ends).reshape(-1, 2))
    flats = [FlatPart("", sized.pattern, whole, cuts[""], (UPRIGHT,))]
    for name, seat in seats.items():
        part = sized.parts[name]
        if long(spans(edges[name].rims, seat.own, SEAT_MM)) < SEATED * seat.own.length_mm:
            mistakes.append(_unseated(product, name, seat.own, part, "an edge of the part's glass"))
        places = tuple(_places(seat, part, sized.pattern, product.keys.parts[name].set_at))
        flats.append(FlatPart(name, part, without_rims(edges[name], seat.own, SEAT_MM), cuts[name], places))
    if mistakes:
        raise MistakeError(mistakes)
    return tuple(flats), np.concatenate(joined)


def _tacks(product: Product, sized: Sized, seats: Mapping[str, Seat]) -> Points:
    standing = {(join.row, join.mirrored): join.points for join in sized.pattern.standing_joins}
    ends = [
        standing[join.row, join.mirrored]
        for name, seat in seats.items()
        for join in seat.mains
        for _ in product.keys.parts[name].set_at
    ]
    return np.concatenate([np.empty((0, 2)), *ends])


def _places(seat: Seat, part: Pattern, main: Pattern, angles: Sequence[float]) -> Iterator[Placing]:
    within = _beside(seat.own, part)
    for join in seat.mains:
        for degrees in angles:
            placing = turned_about(join, seat.own, within, degrees)
            yield across_fold(placing, main.fold) if join.mirrored and main.fold is not None else placing


def _beside(join: Join, part: Pattern) -> tuple[float, float]:
    """Give a point of a part's glass close beside the middle of its join, else the middle of its glass."""
    glass = shapely.union_all([piece.face for piece in part.pieces])
    way = (join.points[1] - join.points[0]) / join.length_mm
    middle, off = join.points.mean(axis=0), 2 * SEAT_MM * np.array([-way[1], way[0]])
    sides = [Point(middle + off), Point(middle - off)]
    found = [side for side in sides if glass.contains(side)]
    spot = found[0] if len(found) == 1 else glass.centroid
    return spot.x, spot.y


def _on_wire(join: Join, pattern: Pattern) -> bool:
    line = LineString(join.points)
    reach = shapely.union_all([wire.line.buffer(WIRE_REACH_MM) for wire in pattern.wires])
    return bool(line.intersection(reach).length >= SEATED * line.length)


def _with_ends(edges: Edges, ends: Points) -> Edges:
    """Add the ends of a join on the rim to the places where a seam meets it."""
    return replace(edges, seam_ends=np.concatenate([edges.seam_ends, ends]))


def _unseated(product: Product, name: str, join: Join, pattern: Pattern, where: str) -> Mistake:
    x, y = (float(part) / pattern.scale for part in join.points.mean(axis=0))
    return Mistake(
        place=product.place_of(join.row, name),
        wrong=f"the join at x {x:.1f}, y {y:.1f} of the drawing does not lie along {where}",
        expected=f"a straight join along {where}, over its whole length",
        mend="move its ends onto the two ends of the edge that is joined, or make that edge straight",
        spot=(x, y),
    )


def _lost(product: Product, sized: Sized, part: str, cuts: Sequence[Cut], making: Making) -> Iterator[Mistake]:
    """Tell pieces of which the foil gap leaves no single cut of glass."""
    pattern = sized.patterns[part]
    for cut, piece in zip(cuts, pattern.pieces, strict=True):
        if not isinstance(cut.shape, Polygon) or cut.shape.is_empty:
            x, y = (at / pattern.scale for at in inside(piece.face))
            size = f" in {sized.size}" if sized.size else ""
            yield Mistake(
                place=(product.parts[part] if part else product.drawing).place(None),
                wrong=f"the piece {cut.number} at x {x:.1f}, y {y:.1f} of the drawing is too narrow{size}: "
                f"a foil gap of {making.foil_gap_mm:g} mm leaves no single cut of glass of it",
                expected="pieces several times as wide as the foil gap everywhere",
                mend="widen the piece, or join it to its neighbour",
                spot=(x, y),
            )
