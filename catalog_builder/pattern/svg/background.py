"""A page's background: a filled rectangle behind the whole drawing, which is no glass."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from catalog_builder.pattern.svg.curve import Points, Straight, Subpath
from catalog_builder.pattern.svg.mark import Mark

# Of the page's size: programs round its edges, and a line that ends so near to an edge ends on it.
NEAR = 0.005


def covers(run: Subpath, page: Points) -> bool:
    """Say whether a run is a rectangle as large as a page or larger; ``page`` has two corners, shape (2, 2)."""
    if not all(isinstance(segment, Straight) for segment in run.segments):
        return False
    low, high = page.min(axis=0), page.max(axis=0)
    near = NEAR * float(np.ptp(page, axis=0).max())
    points = run.flat(near)
    least, most = points.min(axis=0), points.max(axis=0)
    if (least > low + near).any() or (most < high - near).any():
        return False
    x, y = points[:-1].T
    following_x, following_y = points[1:].T
    area = abs(float((x * following_y - following_x * y).sum())) / 2
    return area > (1 - NEAR) * float(np.prod(most - least))


def is_frame(background: Mark, marks: Iterable[Mark]) -> bool:
    """Say whether lines that end on its edges, or nothing else, make glass of a page's rectangle."""
    others = [mark for mark in marks if mark is not background]
    corners = background.runs[0].flat(1e-3)
    low, high = corners.min(axis=0), corners.max(axis=0)
    near = NEAR * float((high - low).max())
    # Of a line only the ends count, and those are the same however coarse it is.
    lines = [run.flat(run.reach + near)[[0, -1]] for mark in others if mark.kind == "line" for run in mark.runs]
    ends = np.concatenate([np.empty((0, 2)), *lines])
    inside = (ends > low - near).all(axis=1) & (ends < high + near).all(axis=1)
    on_edge = (np.minimum(abs(ends - low), abs(ends - high)) < near).any(axis=1)
    return bool((inside & on_edge).any()) or not any(mark.kind in ("outline", "line") for mark in others)
