"""Straight edges of different copies that meet in space, whole or in part, and those that nearly do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from catalog_builder.pattern.parts.intervals import Span, merged, parts_of, total_mm, uncovered
from catalog_builder.pattern.svg.curve import Points

# Flat parts meet along straight lines alone; a shorter stretch is a chord of a curve, or nothing to solder.
LEAST_MM = 2.0
# Points within this of a straight line lie on it.
STRAIGHT_MM = 0.02
# Open edges that run beside each other this near, or part by this share of their length, were meant to meet.
NEAR_MM, NEAR_SHARE = 6.0, 0.15
# Such edges are longer than this, and beside each other over this share of the shorter.
LEAST_NEAR_MM, BESIDE = 10.0, 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """A straight run of a copy's open edge in space, shape (2, 3); ``copy`` is the number of the copy.

    ``before`` and ``after`` are the spans in mm from its first point where runs of a smaller and of a larger number
    lie along it.
    """

    copy: int
    points: Points
    before: list[Span] = field(default_factory=list)
    after: list[Span] = field(default_factory=list)

    @property
    def length_mm(self) -> float:
        """How long it is."""
        return float(np.linalg.norm(self.points[1] - self.points[0]))

    @property
    def met(self) -> list[Points]:
        """The parts of it that other runs lie along, each of shape (2, 3)."""
        return parts_of(self.points, merged([*self.before, *self.after]))

    @property
    def corners(self) -> list[Points]:
        """The parts of it that no run of a smaller number has: each corner once, cut where the edges in it change."""
        return parts_of(self.points, self._own_spans())

    @property
    def shared(self) -> list[Points]:
        """The same, whole."""
        return parts_of(self.points, merged(self._own_spans()))

    def _own_spans(self) -> list[Span]:
        ends = sorted({end for span in (*self.before, *self.after) for end in span})
        taken = merged(self.before)
        spans = [(max(begin, low), min(end, high)) for begin, end in merged(self.after) for low, high in pairwise(ends)]
        return [
            (begin, end)
            for begin, end in spans
            if end > begin and not any(low <= (begin + end) / 2 <= high for low, high in taken)
        ]


@dataclass(frozen=True, slots=True, eq=False)
class JoinGap:
    """Two open edges that nearly meet: the numbers of their copies, how far apart they are at most, and where."""

    copies: tuple[int, int]
    apart_mm: float
    at: Points


def straight_runs(stretches: Points) -> list[Points]:
    """Join straight stretches of shape (n, 2, 2) to runs as long as they go straight on, each of shape (2, 2)."""
    if not len(stretches):
        return []
    lines = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(list(stretches))))
    runs: list[Points] = []
    for line in lines:
        points = shapely.get_coordinates(line)
        if len(points) > 2 and np.allclose(points[0], points[-1]):
            first = int(np.hypot(*(points - points.mean(axis=0)).T).argmax())
            points = np.concatenate([points[first:], points[1 : first + 1]])
        corners = shapely.get_coordinates(shapely.simplify(shapely.linestrings(points), STRAIGHT_MM))
        runs.extend(corners[index : index + 2] for index in range(len(corners) - 1))
    return [run for run in runs if np.hypot(*(run[1] - run[0])) >= LEAST_MM]


def meet(runs: Sequence[Run], snap_mm: float) -> None:
    """Note on each run where runs of other copies lie along it, within ``snap_mm``."""
    for first, second in _neighbours(runs, snap_mm):
        spans = _beside(runs[first], runs[second], snap_mm, snap_mm)
        if spans is not None and spans[0][1] - spans[0][0] >= LEAST_MM:
            runs[first].after.append(_snapped(spans[0], runs[first].length_mm, snap_mm))
            runs[second].before.append(_snapped(spans[1], runs[second].length_mm, snap_mm))


def gaps_between(runs: Sequence[Run], snap_mm: float) -> Iterator[JoinGap]:
    """Find open edges that run beside each other and do not meet."""
    reach = max(NEAR_MM, snap_mm)
    for first, second in _neighbours(runs, reach):
        edge, other = runs[first], runs[second]
        spans = _beside(edge, other, reach, np.inf)
        if spans is None or not (_is_open(edge, spans[0]) and _is_open(other, spans[1])):
            continue
        ends = _distances(edge, other, spans[0])
        length = spans[0][1] - spans[0][0]
        apart = float(ends.max())
        if (
            length >= max(LEAST_NEAR_MM, BESIDE * min(edge.length_mm, other.length_mm))
            and snap_mm < apart <= max(NEAR_MM, NEAR_SHARE * length)
            and abs(ends[1] - ends[0]) <= NEAR_SHARE * length
        ):
            along = (edge.points[1] - edge.points[0]) / edge.length_mm
            yield JoinGap((edge.copy, other.copy), apart, edge.points[0] + spans[0][int(ends.argmax())] * along)


def _neighbours(runs: Sequence[Run], reach_mm: float) -> list[tuple[int, int]]:
    """Give the pairs of runs of different copies whose boxes come within a reach, the smaller number first."""
    if len(runs) < 2:
        return []
    ends = np.array([run.points for run in runs])
    copy = np.array([run.copy for run in runs])
    least, most = ends.min(axis=1) - reach_mm / 2, ends.max(axis=1) + reach_mm / 2
    boxes = shapely.box(least[:, 0], least[:, 1], most[:, 0], most[:, 1])
    first, second = shapely.STRtree(boxes).query(boxes, predicate="intersects")
    near = (first < second) & (copy[first] != copy[second])
    near &= (least[first, 2] <= most[second, 2]) & (least[second, 2] <= most[first, 2])
    pairs: NDArray[np.int64] = np.stack([first[near], second[near]], axis=1)
    return sorted((int(a), int(b)) for a, b in pairs)


def _beside(run: Run, other: Run, near_mm: float, far_mm: float) -> tuple[Span, Span] | None:
    """Give the spans of two runs over which they lie beside each other.

    None where there is none, or where the other is farther away than ``near_mm`` at the nearer end of it or than
    ``far_mm`` at the farther one.
    """
    along = (run.points[1] - run.points[0]) / run.length_mm
    first, last = ((other.points - run.points[0]) @ along).tolist()
    begin, end = max(min(first, last), 0.0), min(max(first, last), run.length_mm)
    if end - begin <= STRAIGHT_MM:
        return None
    ends = _distances(run, other, (begin, end))
    if ends.min() > near_mm or ends.max() > far_mm:
        return None
    scale = other.length_mm / (last - first)
    low, high = sorted(((begin - first) * scale, (end - first) * scale))
    return (begin, end), (low, high)


def _snapped(span: Span, length_mm: float, snap_mm: float) -> Span:
    """Let a span reach to the ends of its run where it misses them by up to ``snap_mm``."""
    begin, end = span
    return (0.0 if begin <= snap_mm else begin), (length_mm if length_mm - end <= snap_mm else end)


def _distances(run: Run, other: Run, span: Span) -> Points:
    """Give how far away the other run is at the two ends of a span of a run; shape (2,)."""
    along = (run.points[1] - run.points[0]) / run.length_mm
    first, last = (other.points - run.points[0]) @ along
    shares = (np.array(span) - first) / (last - first)
    there = other.points[0] + shares[:, None] * (other.points[1] - other.points[0])
    return np.asarray(np.linalg.norm(there - (run.points[0] + np.array(span)[:, None] * along), axis=1))


def _is_open(run: Run, span: Span) -> bool:
    """Tell whether nothing lies along most of a span."""
    covered = [(max(a, span[0]), min(b, span[1])) for a, b in (*run.before, *run.after)]
    inside = [(a - span[0], b - span[0]) for a, b in covered if b > a]
    return total_mm(uncovered(inside, span[1] - span[0])) > BESIDE * (span[1] - span[0])
