"""The ends of open lines: joined where they nearly meet the next line, cut off where they run on, or named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, STRtree

from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.svg.curve import Points

# Crossing points are rounded to this grid, in mm, so that faces that share a corner share it to the last digit.
GRID = 1e-5
# A line that runs on over the one that it should end on is cut off there, if by no more than so many times the snap.
OVERRUN_SNAPS = 10
_MAY_BE_WIRE = 'if it is a wire soldered onto the glass, mark it data-mark="wire"'


@dataclass(frozen=True, slots=True)
class Line:
    """An open line of the drawing, flattened, with the line number of the file where it stands."""

    points: Points
    line: int


def loose_lines(
    loose: NDArray[np.object_],
    lines: Sequence[Line],
    overruns: Mapping[Point, float],
    flaws: Sequence[Flaw],
    snap: float,
) -> Iterator[Flaw]:
    """Find lines with the same field on both sides. One that is loose only because of a flaw is left out."""
    if not (shapely.length(loose) > snap).any():
        return
    chains = shapely.get_parts(shapely.union_all(shapely.buffer(loose, snap / 100)))
    ends = STRtree([Point(flaw.at) for flaw in flaws])
    explained = set(ends.query(chains, predicate="dwithin", distance=snap)[0].tolist())
    tree, strings = STRtree(loose), [LineString(line.points) for line in lines]
    for number, chain in enumerate(chains):
        parts = loose[tree.query(chain, predicate="intersects")]
        length = shapely.length(parts).sum()
        cut_off = any(length <= over + snap and chain.intersects(end) for end, over in overruns.items())
        if number in explained or length <= snap or cut_off:
            continue
        longest = parts[shapely.length(parts).argmax()]
        middle = longest.interpolate(0.5, normalized=True)
        yield Flaw(
            f"a line {longest.length:.1f} mm long parts nothing: glass lies on both sides of it",
            f"lead it on to the next line; {_MAY_BE_WIRE}, or delete it",
            (middle.x, middle.y),
            lines[int(shapely.distance(middle, strings).argmin())].line,
        )


def join_line_ends(
    lines: Sequence[Line], strings: Sequence[LineString], borders: Sequence[LineString], snap: float
) -> tuple[list[LineString], dict[Point, float], list[Flaw]]:
    """Join line ends that miss the next line by up to ``snap``, and find those that meet nothing.

    Gives the joins, and the ends that run over the line that they should end on by up to ``OVERRUN_SNAPS``, with the
    length by which they do: that parts nothing.
    """
    targets = [*strings, *borders]
    tree = STRtree(targets)
    joins: list[LineString] = []
    overruns: dict[Point, float] = {}
    flaws: list[Flaw] = []
    for index, line in enumerate(lines):
        if np.hypot(*(line.points[0] - line.points[-1])) <= snap and len(line.points) > 3:
            joins.append(LineString([line.points[0], line.points[-1]]))
            continue
        for end in (0, -1):
            point = Point(line.points[end])
            near = [other for other in tree.query(point, predicate="dwithin", distance=20 * snap) if other != index]
            gap, nearest = min(((targets[other].distance(point), other) for other in near), default=(np.inf, -1))
            if gap <= snap:
                if gap > 0:
                    joins.append(LineString([point, shapely.shortest_line(point, targets[nearest]).coords[-1]]))
            elif not _ends_on_itself(line.points, end, snap):
                string = LineString(line.points[::-1] if end == 0 else line.points)
                others = [targets[other] for other in tree.query(string, predicate="intersects") if other != index]
                over, crossing = _overrun(string, others, snap)
                ahead = _gap_ahead(point, [targets[other] for other in near], over, crossing)
                if over <= min(OVERRUN_SNAPS * snap, ahead):
                    overruns[point] = over
                else:
                    flaws.append(_open_end(line, point, ahead, over, crossing, snap))
    return joins, overruns, flaws


def _gap_ahead(end: Point, near: Sequence[LineString], over: float, crossing: Point | None) -> float:
    """Give how far an end is from the next line, besides the stretch that it has run ``over``."""
    if crossing is not None:
        near = [line.difference(crossing.buffer(3 * over)) if line.dwithin(crossing, GRID) else line for line in near]
    return min((line.distance(end) for line in near if not line.is_empty), default=np.inf)


def _overrun(string: LineString, crossed: Sequence[LineString], snap: float) -> tuple[float, Point | None]:
    """Give how far a line runs on over the last of the lines that it crosses, and where it crosses that."""
    meetings = shapely.get_parts(shapely.intersection(string, shapely.union_all(crossed)))
    places = [string.project(part.centroid) for part in meetings]
    along = max((place for place in places if place > snap), default=None)
    return (np.inf, None) if along is None else (string.length - along, string.interpolate(along))


def _open_end(line: Line, end: Point, ahead: float, over: float, crossing: Point | None, snap: float) -> Flaw:
    """Word an end that meets no line: it misses the next one, or runs on over a crossing, or lies in the open."""
    lead_on = "lead the line on to the next one"
    if crossing is not None and over <= ahead:
        wrong = f"a line runs {over:.1f} mm over the line that it crosses, and meets no other"
        mend = f"{lead_on}, or end it at the crossing (up to {OVERRUN_SNAPS * snap:g} mm over it are cut off)"
        return Flaw(wrong, mend, (crossing.x, crossing.y), line.line)
    missed = f"it misses the next one by {ahead:.2f} mm" if ahead < np.inf else "nothing is near it"
    mend = f"{lead_on} (ends that miss by up to {snap:g} mm are joined)"
    if ahead == np.inf:
        mend = f"{lead_on}; {_MAY_BE_WIRE}"
    return Flaw(f"the end of a line meets no other line: {missed}", mend, (end.x, end.y), line.line)


def _ends_on_itself(points: Points, end: int, snap: float) -> bool:
    rest = points[:-2] if end == -1 else points[2:]
    return len(rest) > 1 and bool(LineString(rest).distance(Point(points[end])) <= snap)
