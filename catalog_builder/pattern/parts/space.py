"""Copies in space put together: which of their edges are seams there, and which are left open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely import LineString

from catalog_builder.mistake import Mistakes
from catalog_builder.pattern.parts.copies import Copy
from catalog_builder.pattern.parts.corner import Corner, corner_at
from catalog_builder.pattern.parts.intervals import (
    Span,
    join_spans,
    join_stretches,
    left_of,
    merged,
    parts_of,
    total_mm,
    uncovered,
)
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.parts.joining import SEAT_MM
from catalog_builder.pattern.parts.meeting import JoinGap, Run, gaps_between, meet, straight_runs
from catalog_builder.pattern.parts.placing import UPRIGHT, Placing
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.sizes import WIRE_REACH_MM, Sized
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.records.product import Product

# A join lies on an edge over this share of its length.
SEATED = 0.95
# No soldered stretch is shorter than this; digits are less exact.
LEAST_MM = 0.01
# Stretches of one edge lie this near to the straight run that they were joined to.
RUN_MM = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Space:
    """What comes of copies that are put together in space.

    ``edges`` are those of each drawing, without rims that meet another copy everywhere; ``standing`` gives for each
    its places, what is left open at each of them, and the lines along which it meets others. ``tacks`` has shape
    (k, 3).
    """

    edges: Mapping[str, Edges]
    standing: Mapping[str, tuple[tuple[Placing, ...], tuple[Points, ...], Points]]
    corners: tuple[Corner, ...]
    tacks: Points
    gaps: tuple[JoinGap, ...]


def set_in_space(
    product: Product, sized: Sized, copies: Sequence[Copy], edges: Mapping[str, Edges], snap_mm: float
) -> Space:
    """Find the seams between copies: along their joins, and wherever else their straight edges meet.

    Raises:
        MistakeError: a join lies on no edge of the glass, seam or wire.
    """
    if len(copies) == 1:
        alone = (UPRIGHT,), (edges[""].rims,), np.empty((0, 2, 2))
        return Space(edges, {"": alone}, (), np.empty((0, 3)), ())
    patterns = sized.patterns
    glass_by_name = {name: pattern.glass for name, pattern in patterns.items()}
    glass = [glass_by_name[copy.name] for copy in copies]
    for shape in glass_by_name.values():
        shapely.prepare(shape)
    joints = _joined_on(product, sized, copies, edges)
    open_rims = [
        [left_of(rim, joint.lines, SEAT_MM) for rim in edges[copy.name].rims]
        for copy, joint in zip(copies, joints, strict=True)
    ]
    runs = [
        Run(number, copy.place.points(run))
        for number, copy in enumerate(copies)
        for run in straight_runs(_stretches(open_rims[number]))
    ]
    meet(runs, snap_mm)
    for run in runs:
        place = copies[run.copy].place
        joints[run.copy].met.extend(Join(place.flat(points), None, 0) for points in run.met)
    seams = [points for joint in joints for points in joint.seams]
    met = [points for run in runs for points in run.corners]
    tacks = [points for joint in joints for points in joint.tacks] + [points for run in runs for points in run.shared]
    return Space(
        edges={name: _left_edges(name, copies, edges[name], open_rims, joints) for name in patterns},
        standing={name: _standing(name, copies, open_rims, joints) for name in patterns},
        corners=(
            *(corner_at(points, copies, glass) for points in (*seams, *met)),
            *(corner_at(points, copies, glass, counted=False) for joint in joints for points in joint.on_seams),
        ),
        tacks=np.concatenate([np.empty((0, 3)), *tacks]),
        gaps=tuple(gaps_between(runs, snap_mm)),
    )


@dataclass(slots=True, eq=False)
class _Joints:
    """What is joined on at a copy.

    ``lines`` are its joins and ``met`` the stretches that meet others, in its own plane; ``seams`` and ``tacks`` are
    in space, and ``on_seams`` the stretches of joins that lie on a seam of its own; ``ends`` are the ends of joins that
    lie on a rim or a wire, in its own plane.
    """

    lines: list[Join] = field(default_factory=list)
    met: list[Join] = field(default_factory=list)
    seams: list[Points] = field(default_factory=list)
    on_seams: list[Points] = field(default_factory=list)
    tacks: list[Points] = field(default_factory=list)
    ends: list[Points] = field(default_factory=list)

    @property
    def all_lines(self) -> list[Points]:
        """All lines along which it meets others, each once, in its own plane."""
        return [line.points for line in (*dict.fromkeys(self.lines), *self.met)]


def _joined_on(product: Product, sized: Sized, copies: Sequence[Copy], edges: Mapping[str, Edges]) -> list[_Joints]:
    """Take every join of every copy: the seam that it makes where there is none yet, and what it covers.

    Raises:
        MistakeError: a join lies on no edge of the glass, seam or wire.
    """
    mistakes = Mistakes()
    joints = [_Joints() for _ in copies]
    for number, copy in enumerate(copies):
        own, pattern, joint = edges[copy.name], sized.patterns[copy.name], joints[number]
        if copy.own is not None:
            joint.lines.append(copy.own)
            if total_mm(join_spans(own.rims, copy.own, SEAT_MM)) < SEATED * copy.own.length_mm:
                _add_unseated(mistakes, product, copy.name, copy.own, pattern, "an edge of the part's glass")
        joined, widened = [own.seams], [np.empty((0, 2, 2))]
        for line in _lines_on(number, copies):
            on_seams = join_spans(np.concatenate(joined), line, SEAT_MM)
            on_rims, on_wire = join_spans(own.rims, line, SEAT_MM), _lies_on_wire(line, pattern)
            open_mm = 0.0 if on_wire else total_mm(uncovered((*on_seams, *on_rims), line.length_mm))
            if open_mm > (1 - SEATED) * line.length_mm and not line.mirrored:
                where = "an edge of the glass, a seam or a wire"
                _add_unseated(mistakes, product, copy.name, line, pattern, where)
            # Where the drawing has a seam already, or another join, that is counted and this is not.
            stretches = join_stretches(_seen(uncovered(on_seams, line.length_mm)), line)
            joined.append(stretches)
            joint.seams.extend(copy.place.points(stretch) for stretch in stretches)
            before = uncovered(join_spans(np.concatenate(widened), line, SEAT_MM), line.length_mm)
            widened.append(join_stretches(_seen(_both(before, join_spans(own.seams, line, SEAT_MM))), line))
            joint.on_seams.extend(copy.place.points(stretch) for stretch in widened[-1])
            joint.lines.append(line)
            if on_rims or on_wire:
                joint.ends.append(line.points)
        # Each copy is tacked at both ends of its join before its seam is run.
        joint.tacks.extend(copy.place.points(each.line.points) for each in copies if each.on == number and each.line)
    mistakes.raise_if_any()
    return joints


def _seen(spans: Iterable[Span]) -> list[Span]:
    """Leave out what is no longer than digits are exact."""
    return [(begin, end) for begin, end in spans if end - begin > LEAST_MM]


def _both(first: Sequence[Span], second: Sequence[Span]) -> list[Span]:
    """Give the spans that two lists of spans have in common."""
    common = [(max(a, c), min(b, d)) for a, b in first for c, d in second]
    return [(begin, end) for begin, end in common if end > begin]


def _lines_on(number: int, copies: Sequence[Copy]) -> list[Join]:
    """Give the lines of a copy on which others sit, each once."""
    return list(dict.fromkeys(copy.line for copy in copies if copy.on == number and copy.line is not None))


def _stretches(parts: Iterable[Sequence[Points]]) -> Points:
    return np.array([stretch for rim in parts for stretch in rim]).reshape(-1, 2, 2)


def _left_open(open_rims: Sequence[Sequence[Points]], joint: _Joints) -> list[list[Points]]:
    """Give for each rim of a copy what neither a join nor another copy's edge covers."""
    if not joint.met:
        return [list(parts) for parts in open_rims]
    return [[rest for part in parts for rest in left_of(part, joint.met, RUN_MM)] for parts in open_rims]


