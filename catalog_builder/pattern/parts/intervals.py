"""Where a join sits on the edges of a drawing, and the edges once it is taken off them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.svg.curve import Points

Span = tuple[float, float]
# How much a stretch may stray over its length and still lie along a join: about 15 degrees.
ALONG = 0.25


def spans(stretches: Points, join: Join, reach_mm: float) -> list[Span]:
    """Give the spans in mm from a join's upper end over which straight stretches, shape (n, 2, 2), lie along it."""
    found = [span for stretch in stretches if (span := _span(stretch, join, reach_mm)) is not None]
    return _joined(found)


def gaps(covered: Iterable[Span], length_mm: float) -> list[Span]:
    """Give the spans of a length that are not covered."""
    left, at = [], 0.0
    for begin, end in _joined(covered):
        if begin > at:
            left.append((at, begin))
        at = max(at, end)
    return [*left, (at, length_mm)] if at < length_mm else left


def long(found: Iterable[Span]) -> float:
    """Add up spans that do not overlap."""
    return sum(end - begin for begin, end in found)


def stretches_of(found: Iterable[Span], join: Join) -> Points:
    """Give spans along a join as stretches of shape (n, 2, 2)."""
    way = (join.points[1] - join.points[0]) / join.length_mm
    ends = [[join.points[0] + begin * way, join.points[0] + end * way] for begin, end in found]
    return np.array(ends).reshape(-1, 2, 2)


def without_rims(edges: Edges, join: Join, reach_mm: float) -> Edges:
    """Take the rims that lie along a join off the edges: they are joined now."""
    rims: list[Points] = []
    owners: list[int] = []
    for rim, owner in zip(edges.rims, edges.rim_owners.tolist(), strict=True):
        for kept in _outside(rim, join, reach_mm):
            rims.append(kept)
            owners.append(owner)
    return replace(edges, rims=np.array(rims).reshape(-1, 2, 2), rim_owners=np.array(owners, dtype=np.int64))


def _span(stretch: Points, join: Join, reach_mm: float) -> Span | None:
    """Give the span of a join that a stretch lies along, from its upper end on."""
    way = (join.points[1] - join.points[0]) / join.length_mm
    away = stretch - join.points[0]
    off = away[:, 1] * way[0] - away[:, 0] * way[1]
    # A short stretch that only crosses the join, or leaves it at its end, does not lie along it.
    if float(np.abs(off).max()) > reach_mm or abs(off[1] - off[0]) > ALONG * float(
        np.hypot(*(stretch[1] - stretch[0]))
    ):
        return None
    begin, end = sorted((away @ way).tolist())
    begin, end = max(begin, 0.0), min(end, join.length_mm)
    return (begin, end) if end > begin else None


def _outside(stretch: Points, join: Join, reach_mm: float) -> list[Points]:
    """Give what of a stretch runs on beyond a join."""
    span = _span(stretch, join, reach_mm)
    if span is None:
        return [stretch]
    way = (join.points[1] - join.points[0]) / join.length_mm
    first, last = ((stretch - join.points[0]) @ way).tolist()
    begin, end = span if first < last else span[::-1]
    ends = [(first, begin), (end, last)]
    shares = [((a - first) / (last - first), (b - first) / (last - first)) for a, b in ends]
    run = stretch[1] - stretch[0]
    return [np.array([stretch[0] + a * run, stretch[0] + b * run]) for a, b in shares if b - a > 1e-9]


def _joined(found: Iterable[Span]) -> list[Span]:
    """Join spans that overlap or meet."""
    whole: list[Span] = []
    for begin, end in sorted(found):
        if whole and begin <= whole[-1][1] + 1e-9:
            whole[-1] = (whole[-1][0], max(whole[-1][1], end))
        else:
            whole.append((begin, end))
    return whole
