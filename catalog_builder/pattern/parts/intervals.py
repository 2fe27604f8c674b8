"""Where straight lines lie along each other: spans of a length, merged, left over and cut out."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.svg.curve import Points

Span = tuple[float, float]
# A stretch at up to about 15 degrees (the sine is 0.25) from a join still lies along it.
ALONG = 0.25


def join_spans(stretches: Points, join: Join, reach_mm: float) -> list[Span]:
    """Give the spans in mm from a join's upper end over which straight stretches, shape (n, 2, 2), lie along it."""
    spans = [span for stretch in stretches if (span := _span(stretch, join, reach_mm)) is not None]
    return merged(spans)


def uncovered(covered: Iterable[Span], length_mm: float) -> list[Span]:
    """Give the spans of a length that are not covered."""
    gaps, at = [], 0.0
    for begin, end in merged(covered):
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


def covered_spans(stretch: Points, lines: Iterable[Join], reach_mm: float) -> list[Span]:
    """Give the spans in mm from a stretch's first point over which it lies along straight lines."""
    spans = [_covered(stretch, line, reach_mm) for line in lines]
    return merged(span for span in spans if span is not None)


def left_of(stretch: Points, lines: Iterable[Join], reach_mm: float) -> list[Points]:
    """Give the parts of a straight stretch, shape (2, 2), that lie along none of some lines."""
    spans = covered_spans(stretch, lines, reach_mm)
    length = float(np.hypot(*(stretch[1] - stretch[0])))
    return parts_of(stretch, uncovered(spans, length)) if spans else [stretch]


def parts_of(stretch: Points, spans: Iterable[Span]) -> list[Points]:
    """Give the parts of a straight stretch, shape (2, 2) or (2, 3), that spans in mm from its first point take."""
    run = stretch[1] - stretch[0]
    length = float(np.linalg.norm(run))
    shares = [(begin / length, end / length) for begin, end in spans]
    return [np.array([stretch[0] + a * run, stretch[0] + b * run]) for a, b in shares if b - a > 1e-9]


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


def _covered(stretch: Points, line: Join, reach_mm: float) -> Span | None:
    """Give the span of a stretch, from its first point on, that lies along a line."""
    span = _span(stretch, line, reach_mm)
    if span is None:
        return None
    first, last = ((stretch - line.points[0]) @ line.direction).tolist()
    length = float(np.hypot(*(stretch[1] - stretch[0])))
    begin, end = sorted((at - first) / (last - first) * length for at in span)
    return begin, end


def merged(spans: Iterable[Span]) -> list[Span]:
    """Join spans that overlap or meet."""
    merged: list[Span] = []
    for begin, end in sorted(spans):
        if merged and begin <= merged[-1][1] + 1e-9:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((begin, end))
    return merged
