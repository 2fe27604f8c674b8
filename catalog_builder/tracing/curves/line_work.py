"""Line work: from the lines of the pen to smooth curves that meet in junctions and on the fold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from catalog_builder.tracing.arrays import Mask, Points, length
from catalog_builder.tracing.curves.corner_tip import Ink, corner_tip
from catalog_builder.tracing.curves.inked_junctions import Arm, arm_of, led_along, redrawn
from catalog_builder.tracing.curves.junctions import LED_ON_MM, EndCurve, end_curve, meeting_point, point_on_fold
from catalog_builder.tracing.curves.pen_middle import STEP_MM, PenLine
from catalog_builder.tracing.curves.sharp_turns import sharp_turns
from catalog_builder.tracing.curves.smooth_curves import between, smooth_curves

# Junctions nearer to each other than this share of the pen's width are one.
_ONE_JUNCTION = 0.45
# On the fold, where two halves meet, they may lie further apart.
_ONE_BLOT = 0.8
# A blot in which many lines come together is up to so many pens across from line to line, and up to so many deep; they
# meet where each passes so near, in pens.
_BLOT, _DEEP, _IN_HUB = 5.0, 8.0, 0.45


@dataclass(frozen=True, slots=True)
class Stretch:
    """A line in mm between two nodes, without a corner in it; ``loop``: a closed line without any corner."""

    begin: int
    end: int
    points: Points
    clean: Mask
    loop: bool = False

    @property
    def is_drawn(self) -> bool:
        """Whether there is clean ink along any of it."""
        return bool(self.clean.any())


@dataclass(frozen=True, slots=True)
class FoldNodes:
    """The junctions on a fold that is upright at ``x``, in mm, with their places at first.

    ``drawn`` has the pairs of them between which a line is drawn along the fold.
    """

    x: float = 0.0
    places: Mapping[int, Points] = field(default_factory=dict)
    drawn: tuple[tuple[int, int], ...] = ()


def line_work(lines: Sequence[PenLine], fold: FoldNodes, pen_mm: float, ink: Ink) -> list[list[Points]]:
    """Give the curves of each stretch of line, a list of arrays (4, 2) in mm."""
    stretches, places = _stretches(lines, pen_mm)
    usual = float(np.median(np.concatenate([line.wide for line in lines])))
    exact = _exact_places(stretches, {**fold.places, **places}, fold, pen_mm)
    exact |= _tips(stretches, places, exact, ink, usual)
    kept, exact = _merged(stretches, fold, exact, pen_mm)
    kept, exact = _redrawn(kept, exact, set(fold.places), ink, usual)
    curves = [smooth_curves(each.points, each.clean, exact[each.begin], exact[each.end]) for each in kept]
    along_fold = ((exact[begin], exact[end]) for begin, end in fold.drawn)
    return [*curves, *([np.linspace(begin, end, 4)] for begin, end in along_fold if length(end - begin) > 0)]


def _stretches(lines: Sequence[PenLine], pen_mm: float) -> tuple[list[Stretch], dict[int, Points]]:
    """Cut lines at their corners; nodes at corners count below zero."""
    places: dict[int, Points] = {}
    stretches = []
    for line in lines:
        points, clean = line.points, line.clean
        corners = sharp_turns(points, closed=line.closed, step_mm=STEP_MM, pen_mm=pen_mm)
        if line.begin is None or line.end is None:
            shift = corners[0] if corners else 0
            points = np.roll(points, -shift, axis=0)
            clean = np.roll(clean, -shift)
            points, clean = np.vstack([points, points[:1]]), np.append(clean, clean[0])
            inner = [corner - shift for corner in corners[1:]]
            begin = end = -len(places) - 1
        else:
            begin, end, inner = line.begin, line.end, corners
        places.setdefault(begin, points[0])
        places.setdefault(end, points[-1])
        nodes = [begin]
        for corner in inner:
            nodes.append(-len(places) - 1)
            places[nodes[-1]] = points[corner]
        nodes.append(end)
        cuts = [0, *inner, len(points) - 1]
        for index in range(len(cuts) - 1):
            part = slice(cuts[index], cuts[index + 1] + 1)
            loop = line.closed and not corners
            stretches.append(Stretch(nodes[index], nodes[index + 1], points[part], clean[part], loop))
    return stretches, places


def _end_curves(stretches: Sequence[Stretch], pen_mm: float) -> dict[int, list[EndCurve]]:
    """Give for each node the end curves of the lines that end in it."""
    curves: dict[int, list[EndCurve]] = {}
    for each in stretches:
        for node, points, clean in (
            (each.begin, each.points, each.clean),
            (each.end, each.points[::-1], each.clean[::-1]),
        ):
            curve = end_curve(points, clean, pen_mm)
            curves.setdefault(node, []).extend([curve] if curve is not None else [])
    return curves


def _exact_places(
    stretches: Sequence[Stretch], places: Mapping[int, Points], fold: FoldNodes, pen_mm: float
) -> dict[int, Points]:
    """Give where each node lies by the end curves of the lines that meet in it."""
    curves = _end_curves(stretches, pen_mm)
    loops = {each.begin for each in stretches if each.loop}
    exact = {}
    for node, near in places.items():
        own = curves.get(node, [])
        if node in fold.places:
            at_fold = np.array([fold.x, near[1]])
            exact[node] = point_on_fold(near, own[0], fold.x, pen_mm) if own else at_fold
        elif node in loops or len(own) < 2:
            exact[node] = near
        else:
            point = meeting_point(near, own)
            exact[node] = point if length(point - near) < max(3 * pen_mm, 3.0) else near
    for hub in _blots(stretches, fold, pen_mm):
        leading_in = [curve for node in hub for curve in curves.get(node, [])]
        middle = np.mean([places[node] for node in hub], axis=0)
        beyond = max(LED_ON_MM, _DEEP * pen_mm)
        point = meeting_point(middle, leading_in, beyond)
        if len(leading_in) > 3 and max(curve.misses(point, beyond) for curve in leading_in) < _IN_HUB * pen_mm:
            exact.update(dict.fromkeys(hub, point))
    return exact


def _tips(
    stretches: Sequence[Stretch], places: Mapping[int, Points], exact: Mapping[int, Points], ink: Ink, pen_mm: float
) -> dict[int, Points]:
    """Give the tips of the corners that a line has between its ends; these count below zero."""
    curves = _end_curves(stretches, pen_mm)
    corners = [node for node in places if node < 0 and len(curves.get(node, [])) == 2]
    tips = {node: corner_tip(places[node], exact[node], curves[node], ink, pen_mm) for node in corners}
    long = dict.fromkeys(corners, np.inf)
    for each in stretches:
        for node in {each.begin, each.end} & set(corners):
            long[node] = min(long[node], len(each.points) * STEP_MM)
    return {node: tip for node, tip in tips.items() if length(tip - places[node]) < min(3 * pen_mm, long[node] / 2)}


def _blots(stretches: Sequence[Stretch], fold: FoldNodes, pen_mm: float) -> list[list[int]]:
    """Give the groups of nodes that one blot of ink joins, as where many lines come together."""
    joined: dict[int, set[int]] = {}
    for each in stretches:
        ends = {each.begin, each.end}
        short = len(each.points) * STEP_MM < _BLOT * pen_mm
        if len(ends) == 2 and short and not each.is_drawn and not ends & set(fold.places):
            group = set().union(ends, *(joined.get(end, set()) for end in ends))
            joined.update(dict.fromkeys(group, group))
    return [sorted(group) for group in {id(group): group for group in joined.values()}.values()]


def _merged(
    stretches: Sequence[Stretch], fold: FoldNodes, exact: dict[int, Points], pen_mm: float
) -> tuple[list[Stretch], dict[int, Points]]:
    """Make one node of two that are joined by a stretch shorter than the pen is wide."""
    leads_to = {node: node for node in exact}
    on_fold = set(fold.places)

    def root(node: int) -> int:
        while leads_to[node] != node:
            node = leads_to[node]
        return node

    for first, second in pairwise(sorted(on_fold, key=lambda node: float(exact[node][1]))):
        # Lines that end on the fold in one blot of ink meet there.
        if exact[second][1] - exact[first][1] < _ONE_BLOT * pen_mm:
            leads_to[root(second)] = root(first)
    kept = []
    for each in stretches:
        ends = {each.begin, each.end}
        touches_fold = bool(ends & on_fold)
        if touches_fold and not ends <= on_fold and not each.is_drawn and len(each.points) * STEP_MM < 8:
            # Nothing is drawn from a corner to the fold: the corner was meant to lie on it.
            outer, inner = (each.begin, each.end) if each.begin in on_fold else (each.end, each.begin)
            leads_to[root(inner)] = root(outer)
        elif each.begin != each.end and exact[each.begin] is exact[each.end]:
            leads_to[root(each.begin)] = root(each.end)  # both in one hub
        elif not touches_fold and each.begin != each.end and _is_too_short(each, exact, pen_mm):
            leads_to[root(each.begin)] = root(each.end)
        else:
            kept.append(each)
    groups: dict[int, list[Points]] = {}
    for node, place in exact.items():
        groups.setdefault(root(node), []).append(place)
    middle = {node: np.mean(places, axis=0) for node, places in groups.items()}
    for node in on_fold:
        middle[root(node)] = np.array([fold.x, middle[root(node)][1]])
    where = {node: np.round(middle[root(node)], 3) for node in exact}
    return kept, where


def _redrawn(
    stretches: Sequence[Stretch], exact: dict[int, Points], on_fold: set[int], ink: Ink, pen_mm: float
) -> tuple[list[Stretch], dict[int, Points]]:
    """Draw the junctions again in which the pen, led along the lines, would leave other ink than is seen."""
    result = list(stretches)
    nodes: dict[tuple[float, ...], list[int]] = {}
    for node, place in exact.items():
        nodes.setdefault(tuple(place.tolist()), []).append(node)
    for own in nodes.values():
        if set(own) & on_fold:
            continue
        ends = [
            (index, backwards)
            for index, each in enumerate(result)
            for backwards, node in ((False, each.begin), (True, each.end))
            if node in own and not each.loop
        ]
        arms = [arm_of(_led_from(result[index], exact, backwards=backwards), pen_mm) for index, backwards in ends]
        drawn = redrawn(arms, ink, pen_mm)
        if drawn is None:
            continue
        exact = {**exact, **dict.fromkeys(own, np.round(drawn[0][0], 3))}
        for (index, backwards), arm, points in zip(ends, arms, drawn, strict=True):
            result[index] = _led_anew(result[index], arm, points, backwards=backwards)
    return result, exact


def _led_from(stretch: Stretch, exact: Mapping[int, Points], *, backwards: bool) -> Points:
    """Give the points of a stretch from one of its nodes on, those in clean ink alone."""
    points, clean = stretch.points[1:-1], stretch.clean[1:-1]
    kept = np.vstack(
        [exact[stretch.begin], between(points[clean], exact[stretch.begin], exact[stretch.end]), exact[stretch.end]]
    )
    return kept[::-1] if backwards else kept


def _led_anew(stretch: Stretch, arm: Arm, points: Points, *, backwards: bool) -> Stretch:
    line = led_along(arm.points, points, arm.reach, STEP_MM)
    clean = np.ones(len(line), dtype=bool)
    return replace(stretch, points=line[::-1] if backwards else line, clean=clean)


def _is_too_short(each: Stretch, exact: dict[int, Points], pen_mm: float) -> bool:
    if len(each.points) * STEP_MM >= 2.5 * pen_mm:
        return False
    moved, drawn = exact[each.end] - exact[each.begin], each.points[-1] - each.points[0]
    turned_about = float(moved @ drawn) < 0 and length(drawn) < 1.5 * pen_mm
    return length(moved) < _ONE_JUNCTION * pen_mm or turned_about
