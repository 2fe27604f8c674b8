"""A drawing unfolded: every mark flattened at the finished size, and its mirror image beside it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from shapely import LineString, Point

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.crossings import is_crowded
from catalog_builder.pattern.faces import Outline
from catalog_builder.pattern.fill_rule import polygons_of
from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.line_ends import Line
from catalog_builder.pattern.parts.join import Join, read_join
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.pattern.svg.mark import Mark

# Two marks nearer than this are one, drawn on the fold.
SAME_MM = 0.1
# Limits far beyond any pattern, so that a slip or a traced photograph ends in a message, not in a full memory.
MOST_MM = 20_000.0
MOST_POINTS = 400_000
MOST_MARKS = 5_000
_SIMPLIFY = "simplify it; trace pictures by hand, not with an automatic tracer"
# Each mark with its runs as points in mm.
FlatMarks: TypeAlias = list[tuple[Mark, list[Points]]]
_FOLD = "one straight fold line, and the design on one side of it"


@dataclass(frozen=True, slots=True)
class Wire:
    """A soldered-on wire in mm; ``material`` where the drawing names one, ``row`` the line of the file."""

    line: LineString
    material: str | None
    row: int


@dataclass(frozen=True, slots=True)
class Ring:
    """The place of a hanging ring in mm, and the line of the file."""

    x: float
    y: float
    row: int


@dataclass(frozen=True, slots=True)
class PointMark:
    """A mark of which only the place counts (label, grain arrow, open field), in mm."""

    at: Point
    mark: Mark
    mirrored: bool


@dataclass(frozen=True, slots=True)
class Unfolded:
    """All marks of a drawing in mm at the finished size, on both sides of the fold if there is one.

    ``side`` is below zero where the half on the fold's left is drawn, above it for its right.
    """

    outlines: tuple[Outline, ...]
    lines: tuple[Line, ...]
    point_marks: tuple[PointMark, ...]
    wires: tuple[Wire, ...]
    rings: tuple[Ring, ...]
    fold: Fold | None
    joins: tuple[Join, ...]
    flaws: tuple[Flaw, ...]
    side: float = 0.0

    def is_drawn(self, at: tuple[float, float]) -> bool:
        """Whether a point lies in the half that is drawn, or on the fold; everywhere where there is no fold."""
        return self.fold is None or float(self.fold.side(np.array([at]))[0]) * self.side >= -SAME_MM * abs(self.side)


def unfold(drawing: Drawing, scale: float, tolerance_mm: float, snap_mm: float) -> Unfolded:
    """Flatten every mark at ``scale`` and mirror it across the fold."""
    flattened = _flattened(drawing, scale, tolerance_mm)
    fold, flaws = _read_fold(flattened, snap_mm)
    sides = (False, True) if fold is not None else (False,)
    half = _HalfDrawing(fold, snap_mm, scale)
    outlines: list[Outline] = []
    lines, point_marks = [], []
    wires: list[Wire] = []
    rings: list[Ring] = []
    for mark, runs in flattened:
        for mirrored in sides:
            if mark.kind == "outline":
                polygons, crossing = polygons_of([half.on_side(run, mirrored) for run in runs], mark.even_odd, snap_mm)
                outlines.extend(Outline(polygon, mark, mirrored) for polygon in polygons)
                if crossing is not None and not mirrored:
                    mend = "draw it so that it runs round one piece, without crossing itself"
                    flaws.append(Flaw("an outline crosses itself or encloses nothing", mend, crossing, mark.line))
            elif mark.kind == "line" and len(runs[0]) > 1:
                lines.append(Line(half.snapped_on_side(runs[0], mirrored), mark.line))
            elif mark.kind == "wire" and len(runs[0]) > 1:
                line = LineString(half.snapped_on_side(runs[0], mirrored))
                if not any(_same_line(line, wire.line) for wire in wires):
                    wires.append(Wire(line, mark.material, mark.line))
            elif mark.kind in ("ring", "label", "open", "grain"):
                x, y = half.mark_point(mark, runs, mirrored)
                if mark.kind != "ring":
                    point_marks.append(PointMark(Point(x, y), mark, mirrored))
                elif not any(np.hypot(x - ring.x, y - ring.y) < SAME_MM for ring in rings):
                    rings.append(Ring(x, y, mark.line))
    joins, bent = _read_joins(fold, flattened, snap_mm)
    flaws.extend((*bent, *_drawn_on_both_sides(fold, flattened, snap_mm)))
    rings.sort(key=lambda ring: (ring.x, ring.y))
    edges = [run for mark, runs in flattened if mark.kind in ("outline", "line") for run in runs]
    side = float(sum(fold.side(run).sum() for run in edges)) if fold is not None else 0.0
    marks = tuple(outlines), tuple(lines), tuple(point_marks), tuple(wires), tuple(rings)
    return Unfolded(*marks, fold, tuple(joins), tuple(flaws), side)


def _flattened(drawing: Drawing, scale: float, tolerance_mm: float) -> FlatMarks:
    """Flatten every mark.

    Raises:
        MistakeError: a mark lies too far away, or all of them have too many points to be a pattern.
    """
    flattened, count, shapes = [], 0, 0
    for mark in drawing.marks:
        corners = [*(run.reach for run in mark.runs), *(abs(part) for part in mark.at or ())]
        if corners and not max(corners) * scale <= MOST_MM:
            wrong = f"the shape reaches more than {MOST_MM / 1000:g} m from the drawing's corner"
            raise _too_large(drawing, mark, wrong, "check its coordinates, and the width and viewBox of the drawing")
        flattened.append((mark, [run.flat(tolerance_mm / scale) * scale for run in mark.runs]))
        count += sum(len(run) for run in flattened[-1][1])
        shapes += max(1, len(mark.runs))
        if count > MOST_POINTS or shapes > MOST_MARKS:
            what = f"{MOST_POINTS} points" if count > MOST_POINTS else f"{MOST_MARKS} marks"
            wrong = f"up to here the drawing has more than {what}"
            raise _too_large(drawing, mark, wrong, _SIMPLIFY)
    if is_crowded([run for mark, runs in flattened for run in runs]):
        raise _too_large(drawing, flattened[-1][0], "up to here the drawing's lines cross too often", _SIMPLIFY)
    return flattened


def _too_large(drawing: Drawing, mark: Mark, wrong: str, mend: str) -> MistakeError:
    expected = "a pattern drawn by hand, of a size that can hang"
    return MistakeError.at(drawing.place(mark.line), wrong=wrong, expected=expected, mend=mend)


@dataclass(frozen=True, slots=True)
class _HalfDrawing:
    """Gives the marks of a half as drawn, or mirrored for the other side."""

    fold: Fold | None
    snap: float
    scale: float

    def on_side(self, points: Points, mirrored: bool) -> Points:
        """Give points as they are drawn, or mirrored for the other side."""
        return self.fold.mirrored(points) if mirrored and self.fold is not None else points

    def snapped_on_side(self, points: Points, mirrored: bool) -> Points:
        """Move the ends of a line onto the fold where they nearly meet it, and mirror the line for the other side."""
        return self.on_side(self.fold.snapped(points, self.snap) if self.fold is not None else points, mirrored)

    def mark_point(self, mark: Mark, runs: list[Points], mirrored: bool) -> tuple[float, float]:
        """Give the point of a mark: its own, or the middle of its box."""
        if mark.at is not None:
            point = np.array([mark.at]) * self.scale
        else:
            point = (runs[0].min(axis=0) + runs[0].max(axis=0))[None, :] / 2
        x, y = self.on_side(point, mirrored)[0].tolist()
        return x, y


def _same_line(line: LineString, other: LineString) -> bool:
    return bool(line.equals_exact(other, 0.01) or line.reverse().equals_exact(other, 0.01))


def _read_fold(flattened: FlatMarks, snap: float) -> tuple[Fold | None, list[Flaw]]:
    folds = [(mark, runs[0]) for mark, runs in flattened if mark.kind == "fold"]
    if not folds:
        return None, []
    mark, points = folds[0]
    if len(points) < 2 or float(np.hypot(*(points[-1] - points[0]))) < snap:
        at = (float(points[0][0]), float(points[0][1]))
        return None, [Flaw("the fold line has no length", "draw it along the whole design", at, mark.line, _FOLD)]
    if len(folds) > 1:
        other, begins = folds[1][0], folds[1][1][0]
        at = (float(begins[0]), float(begins[1]))
        return Fold.through(points), [Flaw("there are two fold lines", "keep one", at, other.line, _FOLD)]
    return Fold.through(points), []


def _read_joins(fold: Fold | None, flattened: FlatMarks, snap: float) -> tuple[list[Join], list[Flaw]]:
    """Give the joins on both sides of the fold; one that lies along the fold is one."""
    joins: list[Join] = []
    flaws: list[Flaw] = []
    for mark, runs in flattened:
        for run in runs if mark.kind == "join" else []:
            join = read_join(run, mark.part, mark.line, snap)
            if isinstance(join, Flaw):
                flaws.append(join)
                continue
            joins.append(join)
            if fold is not None and float(np.abs(fold.side(join.points)).max()) > SAME_MM:
                joins.append(replace(join, mirrored=True))
    return joins, flaws


def _drawn_on_both_sides(fold: Fold | None, flattened: FlatMarks, snap: float) -> Iterator[Flaw]:
    """Find a drawing on both sides of its fold: its pieces and their mirror images would overlap."""
    if fold is None:
        return
    farthest: dict[bool, tuple[float, float, float, Mark]] = {}
    for mark, runs in flattened:
        for run in runs if mark.kind in ("outline", "line") else []:
            off = fold.side(run)
            for over, index in ((True, int(off.argmax())), (False, int(off.argmin()))):
                reach = abs(float(off[index])) if (off[index] > 0) == over else 0.0
                if reach > 3 * snap and reach > farthest.get(over, (0.0,))[0]:
                    farthest[over] = (reach, float(run[index][0]), float(run[index][1]), mark)
    if len(farthest) == 2:
        _, x, y, mark = min(farthest.values(), key=lambda side: side[0])
        mend = "draw half of the design on one side of the fold line, or take the fold line out"
        yield Flaw("the drawing lies on both sides of its fold line", mend, (x, y), mark.line, _FOLD)