def _standing(
    name: str, copies: Sequence[Copy], open_rims: Sequence[list[list[Points]]], joints: Sequence[_Joints]
) -> tuple[tuple[Placing, ...], tuple[Points, ...], Points]:
    numbers = [number for number, copy in enumerate(copies) if copy.name == name]
    rims = tuple(_stretches(_left_open(open_rims[number], joints[number])) for number in numbers)
    lines = {tuple(line.round(6).reshape(-1).tolist()): line for number in numbers for line in joints[number].all_lines}
    joined = np.array(list(lines.values())).reshape(-1, 2, 2)
    return tuple(copies[number].place for number in numbers), rims, joined


def _left_edges(
    name: str,
    copies: Sequence[Copy],
    edges: Edges,
    open_rims: Sequence[list[list[Points]]],
    joints: Sequence[_Joints],
) -> Edges:
    """Give a drawing's edges less the rims that nothing leaves open at any copy, and with the ends of its corners."""
    numbers = [number for number, copy in enumerate(copies) if copy.name == name]
    left = [_left_open(open_rims[number], joints[number]) for number in numbers]
    rims: list[Points] = []
    owners: list[int] = []
    for index, (rim, owner) in enumerate(zip(edges.rims, edges.rim_owners.tolist(), strict=True)):
        parts = [part for copy_rims in left for part in copy_rims[index]]
        if len(numbers) > 1:
            length = float(np.hypot(*(rim[1] - rim[0])))
            spans = [tuple(np.hypot(*(part - rim[0]).T).tolist()) for part in parts]
            parts = [rim] if _is_whole(spans, length) else parts_of(rim, merged(spans))
        rims.extend(parts)
        owners.extend([owner] * len(parts))
    ends = [points for number in numbers for points in joints[number].ends]
    ends += [line.points for number in numbers for line in joints[number].met]
    return replace(
        edges,
        rims=np.array(rims).reshape(-1, 2, 2),
        rim_owners=np.array(owners, dtype=np.int64),
        seam_ends=np.concatenate([edges.seam_ends, *ends]),
    )


def _is_whole(spans: Sequence[Span], length_mm: float) -> bool:
    return total_mm(merged(spans)) > length_mm - 1e-6


def _lies_on_wire(join: Join, pattern: Pattern) -> bool:
    line = LineString(join.points)
    reach = shapely.union_all([wire.line.buffer(WIRE_REACH_MM) for wire in pattern.wires])
    return bool(line.intersection(reach).length >= SEATED * line.length)


def _add_unseated(mistakes: Mistakes, product: Product, name: str, join: Join, pattern: Pattern, where: str) -> None:
    x, y = (join.middle / pattern.scale).tolist()
    mistakes.add(
        product.place_of(join.row, name),
        wrong=f"the join at x {x:.1f}, y {y:.1f} of the drawing does not lie along {where}",
        expected=f"a straight join along {where}, over its whole length",
        mend="move its ends onto the two ends of the edge that is joined, or make that edge straight",
        spot=(x, y),
    )
