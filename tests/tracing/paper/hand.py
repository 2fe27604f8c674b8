"""Strokes as a hand draws them: with a wobble, and some ends short of what they should meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.ndimage import gaussian_filter1d
from shapely import LineString, Point

from tests.tracing.designs.design import Points, resampled
from tests.tracing.paper.look import Look


def inked(strokes: Sequence[Points], look: Look, fold: Points | None, chance: np.random.Generator) -> list[Points]:
    """Draw strokes as a hand does: with its wobble, and some ends short of what they should meet."""
    drawn = [wobbled(stroke, look.wobble, chance) if look.wobble else stroke for stroke in strokes]
    if look.gaps:
        free = [
            (number, end) for number, stroke in enumerate(strokes) for end in (0, -1) if _meets(strokes, number, end)
        ]
        for pick in chance.permutation(len(free))[: look.gaps]:
            number, end = free[int(pick)]
            # The middle of the pen ends short by the pen's width and the gap that is to be seen between the two inks.
            drawn[number] = _shortened(drawn[number], end, look.miss + look.pen_mm)
    if fold is not None and look.fold_short:
        line = LineString(fold)
        for number, stroke in enumerate(strokes):
            for end in (0, -1):
                if line.distance(Point(stroke[end])) < 0.01:
                    drawn[number] = _shortened(drawn[number], end, chance.uniform(0.3, 1.0) * look.fold_short)
    return drawn


def _meets(strokes: Sequence[Points], number: int, end: int) -> bool:
    """Say whether a stroke's end lies on another stroke away from its ends: a T."""
    here = Point(strokes[number][end])
    for other, stroke in enumerate(strokes):
        if other != number and LineString(stroke).distance(here) < 0.01:
            ends = min(here.distance(Point(stroke[0])), here.distance(Point(stroke[-1])))
            if ends > 6:
                return True
    return False


def _shortened(stroke: Points, end: int, by: float) -> Points:
    points = stroke if end == 0 else stroke[::-1]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    if along[-1] < by + 3:
        return stroke
    start = np.array([np.interp(by, along, points[:, axis]) for axis in (0, 1)])
    points = np.concatenate([start[None], points[along > by + 0.05]])
    return points if end == 0 else points[::-1]


def wobbled(stroke: Points, wobble: float, chance: np.random.Generator) -> Points:
    """Let a stroke leave its way by so much (root mean square), its ends kept."""
    points = resampled(stroke, 0.4)
    if len(points) < 12:
        return points
    off = gaussian_filter1d(chance.standard_normal(len(points) + 80), 10)[40:-40]
    off *= wobble / max(float(np.sqrt(np.mean(off**2))), 1e-9)
    # Ends keep their place: a hand looks where a line begins and ends.
    reach = np.minimum(np.arange(len(points)), np.arange(len(points))[::-1]) * 0.4
    off *= np.clip(reach / 4, 0, 1)
    along = np.gradient(points, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    return np.asarray(points + off[:, None] * np.stack([-along[:, 1], along[:, 0]], axis=1))
