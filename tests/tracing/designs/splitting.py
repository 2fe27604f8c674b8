"""Fields split by gently bowed strokes, until there are enough pieces."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.ops import split

from tests.tracing.designs.design import Points, inner_radius_mm

LEAST_RADIUS_MM = 5.0
# A stroke ends on a node or this far from each.
NODE_ROOM_MM = 7.0
_TRIES = 80


def split_strokes(
    field: Polygon, nodes: Sequence[Points], count: int, chance: np.random.Generator, on_node: float = 0.25
) -> list[Points]:
    """Give the strokes that split a field into ``count``; fewer where no more fit. ``nodes`` are its corners."""
    fields, places = [field], [np.asarray(node, dtype=float) for node in nodes]
    strokes: list[Points] = []
    while len(fields) < count:
        fields.sort(key=lambda each: -each.area * chance.uniform(0.5, 1))
        for index, largest in enumerate(fields[:3]):
            cut = _cut(largest, places, chance, on_node)
            if cut is not None:
                stroke, parts = cut
                fields[index : index + 1] = parts
                strokes.append(stroke)
                places += [stroke[0], stroke[-1]]
                break
        else:
            break
    return strokes


def _cut(
    field: Polygon, nodes: list[Points], chance: np.random.Generator, on_node: float
) -> tuple[Points, list[Polygon]] | None:
    rim = field.exterior
    for _ in range(_TRIES):
        ends = [_end(rim, nodes, chance, on_node) for _ in range(2)]
        if ends[0] is None or ends[1] is None:
            continue
        stroke = _bowed(ends[0], ends[1], chance.uniform(-0.22, 0.22))
        length = float(np.hypot(*np.diff(stroke, axis=0).T).sum())
        if length < 14 or not _is_steep(stroke, rim) or not _is_steep(stroke[::-1], rim):
            continue
        line = LineString(stroke)
        middle = shapely.ops.substring(line, 5, length - 5)
        if not field.contains(middle) or rim.distance(middle) < 3.5:
            continue
        first, last = stroke[0] - stroke[1], stroke[-1] - stroke[-2]
        reach = 0.02
        longer = [stroke[0] + reach * first / np.hypot(*first), *stroke, stroke[-1] + reach * last / np.hypot(*last)]
        parts = [part for part in split(field, LineString(longer)).geoms if part.area > 1e-3]
        if len(parts) == 2 and min(inner_radius_mm(part) for part in parts) >= LEAST_RADIUS_MM:
            return stroke, parts
    return None


def _end(rim: LineString, nodes: list[Points], chance: np.random.Generator, on_node: float) -> Points | None:
    own = [node for node in nodes if rim.distance(Point(node)) < 1e-6]
    if own and chance.random() < on_node:
        return own[int(chance.integers(len(own)))]
    place = rim.interpolate(chance.uniform(0, rim.length))
    at = np.array([place.x, place.y])
    return at if all(np.hypot(*(at - node)) > NODE_ROOM_MM for node in nodes) else None


def _bowed(start: Points, end: Points, bow: float) -> Points:
    chord = end - start
    length = float(np.hypot(*chord))
    middle = (start + end) / 2 + bow * np.array([-chord[1], chord[0]])
    t = np.linspace(0, 1, max(8, int(length / 0.4)))[:, None]
    stroke: Points = (1 - t) ** 2 * start + 2 * t * (1 - t) * middle + t**2 * end
    return stroke


def _is_steep(stroke: Points, rim: LineString) -> bool:
    """Say whether a stroke leaves its start at 38 degrees or more from the rim on both sides."""
    place = rim.project(Point(stroke[0]))
    away = stroke[min(4, len(stroke) - 1)] - stroke[0]
    for along in (2.0, -2.0):
        other = rim.interpolate((place + along) % rim.length)
        side = np.array([other.x, other.y]) - stroke[0]
        cosine = float(away @ side / max(np.hypot(*away) * np.hypot(*side), 1e-9))
        if cosine > np.cos(np.radians(38)):
            return False
    return True
