"""Shapes as the text of SVG paths and numbers.

Coordinates are rounded to a hundredth of a millimetre, so that every machine writes the same bytes.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

import numpy as np
import shapely
from shapely import LineString, MultiLineString, Polygon

from catalog_builder.pattern.svg.curve import Points

# How far a drawn line may stray from the pattern, in mm: half a pixel where a page shows it at its largest.
SIMPLER_MM = 0.08


def path_of(stretches: Points) -> str:
    """Write straight stretches of shape (n, 2, 2) as one path, joined where they meet."""
    return _joined(np.ascontiguousarray(stretches, dtype=np.float64).tobytes())


# A product's pictures draw the same seams and pieces again and again; no more than one product's are kept.
@lru_cache(maxsize=32)
def _joined(stretches: bytes) -> str:
    if not stretches:
        return ""
    merged = shapely.line_merge(as_lines(np.frombuffer(stretches).reshape(-1, 2, 2)))
    lines = list(merged.geoms) if isinstance(merged, MultiLineString) else [merged]
    return "".join(sorted(path_of_line(line) for line in lines))


def as_lines(stretches: Points) -> MultiLineString:
    """Give straight stretches of shape (n, 2, 2) as lines of one geometry."""
    return shapely.multilinestrings(shapely.linestrings(stretches))


def path_of_line(line: LineString) -> str:
    """Write a line as a path; one that comes back to its beginning is closed."""
    points = shapely.get_coordinates(shapely.simplify(line, SIMPLER_MM))
    closed = len(points) > 3 and np.array_equal(points[0], points[-1])
    return _path(points[:-1] if closed else points, closed)


@lru_cache(maxsize=256)
def path_of_area(face: Polygon, tolerance: float = SIMPLER_MM) -> str:
    """Write an area with its holes as a path."""
    simple = shapely.simplify(face, tolerance)
    rings = (simple.exterior, *simple.interiors)
    return "".join(_path(shapely.get_coordinates(ring)[:-1], closed=True) for ring in rings)


def _path(points: Points, closed: bool) -> str:
    """Write a polyline by its steps, which take half the room of its places; each place is rounded, not each step."""
    places = np.floor(points * 100 + 0.5) / 100
    steps = np.diff(places, axis=0)
    step_text = "".join(f" {digits(x)} {digits(y)}" for x, y in steps[np.any(steps != 0, axis=1)].tolist())
    text = f"M{digits(places[0][0])} {digits(places[0][1])}" + (f"l{step_text[1:]}" if step_text else "")
    # A sign parts numbers as well as a blank does, and nothing is lost with a zero before the point (SVG 2, 9.3.9).
    short = re.sub(r"(?<![\d.])0\.", ".", text).replace(" -", "-")
    return f"{short}Z" if closed else short


def view_box(left: float, top: float, right: float, bottom: float) -> str:
    """Write a box as a ``viewBox``."""
    return f"{digits(left)} {digits(top)} {digits(right - left)} {digits(bottom - top)}"


def digits(value: float, places: int = 2) -> str:
    """Write a number with at most some digits behind the point, and never a negative zero."""
    step = 10**places
    text = f"{math.floor(value * step + 0.5) / step:.{places}f}"
    # Rounding down gives a whole number, which has no negative zero.
    return text.rstrip("0").rstrip(".") if places else text
