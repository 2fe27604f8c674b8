"""Where a join sits on the edges of a drawing, and the edges once it is taken off them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.svg.curve import Points

Span = tuple[float, float]
# A stretch at up to about 15 degrees (the sine is 0.25) from a join still lies along it.
ALONG = 0.25


def join_spans(stretches: Points, join: Join, reach_mm: float) -> list[Span]:
    """Give the spans in mm from a join's upper end over which straight stretches, shape (n, 2, 2), lie along it."""
    spans = [span for stretch in stretches if (span := _span(stretch, join, reach_mm)) is not None]
    return _merged(spans)


def uncovered(covered: Iterable[Span], length_mm: float) -> list[Span]:
    """Give the spans of a length that are not covered."""
    gaps, at = [], 0.0
    for begin, end in _merged(covered):
        if begin > at:
            gaps.append((at, begin))
        at = max(at, end)
    return [*gaps, (at, length_mm)] if at < length_mm else gaps


def total_mm(spans: Iterable[Span]) -> float:
    """Add up the lengths of spans that do not overlap."""
    return sum(end - begin for begin, end in spans)


def join_stretches(spans: Iterable[Span], join: Join) -> Points:
    """Give spans along a join as stretches of shape (n, 2, 2)."""
    along = np.array(list(spans)).reshape(-1, 2, 1)
    return np.asarray(join.points[0] + along * join.direction)


def without_joined_rims(edges: Edges, join: Join, reach_mm: float) -> Edges:
    """Give edges less the rims that lie along a join: what is joined on there makes them a seam."""
    rims: list[Points] = []
    owners: list[int] = []
    for rim, owner in zip(edges.rims, edges.rim_owners.tolist(), strict=True):
        for rest in _outside(rim, join, reach_mm):
            rims.append(rest)
            owners.append(owner)
    return replace(edges, rims=np.array(rims).reshape(-1, 2, 2), rim_owners=np.array(owners, dtype=np.int64))


def _span(stretch: Points, join: Join, reach_mm: float) -> Span | None:
    """Give the span of a join that a stretch lies along, from its upper end on."""
    direction = join.direction
    away = stretch - join.points[0]
    off = away[:, 1] * direction[0] - away[:, 0] * direction[1]
    length = float(np.hypot(*(stretch[1] - stretch[0])))
    # A short stretch that only crosses the join, or bends away at its end, does not lie along it.
    if float(np.abs(off).max()) > reach_mm or abs(off[1] - off[0]) > ALONG * length:
        return None
    begin, end = sorted((away @ direction).tolist())
    begin, end = max(begin, 0.0), min(end, join.length_mm)
    return (begin, end) if end > begin else None


def _outside(stretch: Points, join: Join, reach_mm: float) -> list[Points]:
    """Give the parts of a stretch beyond the ends of a join, or all of a stretch that does not lie along it."""
    span = _span(stretch, join, reach_mm)
    if span is None:
        return [stretch]
    first, last = ((stretch - join.points[0]) @ join.direction).tolist()
    begin, end = span if first < last else span[::-1]
    ends = [(first, begin), (end, last)]
    shares = [((a - first) / (last - first), (b - first) / (last - first)) for a, b in ends]
    run = stretch[1] - stretch[0]
    return [np.array([stretch[0] + a * run, stretch[0] + b * run]) for a, b in shares if b - a > 1e-9]


def _merged(spans: Iterable[Span]) -> list[Span]:
    """Join spans that overlap or meet."""
    merged: list[Span] = []
    for begin, end in sorted(spans):
        if merged and begin <= merged[-1][1] + 1e-9:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((begin, end))
    return merged
