"""Whether a pen has room to draw a design: what its ink hides, no tracer can give back.

The rule: every bay and neck of a field, and of the white about the design, is at least 2.5 pens wide; only where two
lines come together in a junction or a corner it is narrower, and there they lead in nearly straight for three pens.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from tests.tracing.designs.design import GRID_MM, Design, Points, resampled

_ROOM, _STRAIGHT = 2.5, 3.0
# A line turns by less while it leads in; a bend that turns by more within a pen's width is a corner.
_LEADS_IN_DEGREES, _CORNER_DEGREES = 40.0, 60.0
# What a disc that wide leaves out, in squares of its radius: a corner of 15 degrees loses 5.9, a round bend of 60
# degrees 0.7.
_WEDGE, _BEND = 6.0, 0.7
_STEP_MM = 0.2


def has_room_for(design: Design, pen_mm: float) -> bool:
    """Say whether the rule holds for a design and a pen."""
    headings = [_headings(line) for line in _lines(design)]
    corners = [_corners(heading, pen_mm) for _, heading in headings]
    leads_in = all(
        _leads_in(heading, nodes, pen_mm) for (_, heading), nodes in zip(headings, corners, strict=True) if len(heading)
    )
    nodes = [points[index] for (points, _), own in zip(headings, corners, strict=True) for index in (*own, -1)]
    return leads_in and _is_wide(design, shapely.MultiPoint(np.array(nodes)), pen_mm)


def _is_wide(design: Design, nodes: shapely.MultiPoint, pen_mm: float) -> bool:
    reach = _ROOM / 2 * pen_mm
    left, top, right, bottom = shapely.total_bounds(design.pieces)
    sheet = shapely.box(left - 20, top - 20, right + 20, bottom + 20)
    for field in (*design.pieces, sheet - shapely.union_all(design.pieces)):
        clear = field.buffer(-reach)
        if len(shapely.get_parts(clear)) != 1:
            return False
        for part in shapely.get_parts(field - clear.buffer(reach)):
            most = _WEDGE if part.distance(nodes) < _STEP_MM else _BEND
            if part.area > most * reach**2:
                return False
    return True


def _lines(design: Design) -> list[Points]:
    """Give the lines between junctions."""
    net = shapely.union_all([shapely.LineString(stroke) for stroke in design.whole_strokes], grid_size=GRID_MM)
    return [shapely.get_coordinates(line) for line in shapely.get_parts(shapely.line_merge(net))]


def _headings(line: Points) -> tuple[Points, Points]:
    """Give points at even steps along a line, and the way that it goes in after each, in degrees."""
    points = resampled(line, _STEP_MM)
    steps = np.diff(points, axis=0)
    return points, np.degrees(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))


def _corners(heading: Points, pen_mm: float) -> list[int]:
    """Give the places of a line's begin, its corners and its end, as indices of its headings."""
    reach, last = max(1, round(0.5 * pen_mm / _STEP_MM)), len(heading) - 1
    at = np.arange(len(heading))
    turns = np.abs(heading[np.minimum(at + reach, last)] - heading[np.maximum(at - reach, 0)])
    corners = {0, last}
    while turns.max() > _CORNER_DEGREES:
        place = int(turns.argmax())
        corners.add(place)
        turns[max(0, place - 2 * reach) : place + 2 * reach + 1] = 0
    return sorted(corners)


def _leads_in(heading: Points, nodes: list[int], pen_mm: float) -> bool:
    """Say whether a line runs nearly straight towards each of its nodes, from both sides."""
    near, far = round(0.6 * pen_mm / _STEP_MM), round(_STRAIGHT * pen_mm / _STEP_MM)
    for begin, end in pairwise(nodes):
        run: NDArray[np.float64] = heading[begin + near : max(begin, end - near)]
        for part in (run[: far - near], run[::-1][: far - near]):
            if len(part) > 1 and np.ptp(part) > _LEADS_IN_DEGREES:
                return False
    return True
